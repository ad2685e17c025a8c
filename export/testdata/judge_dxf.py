#!/usr/bin/env python3
"""Reads a DXF file with ezdxf, a general library, and says what it found.

    python3 judge_dxf.py FILE.dxf        (ezdxf 0.18.1 when this was written)

Prints the release, the unit, what ezdxf's own auditor finds wrong, and per layer the polylines, closed ones, vertices,
signed area and
bounds, arcs flattened by ezdxf to 0.001. Exit 1 if the auditor has a complaint or an entity is not a polyline.
"""
import sys
import ezdxf
import ezdxf.path

doc = ezdxf.readfile(sys.argv[1])
faults = doc.audit().errors
print("release", doc.acad_release, "units", doc.header.get("$INSUNITS"), "faults", [e.message for e in faults])
other = [e.dxftype() for e in doc.modelspace() if e.dxftype() != "POLYLINE"]
layers = {}
for e in doc.modelspace().query("POLYLINE"):
    pts = [(v.dxf.location.x, v.dxf.location.y) for v in e.vertices]
    n, closed, vertices, total, xs, ys = layers.get(e.dxf.layer, (0, 0, 0, 0.0, [], []))
    ring = [(p.x, p.y) for p in ezdxf.path.make_path(e).flattening(0.001)] if e.is_closed else []
    signed = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, ring[1:] + ring[:1])) / 2
    layers[e.dxf.layer] = (n + 1, closed + e.is_closed, vertices + len(pts), total + signed, xs + [p[0] for p in pts], ys + [p[1] for p in pts])
for name, (n, closed, vertices, total, xs, ys) in layers.items():
    print(f"{name}: {n} polylines, {closed} closed, {vertices} vertices, area {total:.3f}, "
          f"x {min(xs):.3f} to {max(xs):.3f}, y {min(ys):.3f} to {max(ys):.3f}, in table {name in doc.layers}")
sys.exit(bool(faults or other))
