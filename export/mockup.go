package export

import (
	"fmt"
	"image"
	"image/color"
	"io"
	"math"
	"math/rand/v2"

	"github.com/fogleman/gg"
	"github.com/twpayne/go-geom"
	"golang.org/x/image/draw"
)

// MockupOptions are the choices of [Mockup]; nil stands for the defaults.
type MockupOptions struct {
	Base    color.Color // of the base's paper; default a rust red
	Backing image.Image // a picture of the base's paper, which takes the colour's place and fills the base
	Front   color.Color // of the front's paper; default a warm white
	Pixels  int         // the picture's longest side, 200 to 2000; default 1600
}

// FaceError is returned for a mock-up whose face is not a rectangle on the sheet of Width by Height mm, or whose depth in mm is
// negative or no number.
type FaceError struct {
	Face                 *geom.Bounds
	Depth, Width, Height float64
}

func (e *FaceError) Error() string {
	if e.Face == nil {
		return "export: a mock-up needs the face of the box"
	}
	return fmt.Sprintf("export: the face from (%g, %g) to (%g, %g) with a depth of %g mm is no box on a sheet of %g x %g mm",
		e.Face.Min(0), e.Face.Min(1), e.Face.Max(0), e.Face.Max(1), e.Depth, e.Width, e.Height)
}

// Mockup draws the finished box, hung on a wall, from the drawing d of its front's net: face is the rectangle within the scores, in mm on
// the sheet, depth the walls' height in mm. The closed cut lines within the face open it; through them one sees the base's
// paper, in the soft shadow of the front. The picture is an oblique view with light from the upper left, drawn for the
// eye: shadows are shorter than the depth would throw them, so that fine openings keep their colour.
//
// Errors: [ErrEmpty], also if no cut line is within the face, [*SizeError], [*OutsideError], [*ShapeError], [*FaceError],
// [*PixelsError], before a byte is written, and those of w.
func Mockup(w io.Writer, d *Drawing, face *geom.Bounds, depth float64, opts *MockupOptions) error {
	if err := d.check(); err != nil {
		return err
	}
	if opts == nil {
		opts = &MockupOptions{}
	}
	px, err := pixels(opts.Pixels)
	if err != nil {
		return err
	}
	if !d.holdsFace(face, depth) {
		return &FaceError{face, depth, d.Width, d.Height}
	}
	s := newScene(d, face, depth, opts, px)
	if !s.open() {
		return ErrEmpty
	}
	return encodePNG(w, s.render())
}

// holdsFace says whether face is a rectangle on the sheet and depth a length.
func (d *Drawing) holdsFace(face *geom.Bounds, depth float64) bool {
	return face != nil && depth >= 0 && depth <= maxSide && face.Min(0) < face.Max(0) && face.Min(1) < face.Max(1) &&
		d.holds(geom.Coord{face.Min(0), face.Min(1)}) && d.holds(geom.Coord{face.Max(0), face.Max(1)})
}

// A scene is a box on a wall in pixels: the face from (x0, y0), wide by high, at k pixels to the mm. What lies
// depth behind the face appears moved by (dx, dy).
type scene struct {
	d          *Drawing
	face       *geom.Bounds
	opts       *MockupOptions
	w, h       int
	k          float64
	x0, y0     float64
	wide, high float64
	depth      float64
	dx, dy     float64
	cut        mask // the openings
}

// The view: how far a point behind the face moves to the right and down, per mm of depth, and how much of the face's shorter side it may
// move at most.
const obliqueX, obliqueY, obliqueMost = 0.26, 0.20, 0.16

func newScene(d *Drawing, face *geom.Bounds, depth float64, opts *MockupOptions, px int) *scene {
	fw, fh := face.Max(0)-face.Min(0), face.Max(1)-face.Min(1)
	seen := min(depth, obliqueMost*min(fw, fh)/obliqueX)
	border := 0.16 * min(max(fw, fh), 2.5*min(fw, fh)) // wall round the box, mm
	w, h := fw+obliqueX*seen+2*border, fh+obliqueY*seen+2*border
	k := float64(px) / max(w, h)
	return &scene{
		d: d, face: face, opts: opts,
		w: pixel(w*k, px), h: pixel(h*k, px), k: k,
		x0: border * k, y0: border * k * 0.92, wide: fw * k, high: fh * k,
		depth: seen * k, dx: obliqueX * seen * k, dy: obliqueY * seen * k,
	}
}

