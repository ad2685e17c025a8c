package words

import (
	"errors"
	"math"
	"slices"

	"github.com/go-text/typesetting/font/opentype"

	"example.org/kerfleaf/internal/ring"
)

type point struct{ x, y float64 }

var errOutline = errors.New("a glyph's outline is damaged")

// outline reads a glyph's contours, closed rings in font units with y down, and
// flattens their curves: no point of a curve is further than flat from the
// chord that stands for it. Curves are cut at their leftmost, rightmost,
// topmost and lowest points first, so those are exact at any flatness.
func (s *setter) outline(id opentype.GID, flat float64) ([][]float64, error) {
	data, ok := s.face.GlyphDataOutline(id)
	if !ok {
		return nil, nil
	}
	var out [][]float64
	var r []float64
	end := func() {
		// Designers leave single points behind; they enclose nothing.
		if len(r) >= 6 {
			out = append(out, append(r, r[0], r[1]))
		}
		r = nil
	}
	var pen point
	for _, seg := range data.Segments {
		var p [3]point
		for i, arg := range seg.ArgsSlice() {
			p[i] = point{float64(arg.X), -float64(arg.Y)}
			// A coordinate is 16 bits wide, and a composite scales it by 2 at
			// the most (TrueType glyf table), a few times over.
			if !(math.Abs(p[i].x) < 1e7 && math.Abs(p[i].y) < 1e7) {
				return nil, &FontError{errOutline}
			}
		}
		if seg.Op == opentype.SegmentOpMoveTo {
			end()
			pen = p[0]
			r = []float64{pen.x, pen.y}
			continue
		}
		if r == nil {
			r = []float64{pen.x, pen.y}
		}
		switch seg.Op {
		case opentype.SegmentOpLineTo:
			pen = p[0]
			r = append(r, pen.x, pen.y)
		case opentype.SegmentOpQuadTo:
			// A quadratic is the cubic whose inner control points lie two thirds
			// of the way to its own.
			c1 := point{pen.x + (p[0].x-pen.x)*2/3, pen.y + (p[0].y-pen.y)*2/3}
			c2 := point{p[1].x + (p[0].x-p[1].x)*2/3, p[1].y + (p[0].y-p[1].y)*2/3}
			r = flatten(r, [4]point{pen, c1, c2, p[1]}, flat)
			pen = p[1]
		case opentype.SegmentOpCubeTo:
			r = flatten(r, [4]point{pen, p[0], p[1], p[2]}, flat)
			pen = p[2]
		}
	}
	end()
	return out, nil
}

// flatten appends the vertices of a cubic Bézier curve after its first point.
//
// A chord over the parameter step h departs from the curve by at most
// h²/8·max|B″| (the error of linear interpolation, in any textbook of
// numerical analysis), and |B″| is at most 6 times the longer of the second
// differences of the control points.
func flatten(to []float64, b [4]point, flat float64) []float64 {
	cuts := append(turns(b[0].x, b[1].x, b[2].x, b[3].x), turns(b[0].y, b[1].y, b[2].y, b[3].y)...)
	slices.Sort(cuts)
	cuts = append(slices.Compact(cuts), 1)
	bend := max(
		math.Hypot(b[0].x-2*b[1].x+b[2].x, b[0].y-2*b[1].y+b[2].y),
		math.Hypot(b[1].x-2*b[2].x+b[3].x, b[1].y-2*b[2].y+b[3].y))
	perUnit := math.Sqrt(0.75 * bend / flat) // chords over the whole parameter range
	from := 0.0
	for _, cut := range cuts {
		n := max(1, math.Ceil((cut-from)*perUnit))
		for i := 1.0; i < n; i++ {
			p := at(b, from+(cut-from)*i/n)
			to = append(to, p.x, p.y)
		}
		if cut < 1 {
			p := at(b, cut)
			to = append(to, p.x, p.y)
		}
		from = cut
	}
	return append(to, b[3].x, b[3].y)
}

func at(b [4]point, t float64) point {
	u := 1 - t
	b0, b1, b2, b3 := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
	return point{
		b0*b[0].x + b1*b[1].x + b2*b[2].x + b3*b[3].x,
		b0*b[0].y + b1*b[1].y + b2*b[2].y + b3*b[3].y,
	}
}

// turns returns the parameters within (0, 1) where one coordinate of a cubic
// turns back: the roots of its derivative a·t² + b·t + c.
func turns(p0, p1, p2, p3 float64) []float64 {
	a, b, c := p3-3*p2+3*p1-p0, 2*(p0-2*p1+p2), p1-p0
	var roots []float64
	if d := b*b - 4*a*c; d >= 0 {
		// The form that does not cancel, Press et al., Numerical Recipes,
		// section "Quadratic and Cubic Equations".
		q := -(b + math.Copysign(math.Sqrt(d), b)) / 2
		roots = []float64{q / a, c / q}
	}
	// Closer than 1e-6 to an end, the end itself is as good.
	return slices.DeleteFunc(roots, func(t float64) bool { return !(t > 1e-6 && t < 1-1e-6) })
}

// bounds is the box around a glyph in font units; it is empty if the glyph is.
func (s *setter) bounds(id opentype.GID) (ring.Box, error) {
	if b, ok := s.boxes[id]; ok {
		return b, nil
	}
	// However coarse the curves, their extreme points are true.
	filled, err := s.filled(id, math.Inf(1))
	if err != nil {
		return ring.EmptyBox(), err
	}
	b := ring.EmptyBox()
	for xy := filled.FlatCoords(); len(xy) > 0; xy = xy[2:] {
		b = b.Add(xy[0], xy[1])
	}
	s.boxes[id] = b
	return b, nil
}
