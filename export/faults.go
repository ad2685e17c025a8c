package export

import (
	"fmt"
	"image/color"
	"math"

	"github.com/fogleman/gg"
	"github.com/twpayne/go-geom"
)

// A Look is how a picture points out an area of the paper. All of them read without colour.
type Look int

// The looks of areas.
const (
	Loose   Look = iota // falls out: hatched closely, with an outline
	Hanging             // hangs on one place alone: hatched widely, the other way
	Kept                // a bridge: outlined
	Usable              // of an irregular sheet, where parts may lie: a dashed outline
)

// lookMeans are what the legend says.
var lookMeans = [...]string{Loose: "falls out", Hanging: "hangs on one place alone", Kept: "bridge", Usable: "usable"}

// An Area is a part of the paper that a picture points out. Shape is in mm on the sheet, its outer ring of positive Area and its
// holes of negative; areas may overlap.
type Area struct {
	Shape *geom.Polygon
	Look  Look
}

// checkAreas returns an error if an area is of no known look, has no shape or a coordinate that is no number.
func checkAreas(areas []Area) error {
	for _, a := range areas {
		if a.Look < Loose || a.Look > Usable || a.Shape == nil {
			return fmt.Errorf("export: an area to point out has no shape or the unknown look %d", a.Look)
		}
		for _, v := range a.Shape.FlatCoords() {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return fmt.Errorf("export: an area to point out has a coordinate that is no number")
			}
		}
	}
	return nil
}

// drawAreas points out all areas: where parts may lie first, then what hangs, and bridges last.
func (p *plan) drawAreas() {
	w, h := float64(p.dc.Width()), float64(p.dc.Height())
	for _, look := range [...]Look{Usable, Hanging, Loose, Kept} {
		var paths []func()
		for _, a := range p.opts.Areas {
			if a.Look == look {
				paths = append(paths, func() { p.areaPath(a.Shape) })
			}
		}
		if len(paths) > 0 {
			p.drawLook(p.dc, look, paths, 0, 0, w, h)
		}
	}
}

// areaPath adds the outline of a shape to the path.
func (p *plan) areaPath(shape *geom.Polygon) {
	stride, start := shape.Stride(), 0
	for _, end := range shape.Ends() {
		for i, c := 0, shape.FlatCoords()[start:end]; i+1 < len(c); i += stride {
			if x, y := p.at(c[i], c[i+1]); i == 0 {
				p.dc.MoveTo(x, y)
			} else {
				p.dc.LineTo(x, y)
			}
		}
		p.dc.ClosePath()
		start = end
	}
}

// drawLook draws in a look what lies within the paths, each of which adds one area to dc's path, and within the given
// rectangle. Outlines are drawn one by one: the rasterizer slows with the lines that a row crosses.
func (p *plan) drawLook(dc *gg.Context, look Look, paths []func(), x, y, w, h float64) {
	u := p.u
	outline := func(c color.Color, width float64) {
		dc.SetColor(c)
		dc.SetLineWidth(width * u)
		dc.SetLineJoinRound()
		for _, path := range paths {
			path()
			dc.Stroke()
		}
	}
	hatch := func(c color.Color, pitch, width, slope float64) {
		for _, path := range paths {
			path()
		}
		dc.SetColor(c)
		p.hatch(dc, pitch*u, width*u, slope, x, y, w, h)
	}
	switch look {
	case Loose:
		hatch(accentColor, 0.75, 0.2, 1)
		outline(accentColor, 0.22)
	case Hanging:
		hatch(mutedColor, 1.1, 0.12, -1)
	case Kept:
		outline(paperColor, 0.4)
		outline(accentColor, 0.18)
	case Usable:
		outline(paperColor, 0.4)
		dc.SetDash(1.2*u, 0.6*u)
		outline(accentColor, 0.22)
		dc.SetDash()
	}
}

// hatch fills dc's path with lines that rise by slope, pitch apart from one another.
func (p *plan) hatch(dc *gg.Context, pitch, width, slope, x, y, w, h float64) {
	dc.SetFillRuleWinding()
	dc.Clip()
	dc.SetLineWidth(width)
	step := pitch * math.Sqrt2
	for d := math.Floor((x-h)/step) * step; d < x+w; d += step {
		if slope > 0 {
			dc.DrawLine(d, y+h, d+h, y)
		} else {
			dc.DrawLine(d, y, d+h, y+h)
		}
		dc.Stroke()
	}
	dc.ResetClip()
}

// addAreas explains the looks that are used.
func (l *legend) addAreas(p *plan) {
	for look := range lookMeans {
		k := Look(look)
		used := false
		for _, a := range p.opts.Areas {
			used = used || a.Look == k
		}
		if !used {
			continue
		}
		u := p.u
		l.add(lookMeans[k], 2.6*u, func(dc *gg.Context, x, y float64) {
			box := func() { dc.DrawRectangle(x, y-0.8*u, 2.6*u, 1.6*u) }
			box()
			dc.SetColor(paperColor)
			dc.Fill()
			box()
			p.drawLook(dc, k, []func(){box}, x, y-0.8*u, 2.6*u, 1.6*u)
		})
	}
}