// open draws the openings and reports whether there is one.
func (s *scene) open() bool {
	found := false
	s.cut = masked(s.w, s.h, func(dc *gg.Context) {
		var buf []point
		p := plan{k: s.k, x0: s.x0 - s.k*s.face.Min(0), y0: s.y0 - s.k*s.face.Min(1)}
		for _, l := range s.d.Layers {
			if l.Role != Cut {
				continue
			}
			for _, shape := range l.Shapes {
				for path := range paths(shape) {
					if !path.closed || !path.within(s.face) {
						continue
					}
					for line := range path.lines(buf) {
						p.trail(dc, line, true)
						buf, found = line, true
					}
				}
			}
		}
		dc.SetFillRuleEvenOdd()
		dc.Fill()
	})
	return found
}

// within says whether the path lies inside b, with a micrometre to spare on each side: the face itself is no opening.
func (p path) within(b *geom.Bounds) bool {
	for k := p.start; k < p.ends[len(p.ends)-1]; k += p.stride {
		x, y := p.flat[k], p.flat[k+1]
		if x < b.Min(0)+0.001 || y < b.Min(1)+0.001 || x > b.Max(0)-0.001 || y > b.Max(1)-0.001 {
			return false
		}
	}
	return true
}

// A shade is a colour in the linear light of each channel, 0 to 1.
type shade [3]float32

func shadeOf(c color.Color) shade {
	n := color.NRGBAModel.Convert(c).(color.NRGBA)
	return shade{linear[n.R], linear[n.G], linear[n.B]}
}

func (s shade) times(f float32) shade { return shade{s[0] * f, s[1] * f, s[2] * f} }

// tinted is the colour in shade, warmed by light from the wall.
func (s shade) tinted(f float64) shade {
	v := float32(f)
	return shade{s[0] * v, s[1] * v * (0.93 + 0.07*v), s[2] * v * (0.82 + 0.18*v)}
}

func (s shade) mix(t shade, f float32) shade {
	return shade{s[0] + (t[0]-s[0])*f, s[1] + (t[1]-s[1])*f, s[2] + (t[2]-s[2])*f}
}

// linear is the light of each sRGB value (IEC 61966-2-1).
var linear = func() (t [256]float32) {
	for i := range t {
		v := float64(i) / 255
		if v <= 0.04045 {
			t[i] = float32(v / 12.92)
		} else {
			t[i] = float32(math.Pow((v+0.055)/1.055, 2.4))
		}
	}
	return t
}()

// encoded is the sRGB value of each of 4096 steps of light.
var encoded = func() (t [4097]uint8) {
	for i := range t {
		v := float64(i) / 4096
		if v <= 0.0031308 {
			v *= 12.92
		} else {
			v = 1.055*math.Pow(v, 1/2.4) - 0.055
		}
		t[i] = uint8(v*255 + 0.5)
	}
	return t
}()

func encode(v float32) uint8 { return encoded[int(min(max(v, 0), 1)*4096+0.5)] }

// grain is the tooth of paper: a surface of smoothed noise, lit from the upper left, about 0 with a standard deviation of strength.
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
	cast, contact := body.blurred(0.02*size+0.25*s.depth), body.blurred(0.004*size+0.06*s.depth)
	direct, around := s.cut.blurred(0.05*s.depth), s.cut.blurred(0.2*s.depth+1)
	base := s.base()
	rim := max(0.6, 0.14*s.k)
	throwX, throwY := 0.065*s.depth, 0.09*s.depth
	for y := range s.h {
		for x := range s.w {
			fx, fy := float64(x), float64(y)
			i := y*s.w + x
			// The wall, with the shadow of the box.
			fall := float32(1.04 - 0.14*(fx/float64(s.w)*0.6+fy/float64(s.h)*0.8))
			c := wall.times(fall * (1 + wallGrain.v[i]))
			dark := 0.55*cast.near(fx-0.35*s.depth-0.012*size, fy-0.55*s.depth-0.02*size) + 0.3*contact.near(fx-0.1*s.depth, fy-0.16*s.depth)
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

// side shades the outer walls: the right one in half light, the lower one away from it, both darker toward the wall behind.
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

// base returns what the base's paper looks like at a pixel in full light: the colour, or the picture laid over the face.
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
