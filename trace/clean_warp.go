package trace

import (
	"image"
	"math"
)

// A view says which picture to make: its size in pixels and, for each of its
// points, where in the source to look.
type view struct {
	w, h     int
	toSource homography // view pixels to source pixels, before the lens
	lens     lens
}

// cropped is the part of the view in box.
func (v *view) cropped(box image.Rectangle) *view {
	move := homography{1, 0, float64(box.Min.X), 0, 1, float64(box.Min.Y), 0, 0, 1}
	return &view{w: box.Dx(), h: box.Dy(), toSource: *v.toSource.after(&move), lens: v.lens}
}

// shifted tells whether the view is the source moved by whole pixels.
func (v *view) shifted() (dx, dy int, ok bool) {
	m := &v.toSource
	dx, dy = int(math.Round(m[2])), int(math.Round(m[5]))
	plain := homography{1, 0, float64(dx), 0, 1, float64(dy), 0, 0, 1}
	return dx, dy, *m == plain && v.lens.k1 == 0
}

// levelled makes the view of g with bare paper at 255 and ink at 0, in linear
// light, so that the edge of the ink is where values cross the middle.
//
// Between pixels it interpolates light by Catmull and Rom's cubic; beyond the
// source all is paper.
func levelled(g *image.Gray, v *view, t *tone) *image.Gray {
	out := image.NewGray(image.Rect(0, 0, v.w, v.h))
	dx, dy, whole := v.shifted()
	eachBand(v.h, func(y0, y1 int) {
		light := make([]float32, v.w)
		gain, offset := make([]float32, v.w), make([]float32, v.w)
		for y := y0; y < y1; y++ {
			if whole {
				sampleRow(light, g, dx, y+dy)
			} else {
				warpRow(light, g, v, y)
			}
			t.levelRow(gain, offset, v, y)
			dst := out.Pix[y*out.Stride:][:v.w]
			for x := range dst {
				f := light[x]*gain[x] + offset[x]
				dst[x] = uint8(min(max(f, 0), 255) + 0.5)
			}
		}
	})
	return out
}

// levelRow gives the straight line that takes light to 0..255 for each pixel of
// row y. The tone changes slowly: it is looked up every few pixels.
func (t *tone) levelRow(gain, offset []float32, v *view, y int) {
	const step = 16
	var g0, o0 float32
	for x := 0; ; x += step {
		p := v.at(float64(x)+0.5, float64(y)+0.5)
		paper, ink := max(t.paper.at(p.x, p.y), 1e-4), min(t.ink.at(p.x, p.y), 0.9)
		g1, o1 := 255/(paper*(1-ink)), -255*ink/(1-ink)
		if x > 0 {
			for i := range min(step, len(gain)-x+step) {
				f := float32(i) / step
				gain[x-step+i], offset[x-step+i] = g0+f*(g1-g0), o0+f*(o1-o0)
			}
		}
		if x >= len(gain) {
			return
		}
		g0, o0 = g1, o1
	}
}

// at is the source point of a point of the view.
func (v *view) at(x, y float64) vec2 { return v.lens.bent(v.toSource.at(vec2{x, y})) }

// beyond is the light outside the source: more than any paper has.
var beyond = float32(math.Inf(1))

// sampleRow copies the light of a row of g, shifted by dx.
func sampleRow(light []float32, g *image.Gray, dx, y int) {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	src := g.Pix[min(max(y, 0), h-1)*g.Stride:][:w]
	for x := range light {
		light[x] = linear[src[min(max(x+dx, 0), w-1)]]
	}
}

// cubicSteps is how finely the cubic's weights are tabled: a point is then off
// by at most 1/1024 of a pixel.
const cubicSteps = 512

// cubic holds the weights of the four values round a point (Catmull and Rom
// 1974; Keys 1981 with a = -1/2).
var cubic = func() (t [cubicSteps][4]float32) {
	for i := range t {
		f := float64(i) / cubicSteps
		t[i] = [4]float32{
			float32(((2-f)*f - 1) * f / 2), float32(((3*f-5)*f*f + 2) / 2),
			float32(((4-3*f)*f + 1) * f / 2), float32((f - 1) * f * f / 2),
		}
	}
	return t
}()

// warpRow fills light with row y of the view.
func warpRow(light []float32, g *image.Gray, v *view, y int) {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	m := &v.toSource
	fy := float64(y) + 0.5
	nx, ny, nw := m[1]*fy+m[2], m[4]*fy+m[5], m[7]*fy+m[8]
	for x := range light {
		fx := float64(x) + 0.5
		q := 1 / (m[6]*fx + nw)
		p := vec2{(m[0]*fx + nx) * q, (m[3]*fx + ny) * q}
		if v.lens.k1 != 0 {
			p = v.lens.bent(p)
		}
		if !(p.x >= 0 && p.y >= 0 && p.x <= float64(w) && p.y <= float64(h)) {
			light[x] = beyond
			continue
		}
		// Fixed point, with the value at a pixel's centre.
		const half = cubicSteps / 2
		px := int(p.x*cubicSteps+0.5) - half
		py := int(p.y*cubicSteps+0.5) - half
		i, j := px>>9-1, py>>9-1
		kx, ky := &cubic[px&(cubicSteps-1)], &cubic[py&(cubicSteps-1)]
		if i < 0 || j < 0 || i+4 > w || j+4 > h {
			light[x] = cubicAtBorder(g, i, j, kx, ky)
			continue
		}
		var sum float32
		at := j*g.Stride + i
		for r := range 4 {
			s := g.Pix[at : at+4 : at+4]
			sum += ky[r] * (kx[0]*linear[s[0]] + kx[1]*linear[s[1]] + kx[2]*linear[s[2]] + kx[3]*linear[s[3]])
			at += g.Stride
		}
		light[x] = sum
	}
}

func cubicAtBorder(g *image.Gray, i, j int, kx, ky *[4]float32) (sum float32) {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	for r := range 4 {
		row := g.Pix[min(max(j+r, 0), h-1)*g.Stride:]
		for c := range 4 {
			sum += ky[r] * kx[c] * linear[row[min(max(i+c, 0), w-1)]]
		}
	}
	return sum
}
