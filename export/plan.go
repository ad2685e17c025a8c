package export

import (
	"image"
	"math"
	"strings"

	"github.com/fogleman/gg"
	"github.com/twpayne/go-geom"
)

// A plan lays out and draws one picture. Sheet millimetres (x, y) lie at the pixel (x0 + k·x, y0 + k·y); u is the unit
// of all margins and type, about a hundredth of the longest side.
type plan struct {
	d             *Drawing
	opts          *PNGOptions
	dc            *gg.Context
	u, k          float64
	x0, y0        float64
	width, height float64
	bounds        *geom.Bounds // of what is measured, in mm
	dims          []dimension
	legend        legend
}

// Sizes in units of u.
const (
	edge       = 4.0  // free border of the picture
	titleSize  = 2.7  // type of the title
	titleLine  = 4.0  // height that it takes
	smallSize  = 1.4  // type of everything else
	smallLine  = 2.1  // height of a line of it
	blockGap   = 2.6  // between title, drawing and legend
	levelStep  = 2.7  // from one dimension line to the next
	levelFirst = 3.2  // from the drawing to the first
	minCanvas  = 56.0 // narrowest picture
)

func newPlan(d *Drawing, opts *PNGOptions, px int) *plan {
	p := &plan{d: d, opts: opts, bounds: geom.NewBounds(geom.XY).Set(0, 0, d.Width, d.Height)}
	if !opts.Openings {
		p.bounds = d.bounds()
	}
	// Type shrinks until everything fits, as it must in the end: all margins are multiples of u.
	for p.u = float64(px) / 100; !p.layout(float64(px)); {
		p.u *= 0.9
	}
	p.dc = gg.NewContext(pixel(p.width, px), pixel(p.height, px))
	return p
}

// pixel is a length in whole pixels, at least one and at most px.
func pixel(v float64, px int) int { return min(max(int(math.Ceil(v)), 1), px) }

// layout finds the scale at which drawing, measures, title and legend just fill a square of px, and the size of the
// picture; it reports whether that was possible at this u. Where measures go depends on the scale, and the scale on the
// room that they leave, hence the rounds.
func (p *plan) layout(px float64) bool {
	u := p.u
	p.width = px
	var bands [4]float64
	for range 20 {
		k := p.k
		p.legend = newLegend(p, p.width-2*edge*u)
		head := p.headHeight()
		foot := p.legend.height + blockGap*u
		w := px - 2*edge*u - bands[left] - bands[right]
		h := px - 2*edge*u - bands[top] - bands[bottom] - head - foot
		if w < px/4 || h < px/4 {
			return false
		}
		p.k = min(w/p.d.Width, h/p.d.Height)
		p.width = max(minCanvas*u, 2*edge*u+bands[left]+bands[right]+p.k*p.d.Width)
		p.height = 2*edge*u + bands[top] + bands[bottom] + head + foot + p.k*p.d.Height
		p.x0 = (p.width + bands[left] - bands[right] - p.k*p.d.Width) / 2
		p.y0 = edge*u + head + bands[top]
		p.dims = p.dimensions()
		settled := p.k == k
		for i, need := range p.bands() {
			if need > bands[i] { // never back, so that the rounds end
				bands[i], settled = need, false
			}
		}
		if settled {
			return p.width <= px+0.5 && p.height <= px+0.5
		}
	}
	return false
}

// headHeight is what title and notes take.
func (p *plan) headHeight() float64 {
	h := smallLine * float64(len(p.notes()))
	if p.opts.Title != "" {
		h += titleLine
	}
	if h > 0 {
		h += blockGap - smallLine/2
	}
	return h * p.u
}

// notes are the lines of the notes: what is too wide for the picture goes on in another one, a little further in.
func (p *plan) notes() []string {
	const further = "   "
	wide := func(s string) bool { return textWidth(regular(), s, smallSize*p.u) > p.width-2*edge*p.u }
	var out []string
	for _, s := range p.opts.Notes {
		if !wide(s) {
			out = append(out, s)
			continue
		}
		words := strings.Fields(s)
		line := ""
		for i, w := range words {
			switch {
			case i == 0:
				line = w
			case wide(line + " " + w):
				out = append(out, line)
				line = further + w
			default:
				line += " " + w
			}
		}
		out = append(out, line)
	}
	return out
}

// at returns the pixel of a place on the sheet.
func (p *plan) at(x, y float64) (px, py float64) { return p.x0 + p.k*x, p.y0 + p.k*y }

func (p *plan) draw() {
	p.dc.SetColor(deskColor)
	p.dc.Clear()
	switch {
	case p.opts.Photo != nil:
		p.drawPhoto()
	case p.opts.Openings:
		p.drawSheet()
	default:
		p.drawParts()
	}
	p.drawExtensions()
	p.drawLines()
	p.drawAreas()
	for _, dim := range p.dims {
		p.drawDimension(dim)
	}
	p.drawMarks()
	p.drawHead()
	p.legend.draw(p.dc, edge*p.u, p.height-edge*p.u-p.legend.height)
}

// drawSheet draws the whole sheet as paper and the closed cut lines as openings in it.
func (p *plan) drawSheet() {
	x, y := p.at(0, 0)
	w, h := p.k*p.d.Width, p.k*p.d.Height
	p.shadow(func(dc *gg.Context) { dc.DrawRectangle(x, y, w, h); dc.Fill() })
	p.dc.SetColor(paperColor)
	p.dc.DrawRectangle(x, y, w, h)
	p.dc.Fill()
	p.rings(p.dc, false)
	p.dc.SetFillRuleEvenOdd()
	p.dc.SetColor(inkColor)
	p.dc.Fill()
}

