package export

import (
	"fmt"
	"math"
	"strings"
)

// figureWidth and figureHeight are the size of every figure, in units of its own; lines are drawn in these too.
const figureWidth, figureHeight = 120.0, 76.0

// A sketch is an SVG figure in the making.
type sketch struct{ b strings.Builder }

const (
	thin   = "0.45"
	strong = "1.3"
)

func newSketch(says string) *sketch {
	s := &sketch{}
	fmt.Fprintf(&s.b, `<svg viewBox="0 0 %g %g" role="img" aria-label="%s">`+"\n", figureWidth, figureHeight, escape(says))
	return s
}

func (s *sketch) done() string {
	s.b.WriteString("</svg>")
	return s.b.String()
}

// path adds a path of the given data; fill and stroke are names of the page's colours, or "none".
func (s *sketch) path(d, fill, stroke, width, extra string) {
	if d == "" {
		return
	}
	paint := func(c string) string {
		if c == "none" {
			return c
		}
		return "var(--" + c + ")"
	}
	fmt.Fprintf(&s.b, `<path d="%s" fill="%s" stroke="%s" stroke-width="%s" stroke-linejoin="round"%s/>`+"\n", d, paint(fill), paint(stroke), width, extra)
}

// A spot is a place in the plane: of a figure in its units, of a sheet in mm.
type spot struct{ x, y float64 }

// outline is the path data of a line through spots.
func outline(closed bool, spots ...spot) string {
	var b []byte
	for i, p := range spots {
		b = append(b, "ML"[min(i, 1)])
		b = appendFixed(b, micrometres(p.x)/10, 2, 0)
		b = append(b, ' ')
		b = appendFixed(b, micrometres(p.y)/10, 2, 0)
	}
	if closed {
		b = append(b, 'Z')
	}
	return string(b)
}

// arrow draws an accent arrow from a to b, with its line bent aside by bend.
func (s *sketch) arrow(a, b spot, bend float64) {
	dx, dy := b.x-a.x, b.y-a.y
	n := math.Hypot(dx, dy)
	mid := spot{(a.x+b.x)/2 - bend*dy/n, (a.y+b.y)/2 + bend*dx/n}
	s.path(fmt.Sprintf("M%.2f %.2fQ%.2f %.2f %.2f %.2f", a.x, a.y, mid.x, mid.y, b.x, b.y), "none", "accent", "1", "")
	dx, dy = b.x-mid.x, b.y-mid.y
	n = math.Hypot(dx, dy)
	dx, dy = dx/n, dy/n
	tip := spot{b.x + 2*dx, b.y + 2*dy}
	s.path(outline(true, tip, spot{b.x - 2.4*dx + 1.7*dy, b.y - 2.4*dy - 1.7*dx}, spot{b.x - 2.4*dx - 1.7*dy, b.y - 2.4*dy + 1.7*dx}), "accent", "none", "0", "")
}

// shapeData is the path data of the drawing's lines that want says, placed by at; points that fall closer together than
// a third of a unit become one.
func shapeData(d *Drawing, want func(r Role, p path) bool, at func(x, y float64) spot) string {
	var b strings.Builder
	var buf []point
	for _, g := range d.groups() {
		for _, shape := range g.Shapes {
			for p := range paths(shape) {
				if !want(g.Role, p) {
					continue
				}
				for line := range p.lines(buf) {
					buf = line
					var spots []spot
					for i, q := range line {
						v := at(float64(q.x)/1000, float64(q.y)/1000)
						if n := len(spots); n == 0 || i == len(line)-1 || math.Abs(v.x-spots[n-1].x)+math.Abs(v.y-spots[n-1].y) > 0.33 {
							spots = append(spots, v)
						}
					}
					b.WriteString(outline(p.closed, spots...))
				}
			}
		}
	}
	return b.String()
}

// flatFigure shows a net: paper light, openings dark, and the lines that the figure is about in the accent.
func flatFigure(d *Drawing, f Figure) string {
	b := d.bounds()
	w, h := max(b.Max(0)-b.Min(0), 1e-6), max(b.Max(1)-b.Min(1), 1e-6)
	k := min((figureWidth-6)/w, (figureHeight-6)/h)
	at := func(x, y float64) spot {
		return spot{figureWidth/2 + (x-b.Min(0)-w/2)*k, figureHeight/2 + (y-b.Min(1)-h/2)*k}
	}
	rim := func(p path) bool { return p.closed && !p.within(b) }
	sheet := shapeData(d, func(r Role, p path) bool { return r == Cut && rim(p) }, at)
	holes := shapeData(d, func(r Role, p path) bool { return r == Cut && p.closed && !rim(p) }, at)
	slits := shapeData(d, func(r Role, p path) bool { return r == Cut && !p.closed }, at)
	scores := shapeData(d, func(r Role, p path) bool { return r == Mountain || r == Valley || r == Perforation }, at)
	s := newSketch(map[Figure]string{ScoreFigure: "the scores", CutOutFigure: "the openings", SnipFigure: "the slits", TrimFigure: "the outline"}[f])
	stroke := func(of Figure) (colour, width string) {
		if f == of {
			return "accent", strong
		}
		return "ink", thin
	}
	colour, width := stroke(TrimFigure)
	s.path(sheet, "paper", colour, width, "")
	if f == CutOutFigure {
		s.path(holes, "accent", "none", "0", ` fill-rule="evenodd"`)
	} else {
		s.path(holes, "ink", "none", "0", ` fill-rule="evenodd" opacity="0.18"`)
	}
	colour, width = stroke(ScoreFigure)
	s.path(scores, "none", colour, width, ` stroke-dasharray="5 1.5 0.8 1.5"`)
	colour, width = stroke(SnipFigure)
	s.path(slits, "none", colour, width, "")
	return s.done()
}
