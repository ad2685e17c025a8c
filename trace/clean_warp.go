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
// light, so that the edge of the ink is where values cross the middle. c is the
// coarse picture of g.
//
// Between pixels it interpolates light by Catmull and Rom's cubic; beyond the
// source all is paper.
func levelled(g *image.Gray, c *field, v *view, t *tone) *image.Gray {
	out := image.NewGray(image.Rect(0, 0, v.w, v.h))
	e := c.extremes()
	dx, dy, whole := v.shifted()
	eachBand(v.h, func(y0, y1 int) {
		var light [stretch]float32
		for y := y0; y < y1; y++ {
			from := t.leveling(v, 0, y)
			for x := 0; x < v.w; x += stretch {
				to := t.leveling(v, x+stretch, y)
				dst := out.Pix[y*out.Stride+x:][:min(stretch, v.w-x)]
				low, high := e.between(from.at, to.at)
				switch {
				case min(from.of(low), to.of(low)) > allPaper:
					fillRow(dst)
				case max(from.of(high), to.of(high)) < allInk:
					clear(dst)
				default:
					if whole {
						sampleRow(light[:len(dst)], g, x+dx, y+dy)
					} else {
						warpRow(light[:len(dst)], g, v, x, y)
					}
					for i := range dst {
						f := float32(i) / stretch
						gain, offset := from.gain+f*(to.gain-from.gain), from.offset+f*(to.offset-from.offset)
						dst[i] = uint8(min(max(light[i]*gain+offset, 0), 255) + 0.5)
					}
				}
				from = to
			}
		}
	})
	return out
}

// The tone changes slowly: it is looked up every stretch of pixels. Where all of
// a stretch is this near to paper or to ink there is no edge, and no closer look.
const (
	stretch  = 16
	allPaper = 230
	allInk   = 25
)

// A leveling takes light to 0..255 at a point of the source.
type leveling struct {
	at           vec2
	gain, offset float32
}

func (l *leveling) of(light float32) float32 { return light*l.gain + l.offset }

// leveling is that of a pixel of the view.
func (t *tone) leveling(v *view, x, y int) leveling {
	p := v.at(float64(x)+0.5, float64(y)+0.5)
	paper, ink := max(t.paper.at(p.x, p.y), 1e-4), min(t.ink.at(p.x, p.y), 0.9)
	return leveling{p, 255 / (paper * (1 - ink)), -255 * ink / (1 - ink)}
}

// extremes are the least and the most light round each cell of a field.
type extremes struct {
	*field
	least, most []float32
}

func (f *field) extremes() *extremes {
	e := &extremes{f, make([]float32, len(f.v)), make([]float32, len(f.v))}
	eachBand(f.h, func(y0, y1 int) {
		lo, hi := make([]float32, f.w), make([]float32, f.w)
		for y := y0; y < y1; y++ {
			a, b, c := f.v[max(y-1, 0)*f.w:][:f.w], f.v[y*f.w:][:f.w], f.v[min(y+1, f.h-1)*f.w:][:f.w]
			for x := range f.w {
				lo[x], hi[x] = min(a[x], b[x], c[x]), max(a[x], b[x], c[x])
			}
			least, most := e.least[y*f.w:][:f.w], e.most[y*f.w:][:f.w]
			for x := range f.w {
				i, j := max(x-1, 0), min(x+1, f.w-1)
				least[x], most[x] = min(lo[i], lo[x], lo[j]), max(hi[i], hi[x], hi[j])
			}
		}
	})
	return e
}

// between gives the extremes along the way from a to b; outside the source they
// say nothing.
func (e *extremes) between(a, b vec2) (least, most float32) {
	d := b.sub(a)
	n := int(d.norm()/(2*e.step)) + 1 // each place tells of a cell to either side
	least, most = float32(math.Inf(1)), float32(math.Inf(-1))
	for i := range n + 1 {
		p := a.add(d.mul(float64(i) / float64(n)))
		x, y := int(math.Floor(p.x/e.step)), int(math.Floor(p.y/e.step))
		if x < 0 || y < 0 || x >= e.w || y >= e.h {
			return 0, float32(math.Inf(1))
		}
		least, most = min(least, e.least[y*e.w+x]), max(most, e.most[y*e.w+x])
	}
	return least, most
}

// at is the source point of a point of the view.
func (v *view) at(x, y float64) vec2 { return v.lens.bent(v.toSource.at(vec2{x, y})) }

// beyond is the light outside the source: more than any paper has.
var beyond = float32(math.Inf(1))

// sampleRow copies the light of a row of g from x0 on.
func sampleRow(light []float32, g *image.Gray, x0, y int) {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	src := g.Pix[min(max(y, 0), h-1)*g.Stride:][:w]
	for x := range light {
		light[x] = linear[src[min(max(x0+x, 0), w-1)]]
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

// warpRow fills light with row y of the view from x0 on.
func warpRow(light []float32, g *image.Gray, v *view, x0, y int) {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	m := &v.toSource
	fy := float64(y) + 0.5
	nx, ny, nw := m[1]*fy+m[2], m[4]*fy+m[5], m[7]*fy+m[8]
	for x := range light {
		fx := float64(x0+x) + 0.5
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
