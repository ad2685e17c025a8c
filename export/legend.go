package export

import (
	"strconv"

	"github.com/fogleman/gg"
)

// A legend explains the styles that a plan uses, in rows below it. Lengths are in pixels, places relative to its top
// left corner.
type legend struct {
	items  []legendItem
	height float64
	u      float64
}

// A legendItem is a sample and its meaning.
type legendItem struct {
	x, y   float64
	text   string
	sample func(dc *gg.Context, x, y float64) // y is the middle of the row
	width  float64                            // of the sample
}

const legendLine, sampleLength = 2.5, 5.0 // in units of u

// newLegend sets the legend in rows of at most the given width.
func newLegend(p *plan, width float64) legend {
	l := legend{u: p.u}
	u := p.u
	photo := p.opts.Photo != nil
	if p.d.opens(p.opts.Openings) && !photo {
		l.add("cut away", 2*u, func(dc *gg.Context, x, y float64) {
			dc.DrawRectangle(x, y-0.7*u, 2*u, 1.4*u)
			dc.SetColor(inkColor)
			dc.Fill()
		})
	}
	l.addAreas(p)
	scored := false
	for role := range lineStyles {
		r := Role(role)
		if p.d.count(r, true)+p.d.count(r, false) == 0 || r == Cut && p.opts.Openings && !p.d.slits() && !photo {
			continue
		}
		scored = scored || r == Mountain || r == Valley
		l.add(lineStyles[r].means, sampleLength*u, func(dc *gg.Context, x, y float64) {
			p.setLine(dc, r)
			dc.DrawLine(x, y, x+sampleLength*u, y)
			dc.Stroke()
			dc.SetDash()
		})
	}
	if scored && !photo {
		l.add("outer face up", 0, func(*gg.Context, float64, float64) {})
	}
	mm := barLength(p.d.Width)
	length := mm * p.k
	l.add(strconv.FormatFloat(mm, 'g', -1, 64)+" mm", length, func(dc *gg.Context, x, y float64) { drawBar(dc, x, y, length, u) })
	l.flow(width)
	return l
}

func (l *legend) add(text string, width float64, sample func(dc *gg.Context, x, y float64)) {
	l.items = append(l.items, legendItem{text: text, width: width, sample: sample})
}

// flow places the items in rows.
func (l *legend) flow(width float64) {
	x, y := 0.0, 0.0
	for i := range l.items {
		it := &l.items[i]
		w := it.width + 0.8*l.u + textWidth(regular(), it.text, smallSize*l.u)
		if x > 0 && x+w > width {
			x, y = 0, y+legendLine*l.u
		}
		it.x, it.y = x, y
		x += w + 3*l.u
	}
	l.height = y + legendLine*l.u
}

func (l *legend) draw(dc *gg.Context, x, y float64) {
	for _, it := range l.items {
		middle := y + it.y + legendLine*l.u/2
		it.sample(dc, x+it.x, middle)
		dc.SetColor(mutedColor)
		at := x + it.x
		if it.width > 0 {
			at += it.width + 0.8*l.u
		}
		drawText(dc, regular(), it.text, at, middle+0.35*smallSize*l.u, smallSize*l.u, 0, 0)
	}
}

// barLength is a round length in mm of at most a quarter of the given one.
func barLength(width float64) float64 {
	for _, mm := range []float64{1000, 500, 200, 100, 50, 20, 10, 5, 2, 1, 0.5, 0.2, 0.1} {
		if mm <= width/4 {
			return mm
		}
	}
	return width / 4
}

// drawBar draws a scale bar of five parts.
func drawBar(dc *gg.Context, x, y, length, u float64) {
	h := 0.6 * u
	dc.SetColor(inkColor)
	for i := 0; i < 5; i += 2 {
		dc.DrawRectangle(x+float64(i)*length/5, y-h/2, length/5, h)
	}
	dc.Fill()
	dc.SetLineWidth(0.1 * u)
	dc.DrawRectangle(x, y-h/2, length, h)
	dc.Stroke()
}

// slits says whether there are open cut lines.
func (d *Drawing) slits() bool { return d.count(Cut, false) > 0 }

// opens says whether closed cut lines open the paper: any of them, or if the outermost are outlines, any but one.
func (d *Drawing) opens(any bool) bool {
	return d.count(Cut, true) > 1 || any && d.count(Cut, true) > 0
}

// count is the number of closed or open lines of a role.
func (d *Drawing) count(r Role, closed bool) (n int) {
	for _, l := range d.Layers {
		if l.Role != r {
			continue
		}
		for _, s := range l.Shapes {
			for p := range paths(s) {
				if p.closed == closed {
					n += len(p.ends)
				}
			}
		}
	}
	return n
}