// drawParts draws the sheet and on it the parts: all that lies within closed cut lines by the even-odd rule is paper,
// the rest within them is open. Cut lines are drawn first and at double width, so that the half on the paper's side is
// covered again: thin webs keep their width in the picture.
func (p *plan) drawParts() {
	dc := p.dc
	x, y := p.at(0, 0)
	dc.DrawRectangle(x, y, p.k*p.d.Width, p.k*p.d.Height)
	dc.SetColor(sheetColor)
	dc.Fill()
	p.shadow(func(dc *gg.Context) {
		p.rings(dc, true)
		dc.SetFillRuleWinding()
		dc.Fill()
	})
	p.rings(dc, true)
	dc.SetColor(inkColor)
	dc.SetLineWidth(2 * p.lineWidth(Cut))
	dc.SetLineJoinRound()
	dc.StrokePreserve()
	dc.SetFillRuleWinding()
	dc.Fill()
	p.rings(dc, false)
	dc.SetFillRuleEvenOdd()
	dc.SetColor(paperColor)
	dc.Fill()
}

// shadow paints a soft shadow of what draw draws.
func (p *plan) shadow(draw func(dc *gg.Context)) {
	m := masked(p.dc.Width(), p.dc.Height(), draw).blurred(0.8 * p.u)
	d := int(0.4*p.u + 0.5)
	m.paint(p.dc.Image().(*image.RGBA), inkColor, 0.28, d/2, d)
}

// rings adds all closed cut lines to dc's path; alike winds them all the same way.
func (p *plan) rings(dc *gg.Context, alike bool) {
	var buf []point
	for _, g := range p.d.groups() {
		if g.Role != Cut {
			continue
		}
		for _, s := range g.Shapes {
			for path := range paths(s) {
				if !path.closed {
					continue
				}
				for line := range path.lines(buf) {
					if alike && doubleArea(line) < 0 {
						reverse(line)
					}
					p.trail(dc, line, true)
					buf = line
				}
			}
		}
	}
}

// trail adds a line to dc's path, without points less than a quarter of a pixel from the one before.
func (p *plan) trail(dc *gg.Context, line []point, closed bool) {
	lastX, lastY := math.Inf(1), math.Inf(1)
	for i, q := range line {
		x, y := p.at(float64(q.x)/1000, float64(q.y)/1000)
		switch {
		case i == 0:
			dc.MoveTo(x, y)
		case i < len(line)-1 && math.Abs(x-lastX) < 0.25 && math.Abs(y-lastY) < 0.25:
			continue
		default:
			dc.LineTo(x, y)
		}
		lastX, lastY = x, y
	}
	if closed {
		dc.ClosePath()
	}
}

// lineWidth is the width of a role's lines in pixels: true to the sheet as far as it can be seen and does not hide
// anything.
func (p *plan) lineWidth(r Role) float64 {
	rel := lineStyles[r].width / lineStyles[Cut].width
	return rel * min(max(lineStyles[Cut].width*p.k, 0.12*p.u), 0.2*p.u)
}

// drawLines draws the lines of every role in their styles; closed cut lines only over a photo, as they are filled
// otherwise. Open cuts, and all lines over a photo, have a rim of paper, so that they show on what is dark too.
func (p *plan) drawLines() {
	for _, g := range p.d.groups() {
		if g.Role == Cut || p.opts.Photo != nil {
			p.setRim(p.dc, g.Role)
			p.strokes(g)
		}
		p.setLine(p.dc, g.Role)
		p.strokes(g)
	}
	p.dc.SetDash()
}

func (p *plan) strokes(g Layer) {
	var buf []point
	for _, s := range g.Shapes {
		for path := range paths(s) {
			if g.Role == Cut && path.closed && p.opts.Photo == nil {
				continue
			}
			for line := range path.lines(buf) {
				p.trail(p.dc, line, path.closed)
				p.dc.Stroke()
				buf = line
			}
		}
	}
}

// setRim sets the light line that goes under a role's lines.
func (p *plan) setRim(dc *gg.Context, r Role) {
	dc.SetColor(paperColor)
	dc.SetLineWidth(2.2 * p.lineWidth(r))
	dc.SetLineCapButt()
	dc.SetLineJoinRound()
	dc.SetDash()
}

// setLine sets colour, width and dashes of a role.
func (p *plan) setLine(dc *gg.Context, r Role) {
	w := p.lineWidth(r)
	dc.SetColor(inkColor)
	dc.SetLineWidth(w)
	dc.SetLineCapButt()
	dc.SetLineJoinRound()
	var dash []float64
	for _, n := range lineStyles[r].dash {
		dash = append(dash, max(n, 1)*w) // a dot of less than the width is lost between pixels
	}
	dc.SetDash(dash...)
}

// drawHead writes title and notes.
func (p *plan) drawHead() {
	u := p.u
	y := edge * u
	if p.opts.Title != "" {
		size := titleSize * u
		size = min(size, size*(p.width-2*edge*u)/textWidth(medium(), p.opts.Title, size))
		p.dc.SetColor(inkColor)
		drawText(p.dc, medium(), p.opts.Title, edge*u, y+0.75*titleSize*u, size, 0, 0)
		y += titleLine * u
	}
	p.dc.SetColor(mutedColor)
	for _, s := range p.notes() {
		size := smallSize * u
		size = min(size, size*(p.width-2*edge*u)/textWidth(regular(), s, size)) // of a word too long for a line
		drawText(p.dc, regular(), s, edge*u, y+smallSize*u*0.8, size, 0, 0)
		y += smallLine * u
	}
}
