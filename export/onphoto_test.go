package export

import (
	"image"
	"image/color"
	"image/draw"
	"testing"

	"github.com/twpayne/go-geom"
)

// Over a photo of the sheet, red to the left and blue to the right, the paper of a part keeps the photo's colours where it
// lies; what is cut away and what lies round it fades toward the colour of paper; lines are ink on a light rim.
func TestPNGPhoto(t *testing.T) {
	photo := image.NewRGBA(image.Rect(0, 0, 400, 200))
	red, blue := color.NRGBA{180, 30, 20, 255}, color.NRGBA{20, 40, 160, 255}
	draw.Draw(photo, image.Rect(0, 0, 200, 200), image.NewUniform(red), image.Point{}, draw.Src)
	draw.Draw(photo, image.Rect(200, 0, 400, 200), image.NewUniform(blue), image.Point{}, draw.Src)
	faded := func(c color.NRGBA) color.NRGBA {
		return color.NRGBA{blend(c.R, paperColor.R, veil), blend(c.G, paperColor.G, veil), blend(c.B, paperColor.B, veil), 255}
	}
	d := &Drawing{200, 100, []Layer{{Cut, []geom.T{polygon(square(60, 10, 80), reversed(square(80, 30, 40)))}}}}
	for openings, want := range map[bool][3]color.NRGBA{ // in the part, in its opening, beside it
		false: {red, faded(red), faded(blue)},
		true:  {faded(red), red, blue},
	} {
		opts := &PNGOptions{Photo: photo, Openings: openings, Pixels: 2000}
		img := pngOf(t, d, opts)
		p := newPlan(d, opts, 2000)
		for i, at := range [3][2]float64{{70, 50}, {90, 50}, {170, 50}} {
			x, y := p.at(at[0], at[1])
			c := color.NRGBAModel.Convert(img.At(int(x), int(y))).(color.NRGBA)
			if off(c.R, want[i].R) > 3 || off(c.G, want[i].G) > 3 || off(c.B, want[i].B) > 3 {
				t.Errorf("openings %v: %v at %v, want %v", openings, c, at, want[i])
			}
		}
		x, y := p.at(60, 50)
		across := img.(*image.RGBA).SubImage(image.Rect(int(x)-6, int(y), int(x)+6, int(y)+1))
		for _, c := range []color.NRGBA{inkColor, paperColor} {
			if _, n := find(across, c); n == 0 {
				t.Errorf("openings %v: no %v at an edge, want ink on a light rim", openings, c)
			}
		}
	}
}
