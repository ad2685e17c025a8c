package trace

import (
	"image"
	"math"
)

// Flatten makes of a photo of a sheet, whose size opts must state, the sheet
// seen from straight above, edge to edge, as bright as it was: as Clean does
// with a photo, but without levelling, speck dropping or an error where there
// is no ink. Where p has Colours, so has the result. It leaves p as it is. The
// only error is a *SheetError.
func (p *Picture) Flatten(opts *CleanOptions) (*Picture, *Report, error) {
	rep := &Report{photo: true}
	if err := p.seeSheet(coarse(p.Gray), opts, rep); err != nil {
		return nil, nil, err
	}
	v := &rep.view
	out := &Picture{Gray: image.NewGray(image.Rect(0, 0, v.w, v.h)), MMPerPixel: rep.mm, Notes: p.Notes}
	eachBand(v.h, func(y0, y1 int) {
		light := make([]float32, v.w)
		for y := y0; y < y1; y++ {
			warpRow(light, p.Gray, v, 0, y)
			dst := out.Gray.Pix[y*out.Gray.Stride:][:v.w]
			for x, l := range light {
				dst[x] = encoded[int(min(max(l, 0), 1)*encodedSteps+0.5)]
			}
		}
	})
	if p.Colours != nil {
		out.Colours = v.coloursOf(p.Colours)
	}
	return out, rep, nil
}

// coloursOf is the view of m. Colours are for looking at: straight lines between
// four pixels will do.
func (v *view) coloursOf(m *image.RGBA) *image.RGBA {
	out := image.NewRGBA(image.Rect(0, 0, v.w, v.h))
	right, foot := float64(m.Rect.Dx()-1), float64(m.Rect.Dy()-1)
	eachBand(v.h, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			dst := out.Pix[y*out.Stride:]
			for x := range v.w {
				p := v.at(float64(x)+0.5, float64(y)+0.5)
				px, py := min(max(p.x-0.5, 0), right), min(max(p.y-0.5, 0), foot)
				i, j := min(int(px), m.Rect.Dx()-2), min(int(py), m.Rect.Dy()-2)
				fx, fy := px-float64(i), py-float64(j)
				a, b := m.Pix[m.PixOffset(i, j):][:8], m.Pix[m.PixOffset(i, j+1):][:8]
				for k := range 4 {
					top := float64(a[k]) + fx*(float64(a[k+4])-float64(a[k]))
					low := float64(b[k]) + fx*(float64(b[k+4])-float64(b[k]))
					dst[4*x+k] = uint8(top + fy*(low-top) + 0.5)
				}
			}
		}
	})
	return out
}

const encodedSteps = 4095

// encoded is the way back from light, in steps, to sRGB values.
var encoded = func() (t [encodedSteps + 1]uint8) {
	for i := range t {
		v := float64(i) / encodedSteps
		if v <= 0.0031308 {
			v *= 12.92
		} else {
			v = 1.055*math.Pow(v, 1/2.4) - 0.055
		}
		t[i] = uint8(math.Round(255 * v))
	}
	return t
}()
