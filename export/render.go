package export

import (
	"image"
	"image/color"
	"math"
	"math/rand/v2"

	"github.com/fogleman/gg"
	"golang.org/x/image/draw"
)

// grain is the tooth of paper: a surface of smoothed noise, lit from the upper left, about 0 with a standard deviation
// of strength.
func grain(w, h int, sigma float64, strength float32, seed uint64) mask {
	rnd := rand.New(rand.NewPCG(seed, 2))
	m := mask{w, h, make([]float32, w*h)}
	for i := range m.v {
		m.v[i] = rnd.Float32() - 0.5
	}
	m = m.blurred(sigma)
	out := mask{w, h, make([]float32, w*h)}
	sum := 0.0
	for y := 1; y < h; y++ {
		for x := 1; x < w; x++ {
			v := m.v[y*w+x] - m.v[(y-1)*w+x-1]
			out.v[y*w+x] = v
			sum += float64(v) * float64(v)
		}
	}
	scale := strength / float32(math.Sqrt(sum/float64(w*h))+1e-9)
	for i := range out.v {
		out.v[i] *= scale
	}
	return out
}

// render shades every pixel of the scene.
func (s *scene) render() *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, s.w, s.h))
	wallGrain := grain(s.w, s.h, 0.5+0.5*s.k, 0.012, 1)
	frontGrain := grain(s.w, s.h, 0.5+0.12*s.k, 0.007, 2)
	baseGrain := grain(s.w, s.h, 0.5+0.35*s.k, 0.035, 3)
	front, wall := shadeOf(paperColor), shadeOf(wallColor)
	if s.opts.Front != nil {
		front = shadeOf(s.opts.Front)
	}
	faceMask := masked(s.w, s.h, func(dc *gg.Context) { dc.DrawRectangle(s.x0, s.y0, s.wide, s.high); dc.Fill() })
	body := masked(s.w, s.h, s.silhouette)
	size := math.Sqrt(s.wide * s.high)
	// Shadows of deep boxes are no longer and softer than those of ordinary ones, or they would lose their shape.
	deep := min(s.depth, 0.28*min(s.wide, s.high))
	cast, contact := body.blurred(0.02*size+0.25*deep), body.blurred(0.004*size+0.06*deep)
	direct, around := s.cut.blurred(0.05*deep), s.cut.blurred(0.2*deep+1)
	base := s.base()
	rim := max(0.6, 0.14*s.k)
	throwX, throwY := 0.065*deep, 0.09*deep
	for y := range s.h {
		for x := range s.w {
			fx, fy := float64(x), float64(y)
			i := y*s.w + x
			// The wall, with the shadow of the box.
			fall := float32(1.04 - 0.14*(fx/float64(s.w)*0.6+fy/float64(s.h)*0.8))
			c := wall.times(fall * (1 + wallGrain.v[i]))
			dark := 0.55*cast.near(fx-0.35*deep-0.012*size, fy-0.55*deep-0.02*size) + 0.3*contact.near(fx-0.1*deep, fy-0.16*deep)
			c = c.times(1 - min(dark, 0.8))
			// The outer walls right and below, darker toward the back.
			if body.v[i] > 0 {
				c = c.mix(s.side(fx, fy, front).times(1+frontGrain.v[i]), body.v[i])
			}
			if faceMask.v[i] > 0 {
				// Through the openings: the base, lit where the openings let light through, and the paper's own edge.
				// Wide openings show a deeper shadow than fine ones, or those would lose their colour.
				shadow := 0.66 * (1 - direct.near(fx-throwX, fy-throwY)) * (0.4 + 0.6*min(1.5*around.v[i], 1))
				inner := base(x, y).times((1.02 - shadow) * (1 + baseGrain.v[i]))
				if s.cut.v[i] > 0 {
					edge := s.cut.v[i] - min(s.cut.v[i], s.cut.near(fx-rim*0.8, fy-rim*0.7))
					inner = inner.mix(front.times(0.66), edge)
				}
				sheet := front.times((1.01 - 0.07*float32((fx-s.x0)/s.wide*0.5+(fy-s.y0)/s.high*0.5)) * (1 + frontGrain.v[i]))
				c = c.mix(sheet.mix(inner, s.cut.v[i]), faceMask.v[i])
			}
			img.SetRGBA(x, y, color.RGBA{encode(c[0]), encode(c[1]), encode(c[2]), 255})
		}
	}
	return img
}

// silhouette draws the outline of the whole box.
func (s *scene) silhouette(dc *gg.Context) {
	x1, y1 := s.x0+s.wide, s.y0+s.high
	dc.MoveTo(s.x0, s.y0)
	dc.LineTo(x1, s.y0)
	dc.LineTo(x1+s.dx, s.y0+s.dy)
	dc.LineTo(x1+s.dx, y1+s.dy)
	dc.LineTo(s.x0+s.dx, y1+s.dy)
	dc.LineTo(s.x0, y1)
	dc.ClosePath()
	dc.Fill()
}

// side shades the outer walls: the right one in half light, the lower one away from it, both darker toward the wall
// behind.
func (s *scene) side(x, y float64, front shade) shade {
	if s.dx <= 0 {
		return front
	}
	u, v := (x-s.x0-s.wide)/s.dx, (y-s.y0-s.high)/s.dy // how far back on the right, on the lower wall
	if u > v {
		return front.tinted(0.70 - 0.16*min(max(u, 0), 1))
	}
	return front.tinted(0.50 - 0.15*min(max(v, 0), 1))
}

// base returns what the base's paper looks like at a pixel in full light: the colour, or the picture laid over the
// face.
func (s *scene) base() func(x, y int) shade {
	if s.opts.Backing == nil || s.opts.Backing.Bounds().Empty() {
		plain := shadeOf(accentColor)
		if s.opts.Base != nil {
			plain = shadeOf(s.opts.Base)
		}
		return func(int, int) shade { return plain }
	}
	x0, y0 := int(s.x0), int(s.y0)
	photo := image.NewRGBA(image.Rect(0, 0, int(math.Ceil(s.wide))+1, int(math.Ceil(s.high))+1))
	draw.Draw(photo, photo.Rect, image.White, image.Point{}, draw.Src)
	draw.CatmullRom.Scale(photo, photo.Rect, s.opts.Backing, covering(s.opts.Backing.Bounds(), s.wide/s.high), draw.Over, nil)
	return func(x, y int) shade {
		p := photo.RGBAAt(min(x-x0, photo.Rect.Dx()-1), min(y-y0, photo.Rect.Dy()-1))
		return shade{linear[p.R], linear[p.G], linear[p.B]}
	}
}

// covering is the largest rectangle of the given width to height in the middle of r.
func covering(r image.Rectangle, ratio float64) image.Rectangle {
	w, h := float64(r.Dx()), float64(r.Dy())
	if w > h*ratio {
		w = h * ratio
	} else {
		h = w / ratio
	}
	x, y := r.Min.X+int((float64(r.Dx())-w)/2), r.Min.Y+int((float64(r.Dy())-h)/2)
	return image.Rect(x, y, x+max(1, int(w)), y+max(1, int(h)))
}
