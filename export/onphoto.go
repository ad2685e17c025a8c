package export

import (
	"image"
	"math"

	"github.com/fogleman/gg"
	"golang.org/x/image/draw"
)

// veil is how far what is not of the parts fades in a picture over a photo.
const veil = 0.62

// drawPhoto draws the sheet as the photo shows it, and lets everything fade but the paper of the parts, so that one
// sees what of the pattern they get.
func (p *plan) drawPhoto() {
	x, y := p.at(0, 0)
	w, h := p.k*p.d.Width, p.k*p.d.Height
	out := p.dc.Image().(*image.RGBA)
	box := image.Rect(int(math.Round(x)), int(math.Round(y)), int(math.Round(x+w)), int(math.Round(y+h)))
	draw.CatmullRom.Scale(out, box, p.opts.Photo, p.opts.Photo.Bounds(), draw.Over, nil)
	paper := masked(p.dc.Width(), p.dc.Height(), func(dc *gg.Context) {
		if p.opts.Openings {
			dc.DrawRectangle(x, y, w, h)
		}
		p.rings(dc, false)
		dc.SetFillRuleEvenOdd()
		dc.Fill()
	})
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			at := out.Pix[out.PixOffset(x, y):]
			a := veil * (1 - paper.at(x, y))
			at[0], at[1], at[2] = blend(at[0], paperColor.R, a), blend(at[1], paperColor.G, a), blend(at[2], paperColor.B, a)
		}
	}
	p.dc.SetColor(mutedColor)
	p.dc.SetLineWidth(0.1 * p.u)
	p.dc.DrawRectangle(x, y, w, h)
	p.dc.Stroke()
}
