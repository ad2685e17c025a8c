package export

import (
	"image/color"
	"math"

	"github.com/fogleman/gg"
)

// drawExtensions draws thin lines from the measured points to the dimension lines, faint where they cross the drawing.
func (p *plan) drawExtensions() {
	u := p.u
	x0, y0 := p.at(p.bounds.Min(0), p.bounds.Min(1))
	x1, y1 := p.at(p.bounds.Max(0), p.bounds.Max(1))
	p.dc.SetLineWidth(0.08 * u)
	p.dc.SetLineCapButt()
	for _, dim := range p.dims {
		line := p.lineAt(dim)
		for _, c := range [][]float64{dim.From, dim.To} {
			x, y := p.at(c[0], c[1])
			switch dim.side {
			case top:
				p.extension(x, y, x, y0, x, line-0.7*u)
			case bottom:
				p.extension(x, y, x, y1, x, line+0.7*u)
			case left:
				p.extension(x, y, x0, y, line-0.7*u, y)
			case right:
				p.extension(x, y, x1, y, line+0.7*u, y)
			}
		}
	}
}

// extension draws a faint line from the point to the rim of the drawing, and from a little beyond that to the end.
func (p *plan) extension(x, y, rimX, rimY, endX, endY float64) {
	faint := accentColor
	faint.A = 0x70
	p.dc.SetColor(faint)
	p.dc.DrawLine(x, y, rimX, rimY)
	p.dc.Stroke()
	gap := 0.6 * p.u / math.Hypot(endX-rimX, endY-rimY)
	p.dc.SetColor(accentColor)
	p.dc.DrawLine(rimX+gap*(endX-rimX), rimY+gap*(endY-rimY), endX, endY)
	p.dc.Stroke()
}

// lineAt is where the dimension line stands, across its side, in pixels.
func (p *plan) lineAt(dim dimension) float64 {
	far := (levelFirst + levelStep*float64(dim.level)) * p.u
	switch dim.side {
	case top:
		return p.y0 + p.k*p.bounds.Min(1) - far
	case bottom:
		return p.y0 + p.k*p.bounds.Max(1) + far
	case left:
		return p.x0 + p.k*p.bounds.Min(0) - far
	default:
		return p.x0 + p.k*p.bounds.Max(0) + far
	}
}

// drawDimension draws the dimension line with its text, in a frame whose x axis runs along it.
func (p *plan) drawDimension(dim dimension) {
	dc, u := p.dc, p.u
	var ox, oy, angle float64 // the frame's origin and turn
	a, b, textAt, size := dim.a, dim.b, dim.textAt, smallSize*u
	switch dim.side {
	case top, bottom:
		oy = p.lineAt(dim)
	case left, right: // upward, to be read from the right
		ox, angle = p.lineAt(dim), -math.Pi/2
		a, b, textAt = -dim.b, -dim.a, -dim.textAt
	case slant:
		from, to := dim.From, dim.To
		if to[0] < from[0] || to[0] == from[0] && to[1] > from[1] {
			from, to = to, from
		}
		ox, oy = p.at(from[0], from[1])
		tx, ty := p.at(to[0], to[1])
		angle, textAt = math.Atan2(ty-oy, tx-ox), (a+b)/2
	}
	dc.Push()
	defer dc.Pop()
	dc.Translate(ox, oy)
	dc.Rotate(angle)
	x, y := dc.TransformPoint(textAt, 0)
	behind := p.colourAt(x, y)
	dc.SetColor(accentColor)
	dc.SetLineWidth(0.1 * u)
	if dim.outside && dim.side != slant {
		dc.DrawLine(a-2*arrowLength*u, 0, b+2*arrowLength*u, 0)
	} else {
		dc.DrawLine(a, 0, b, 0)
	}
	dc.Stroke()
	if dim.Text != "" { // lines make room for the text
		half := textWidth(regular(), dim.Text, size)/2 + 0.3*u
		dc.SetColor(behind)
		dc.DrawRectangle(textAt-half, -0.6*size, 2*half, 1.2*size)
		dc.Fill()
		dc.SetColor(accentColor)
	}
	inward := u
	if dim.outside && dim.side != slant {
		inward = -u
	}
	arrow(dc, a, inward)
	arrow(dc, b, -inward)
	drawText(dc, regular(), dim.Text, textAt, 0.35*size, size, 0.5, 0)
}

// arrow fills an arrowhead with its tip at x; it opens toward positive x for positive u.
func arrow(dc *gg.Context, x, u float64) {
	dc.MoveTo(x, 0)
	dc.LineTo(x+arrowLength*u, -arrowWidth*u/2)
	dc.LineTo(x+arrowLength*u, arrowWidth*u/2)
	dc.ClosePath()
	dc.SetFillRuleWinding()
	dc.Fill()
}

// colourAt is the colour drawn so far at a pixel, to lay behind text.
func (p *plan) colourAt(x, y float64) color.Color {
	return p.dc.Image().At(int(min(max(x, 0), p.width-1)), int(min(max(y, 0), p.height-1)))
}
