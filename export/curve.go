package export

import (
	"errors"
	"fmt"

	"example.org/kerfleaf/internal/ring"
)

// ErrCurves is wrapped by the error for a tolerance of curves that is not a length.
var ErrCurves = errors.New("not a tolerance for curves")

// checkCurves returns an error unless tolerance, in mm, is 0 for straight lines or coarse enough to be written.
func checkCurves(tolerance float64) error {
	if tolerance == 0 || tolerance >= 0.001 && tolerance <= maxSide {
		return nil
	}
	return fmt.Errorf("export: %g mm is %w, it must be 0 for straight lines or at least 0.001 mm", tolerance, ErrCurves)
}

// startRoom is how far in mm a line with curves may start from where the line starts, if that saves a cut through a
// curve.
const startRoom = 0.2

// bends are the lines of all paths of a group, path by path, with curves that depart from them by at most the tolerance
// in mm. A ring whose curves would meet those of another, or itself, stays straight.
func (g Layer) bends(tolerance float64, lay fitting) [][]bend {
	var out [][]bend
	var lines [][]float64 // of all bends, as they were
	for _, s := range g.Shapes {
		for p := range paths(s) {
			var bends []bend
			for line := range p.lines(nil) {
				points := make([]float64, 0, 2*len(line)+2)
				for _, q := range line {
					points = append(points, float64(q.x)/1000, float64(q.y)/1000)
				}
				if p.closed {
					points = append(points, points[0], points[1])
				}
				b := lay(points, p.closed, tolerance)
				if p.closed {
					b.begin(spot{points[0], points[1]}, tolerance+startRoom)
				}
				bends, lines = append(bends, b), append(lines, points)
			}
			out = append(out, bends)
		}
	}
	var all []*bend
	for i := range out {
		for k := range out[i] {
			all = append(all, &out[i][k])
		}
	}
	straighten(all, lines, tolerance)
	return out
}

// straighten takes the curves out of rings that meet another ring or themselves, until none does that has curves.
func straighten(bends []*bend, lines [][]float64, tolerance float64) {
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
					*bends[r] = straightLine(lines[r])
				}
			}
			return true
		})
		if !changed {
			return
		}
	}
}

// straightLine is a closed line as a bend without curves.
func straightLine(points []float64) bend {
	b := bend{start: spot{points[0], points[1]}, closed: true}
	for i := 2; i < len(points); i += 2 {
		b.segments = append(b.segments, segment{end: spot{points[i], points[i+1]}})
	}
	return b
}

// ring is the bend as a closed ring of chords no further than tolerance from it, its joints on the grid of micrometres.
func (b *bend) ring(tolerance float64) []float64 {
	from := b.start
	room := 2
	for i := range b.segments {
		s := &b.segments[i]
		room += 2 * s.chords(from, tolerance)
		from = s.end
	}
	from = b.start.onGrid()
	out := append(make([]float64, 0, room), from.x, from.y)
	for _, s := range b.segments {
		s.end = s.end.onGrid()
		n := s.chords(from, tolerance)
		for i := 1; i <= n; i++ {
			q := s.end
			if i < n {
				q = s.at(from, float64(i)/float64(n))
			}
			if q.x != out[len(out)-2] || q.y != out[len(out)-1] {
				out = append(out, q.x, q.y)
			}
		}
		from = s.end
	}
	return out
}

// onGrid is the place in whole micrometres, as it is written.
func (s spot) onGrid() spot {
	q := s.point()
	return spot{float64(q.x) / 1000, float64(q.y) / 1000}
}

func (s spot) point() point { return point{micrometres(s.x), micrometres(s.y)} }
