package export

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.org/kerfleaf/export/internal/fit"
	"example.org/kerfleaf/internal/ring"
)

// ErrCurves is wrapped by the error for a tolerance of curves that is not a length.
var ErrCurves = errors.New("not a tolerance for curves")

// checkCurves returns an error unless tolerance, in mm, is 0 for straight lines or fine enough to be written.
func checkCurves(tolerance float64) error {
	if tolerance == 0 || tolerance >= 0.001 && tolerance <= maxSide {
		return nil
	}
	return fmt.Errorf("export: %g mm is %w, it must be 0 for straight lines or at least 0.001 mm", tolerance, ErrCurves)
}

// A fitting lays curves through a line: fit.Cubics or fit.Arcs.
type fitting func(line []fit.Point, closed bool, tolerance float64) (start fit.Point, segments []fit.Segment)

// A bend is a line of a path with curves laid through it, on the grid of micrometres.
type bend struct {
	start    point
	segments []bendSegment
	closed   bool
}

// A bendSegment ends at end; curved ones have two control points, arcs a bulge (see fit.Segment).
type bendSegment struct {
	c1, c2, end point
	curved      bool
	bulge       float64
}

// bends are the lines of all paths of a group, path by path, with curves that depart from them by at most the tolerance in mm
// but for the rounding to micrometres. A ring whose curves would meet those of another, or itself, stays straight.
func (g Layer) bends(tolerance float64, lay fitting) [][]bend {
	var out [][]bend
	var lines [][]point // of all bends, as they were
	var all []*bend
	for _, s := range g.Shapes {
		for p := range paths(s) {
			var bends []bend
			for line := range p.lines(nil) {
				bends = append(bends, bentLine(line, p.closed, tolerance, lay))
				lines = append(lines, slices.Clone(line))
			}
			out = append(out, bends)
		}
	}
	for i := range out {
		for k := range out[i] {
			all = append(all, &out[i][k])
		}
	}
	straighten(all, lines, tolerance)
	return out
}

func bentLine(line []point, closed bool, tolerance float64, lay fitting) bend {
	pts := make([]fit.Point, len(line))
	for i, q := range line {
		pts[i] = fit.Point{X: float64(q.x) / 1000, Y: float64(q.y) / 1000}
	}
	start, segments := lay(pts, closed, tolerance)
	b := bend{start: onGrid(start), closed: closed, segments: make([]bendSegment, len(segments))}
	for i, s := range segments {
		b.segments[i] = bendSegment{onGrid(s.C1), onGrid(s.C2), onGrid(s.End), s.Curved, s.Bulge}
	}
	return b
}

func onGrid(p fit.Point) point { return point{micrometres(p.X), micrometres(p.Y)} }

// straightLine is the line as a bend without curves.
func straightLine(line []point, closed bool) bend {
	b := bend{start: line[0], closed: closed}
	for _, q := range line[1:] {
		b.segments = append(b.segments, bendSegment{end: q})
	}
	if closed {
		b.segments = append(b.segments, bendSegment{end: line[0]})
	}
	return b
}

// straighten takes the curves out of rings that meet another ring or themselves, until none does that has curves.
func straighten(bends []*bend, lines [][]point, tolerance float64) {
	curved := make([]bool, len(bends))
	for i, b := range bends {
		curved[i] = b.closed
	}
	for {
		var rings [][]float64
		var of []int
		for i, b := range bends {
			if b.closed {
				rings, of = append(rings, b.ring(tolerance/8)), append(of, i)
			}
		}
		index := ring.NewIndex(rings)
		changed := false
		index.Meetings(0, len(index.Blocks), func(m ring.Meeting) bool {
			for _, r := range []int{of[m.RingA], of[m.RingB]} {
				if curved[r] {
					curved[r], changed = false, true
					*bends[r] = straightLine(lines[r], true)
				}
			}
			return true
		})
		if !changed {
			return
		}
	}
}

// ring is the bend as a closed ring of chords no further than tolerance from it, in mm.
func (b *bend) ring(tolerance float64) []float64 {
	var flat []fit.Point
	at := func(q point) fit.Point { return fit.Point{X: float64(q.x) / 1000, Y: float64(q.y) / 1000} }
	from := at(b.start)
	out := []float64{from.X, from.Y}
	for _, s := range b.segments {
		to := at(s.end)
		switch {
		case s.curved:
			flat = fit.Flatten(flat[:0], from, at(s.c1), at(s.c2), to, tolerance)
		case s.bulge != 0:
			flat = fit.FlattenArc(flat[:0], from, to, s.bulge, tolerance)
		default:
			flat = append(flat[:0], from, to)
		}
		for _, q := range flat[1:] {
			if q.X != out[len(out)-2] || q.Y != out[len(out)-1] {
				out = append(out, q.X, q.Y)
			}
		}
		from = to
	}
	return out
}

// micro is a number in whole millionths.
func micro(v float64) int64 { return int64(math.Floor(v*1e6 + 0.5)) }
