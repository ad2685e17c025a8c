package export

import (
	"math"
	"slices"
)

// A label is the text of a mark in the rectangle that it takes, in pixels.
type label struct {
	text           string
	x0, y0, x1, y1 float64
}

func (l label) meets(o label) bool {
	return l.x0 < o.x1 && o.x0 < l.x1 && l.y0 < o.y1 && o.y0 < l.y1
}

// drawMarks draws a circle for every mark and then their texts.
func (p *plan) drawMarks() {
	dc, u := p.dc, p.u
	for _, m := range p.opts.Marks {
		if m.Bare {
			continue
		}
		x, y := p.at(m.At[0], m.At[1])
		dc.DrawCircle(x, y, p.markRadius(m))
		dc.SetColor(paperColor)
		dc.SetLineWidth(0.5 * u)
		dc.StrokePreserve()
		dc.SetColor(accentColor)
		dc.SetLineWidth(0.25 * u)
		dc.Stroke()
	}
	size := smallSize * u
	for _, l := range p.labels() {
		dc.DrawRoundedRectangle(l.x0, l.y0, l.x1-l.x0, l.y1-l.y0, 0.4*u)
		dc.SetColor(paperColor)
		dc.Fill()
		dc.SetColor(accentColor)
		drawText(dc, medium(), l.text, l.x0+0.3*u, (l.y0+l.y1)/2+0.35*size, size, 0, 0)
	}
}

// markRadius is the radius of a mark's circle in pixels.
func (p *plan) markRadius(m Mark) float64 {
	if m.Bare {
		return 0
	}
	return max(m.Radius*p.k, 0.9*p.u)
}

// labels places the texts of all marks: right of the circle, left, above or below, wherever it meets the fewest circles
// of others and no text placed before. A text without such a place is left out.
func (p *plan) labels() []label {
	var out, circles []label
	for _, m := range p.opts.Marks {
		x, y := p.at(m.At[0], m.At[1])
		r := p.markRadius(m)
		circles = append(circles, label{"", x - r, y - r, x + r, y + r})
	}
	for i, m := range p.opts.Marks {
		if m.Text == "" {
			continue
		}
		best, fewest := label{}, math.MaxInt
		for _, l := range p.around(circles[i], m) {
			if l.x0 < 0 || l.y0 < 0 || l.x1 > p.width || l.y1 > p.height || slices.ContainsFunc(out, l.meets) {
				continue
			}
			met := 0
			for k, c := range circles {
				if k != i && l.meets(c) {
					met++
				}
			}
			if met < fewest {
				best, fewest = l, met
			}
		}
		if fewest < math.MaxInt {
			out = append(out, best)
		}
	}
	return out
}

// around are the places for a mark's text beside its circle c.
func (p *plan) around(c label, m Mark) []label {
	u := p.u
	w, h := textWidth(medium(), m.Text, smallSize*u)+0.6*u, 1.5*smallSize*u
	x, y := (c.x0+c.x1)/2, (c.y0+c.y1)/2
	at := func(x0, y0 float64) label { return label{m.Text, x0, y0, x0 + w, y0 + h} }
	if m.Bare {
		return []label{at(x-0.3*u, y-h/2)}
	}
	return []label{
		at(c.x1+0.2*u, y-h/2), at(c.x0-0.2*u-w, y-h/2),
		at(x-w/2, c.y0-0.2*u-h), at(x-w/2, c.y1+0.2*u),
	}
}
