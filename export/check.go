package export

import (
	"errors"
	"fmt"
	"math"

	"github.com/twpayne/go-geom"
)

// ErrEmpty is returned for a drawing without a single line.
var ErrEmpty = errors.New("export: the drawing has no lines")

// maxSide is the longest side of a sheet, in millimetres: one kilometre. It keeps micrometres exact in a float64.
const maxSide = 1e6

// SizeError is returned for a sheet whose sides, in millimetres, are not both above 0 and at most a kilometre.
type SizeError struct{ Width, Height float64 }

func (e *SizeError) Error() string {
	return fmt.Sprintf("export: a sheet of %g x %g mm cannot be written, each side must be more than 0 and at most %g mm",
		e.Width, e.Height, float64(maxSide))
}

// OutsideError is returned for a line that leaves the sheet of Width by Height millimetres: At is the first point
// outside it.
type OutsideError struct {
	Role          Role
	At            geom.Coord
	Width, Height float64
}

func (e *OutsideError) Error() string {
	return fmt.Sprintf("export: %s line leaves the sheet at (%.3f, %.3f), the sheet is %g x %g mm",
		e.Role, e.At[0], e.At[1], e.Width, e.Height)
}

// ShapeError is returned for a shape that cannot be written: of another type than a [Layer] may hold, with a ring of
// fewer than four coordinates or one that does not close, a line of fewer than two, a coordinate that is no number or
// infinite, or in a layer of no known role. Shape counts from 0 in the layer numbered Layer.
type ShapeError struct {
	Layer, Shape int
	Role         Role
	Problem      string
}

func (e *ShapeError) Error() string {
	return fmt.Sprintf("export: layer %d (%s), shape %d: %s", e.Layer, e.Role, e.Shape, e.Problem)
}

// check returns an error unless every line of d can be written.
func (d *Drawing) check() error {
	if d == nil {
		return ErrEmpty
	}
	if !(d.Width > 0 && d.Width <= maxSide && d.Height > 0 && d.Height <= maxSide) {
		return &SizeError{d.Width, d.Height}
	}
	lines := 0
	for i, l := range d.Layers {
		for j, s := range l.Shapes {
			fault := func(format string, args ...any) error {
				return &ShapeError{i, j, l.Role, fmt.Sprintf(format, args...)}
			}
			if !l.Role.known() {
				return fault("the role %d is unknown", int(l.Role))
			}
			if !drawable(s) {
				return fault("a %T cannot be drawn", s)
			}
			for p := range paths(s) {
				if problem := p.malformed(); problem != "" {
					return fault("%s", problem)
				}
				if at := p.outside(d.Width, d.Height); at != nil {
					return &OutsideError{l.Role, at, d.Width, d.Height}
				}
				lines += len(p.ends)
			}
		}
	}
	if lines == 0 {
		return ErrEmpty
	}
	return nil
}

// malformed says what is wrong with the path, or "".
func (p path) malformed() string {
	start := p.start
	for _, end := range p.ends {
		if p.stride < 2 || end < start || end > len(p.flat) || (end-start)%p.stride != 0 {
			return fmt.Sprintf("coordinates %d to %d of %d do not make points of %d", start, end, len(p.flat), p.stride)
		}
		n := (end - start) / p.stride
		for k := start; k < end; k += p.stride {
			// x-x is 0 for every finite x and not a number for the others.
			if x, y := p.flat[k], p.flat[k+1]; x-x != 0 || y-y != 0 {
				return fmt.Sprintf("coordinate %d is (%g, %g)", (k-start)/p.stride, x, y)
			}
		}
		last := end - p.stride
		switch {
		case p.closed && n < 4:
			return fmt.Sprintf("a ring has %d coordinates, it needs 4 or more", n)
		case !p.closed && n < 2:
			return fmt.Sprintf("a line has %d coordinates, it needs 2 or more", n)
		case p.closed && (p.flat[start] != p.flat[last] || p.flat[start+1] != p.flat[last+1]):
			return fmt.Sprintf("a ring is open, it starts at (%.3f, %.3f) and ends at (%.3f, %.3f)",
				p.flat[start], p.flat[start+1], p.flat[last], p.flat[last+1])
		}
		start = end
	}
	return ""
}

// outside returns the path's first point off a sheet of the given size, or nil. As lines are written in whole
// micrometres, half a micrometre beyond the edge still counts as on the sheet.
func (p path) outside(width, height float64) geom.Coord {
	w, h := micrometres(width), micrometres(height)
	for k := p.start; k < p.ends[len(p.ends)-1]; k += p.stride {
		x, y := p.flat[k], p.flat[k+1]
		// The first test spares the conversion of numbers too large for an integer.
		if math.Abs(x) > 2*maxSide || math.Abs(y) > 2*maxSide {
			return geom.Coord{x, y}
		}
		if ux, uy := micrometres(x), micrometres(y); ux < 0 || uy < 0 || ux > w || uy > h {
			return geom.Coord{x, y}
		}
	}
	return nil
}
