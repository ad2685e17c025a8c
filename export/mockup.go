package export

import (
	"fmt"
	"image"
	"image/color"
	"io"

	"github.com/fogleman/gg"
	"github.com/twpayne/go-geom"
)

// MockupOptions are the choices of [Mockup]; nil stands for the defaults.
type MockupOptions struct {
	Base    color.Color // of the base's paper; default a rust red
	Backing image.Image // a picture of the base's paper, which takes the colour's place and fills the base
	Front   color.Color // of the front's paper; default a warm white
	Pixels  int         // the picture's longest side, 200 to 2000; default 1600
}

// FaceError is returned for a mock-up whose face is not a rectangle on the sheet of Width by Height mm, or whose depth
// in mm is negative or no number.
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

// Mockup draws the finished box, hung on a wall, from the drawing d of its front's net: face is the rectangle within
// the scores, in mm on the sheet, depth the walls' height in mm. The closed cut lines within the face open it; through
// them one sees the base's paper, in the soft shadow of the front. The picture is an oblique view with light from the
// upper left, drawn for the eye: shadows are shorter than the depth would throw them, so that fine openings keep their
// colour.
//
// Errors: [ErrEmpty], also if no cut line is within the face, [*SizeError], [*OutsideError], [*ShapeError],
// [*FaceError], [*PixelsError], before a byte is written, and those of w.
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

// The view: how far a point behind the face moves to the right and down, per mm of depth, and how much of the face's
// shorter side it may move at most.
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
