#!/usr/bin/env python3
"""Writes one lantern panel with three general libraries, as files of other writers for the readers' tests.

    python3 foreign.py        (svgwrite 1.4.3, pycairo 1.20.1 with cairo 1.16.0, ezdxf 0.18.1 when this was written)

The panel, in mm with y down: a sheet of 100 x 80; an outline from (2, 2) to (98, 78) with corners of radius 4; openings: a circle
of radius 8 at (20, 40), an ellipse of half axes 12 and 6 at (45, 40), a slot 14 + 6 long and 6 wide at (70, 60) and a circle of radius 5 at
(80, 30); scores at y = 10 and y = 70 from edge to edge.
"""
import math

import cairo
import ezdxf
import svgwrite
from ezdxf.addons import r12writer
from ezdxf.math import ConstructionArc, rational_bspline_from_arc


def with_svgwrite():
    d = svgwrite.Drawing("svgwrite.svg", size=("10cm", "8cm"), viewBox="0 0 50 40")  # 1 unit is 2 mm
    d.defs.add(d.circle(center=(0, 0), r=1, id="moon"))
    openings = d.g(id="CUT", fill="none", stroke="black", transform="scale(0.5)")
    openings.add(d.use("#moon", transform="translate(20 40) scale(8)"))
    openings.add(d.ellipse(center=(0, 0), r=(6, 12), transform="translate(45,40) rotate(90)"))
    # A slot of lines and arcs, relative, as the library takes them.
    openings.add(d.path("m63,57 h14 a3,3 0 0,1 0,6 h-14 a3,3 0 0,1 0,-6 z"))
    openings.add(d.path("M 80,25 A 5,5 0 0 1 85,30 A 5,5 0 1 1 80,25 Z"))
    openings.add(d.rect((2, 2), (96, 76), rx=4))
    scores = d.g(class_="score-mountain other", stroke="black")
    for y in (5, 35):
        scores.add(d.line((1, y), (49, y)))
    hidden = d.g(style="display:none")
    hidden.add(d.line((0, 0), (50, 40)))
    d.add(scores)
    d.add(openings)
    d.add(hidden)
    d.save(pretty=True)


def with_cairo():
    pt = 72 / 25.4
    with cairo.SVGSurface("cairo.svg", 100 * pt, 80 * pt) as surface:
        c = cairo.Context(surface)
        c.scale(pt, pt)
        c.set_line_width(0.1)
        for x, y, rx, ry in ((20, 40, 8, 8), (45, 40, 12, 6), (80, 30, 5, 5)):
            c.save()
            c.translate(x, y)
            c.scale(rx, ry)
            c.arc(0, 0, 1, 0, 2 * math.pi)
            c.restore()
            c.close_path()
            c.stroke()
        c.arc(77, 60, 3, -math.pi / 2, math.pi / 2)
        c.arc(63, 60, 3, math.pi / 2, 3 * math.pi / 2)
        c.close_path()
        c.stroke()
        for i, (x, y) in enumerate(((94, 74), (6, 74), (6, 6), (94, 6))):
            c.arc(x, y, 4, i * math.pi / 2, (i + 1) * math.pi / 2)
        c.close_path()
        c.stroke()


def bulges():
    """The outline with its corners as bulges, y up."""
    b = math.tan(math.pi / 8)
    return [(6, 2, 0), (94, 2, b), (98, 6, 0), (98, 74, b), (94, 78, 0), (6, 78, b), (2, 74, 0), (2, 6, b)]


def with_ezdxf(name, version, inch):
    doc = ezdxf.new(version, setup=False)
    k = 1 / 25.4 if inch else 1
    doc.units = ezdxf.units.IN if inch else ezdxf.units.MM
    doc.layers.add("CUT")
    doc.layers.add("SCORE_MOUNTAIN")
    doc.layers.add("OFF").off()
    m = doc.modelspace()
    cut = {"layer": "CUT"}
    for y in (10, 70):
        m.add_line((2 * k, y * k), (98 * k, y * k), dxfattribs={"layer": "SCORE_MOUNTAIN"})
    moon = doc.blocks.new("MOON", base_point=(1, 1))
    moon.add_circle((1, 1), 1)
    m.add_blockref("MOON", (20 * k, 40 * k), dxfattribs={"xscale": 8 * k, "yscale": 8 * k, **cut})
    m.add_ellipse((45 * k, 40 * k), (12 * k, 0), 0.5, dxfattribs=cut)
    arc = ConstructionArc((80 * k, 50 * k), 5 * k, 0, 360)
    m.add_spline(dxfattribs=cut).apply_construction_tool(rational_bspline_from_arc(arc.center, arc.radius, 0, 360))
    # The slot as four loose pieces, not in their order.
    m.add_line((63 * k, 23 * k), (77 * k, 23 * k), dxfattribs=cut)
    m.add_arc((63 * k, 20 * k), 3 * k, 90, 270, dxfattribs=cut)
    m.add_line((63 * k, 17 * k), (77 * k, 17 * k), dxfattribs=cut)
    m.add_arc((77 * k, 20 * k), 3 * k, 270, 90, dxfattribs=cut)
    m.add_lwpolyline([(x * k, y * k, b) for x, y, b in bulges()], format="xyb", close=True, dxfattribs=cut)
    m.add_text("lantern panel", dxfattribs={"layer": "CUT"})
    m.add_line((0, 0), (200, 200), dxfattribs={"layer": "OFF"})
    doc.saveas(name)


def with_r12writer():
    with r12writer("ezdxf-r12.dxf") as f:
        for y in (10, 70):
            f.add_line((2, y), (98, y), layer="SCORE_MOUNTAIN")
        f.add_circle((20, 40), 8, layer="CUT")
        f.add_circle((80, 50), 5, layer="CUT")
        # The ellipse as 720 straight lines, the release knows none.
        ellipse = [(45 + 12 * math.cos(t * math.pi / 360), 40 + 6 * math.sin(t * math.pi / 360)) for t in range(720)]
        f.add_polyline_2d(ellipse, closed=True, layer="CUT")
        slot = [(63, 17, 0), (77, 17, 1), (77, 23, 0), (63, 23, 1)]
        f.add_polyline_2d(slot, format="xyb", closed=True, layer="CUT")
        f.add_polyline_2d(bulges(), format="xyb", closed=True, layer="CUT")


with_svgwrite()
with_cairo()
with_ezdxf("ezdxf-mm.dxf", "R2000", False)
with_ezdxf("ezdxf-in.dxf", "R2010", True)
with_r12writer()
