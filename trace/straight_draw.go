package trace

import "math"

// straightLines makes choosers that give a ring's vertices as the nodes of straight lines. Every vertex is within tolerance
// of its line, in a hard picture within half a pixel more once it has been de-stepped, and beside a corner within cornerOff if
// that is more. A line may reach further at corners that the pixels cut off, by at most tipReach, but not beyond the picture
// of w by h.
func straightLines(w, h int, tolerance float64, hard bool) func() chooser {
	return func() chooser {
		s := &straightener{w: float64(w), h: float64(h)}
		return func(xy []float64) (vertex []int32, at []float64) {
			s.tolerance = tolerance
			if tolerance > straightTolerance { // a blot shall not jump: half its mean width is enough
				s.tolerance = min(tolerance, max(straightTolerance, math.Abs(ringArea(xy))/perimeter(xy)))
			}
			c := s.ring(xy, hard)
			// Lines that cross, or leave half a blot out, are not what was drawn.
			got, want := 0.0, ringArea(xy)
			if len(c.nodes) >= 3 {
				got = ringArea(c.at)
			}
			if got*want <= 0 || math.Abs(got) < 0.75*math.Abs(want) || math.Abs(got) > 4.0/3*math.Abs(want) {
				c = s.plain(xy)
			}
			return c.nodes, c.at
		}
	}
}

func perimeter(xy []float64) float64 {
	n := len(xy)
	if n == 0 {
		return 0
	}
	sum := edge(xy[0]-xy[n-2], xy[1]-xy[n-1])
	for i := 2; i < n; i += 2 {
		sum += edge(xy[i]-xy[i-2], xy[i+1]-xy[i-1])
	}
	return sum
}
