package trace

import "math"

// thin appends the numbers of the vertices of an open ring that stand for all
// of them within the tolerance: at least three, round which the way is the
// same as round all.
func thin(chosen []int32, xy []float64, tolerance float64) []int32 {
	n, first := len(xy)/2, len(chosen)
	for tol := tolerance; n > 3 && tol > tolerance/64; tol /= 2 {
		// The first vertex may lie on a straight run: the end of the first
		// reach does not.
		s := reach(xy, 0, n, tol)
		for i := s; i < s+n; {
			v := i
			if v >= n {
				v -= n
			}
			chosen = append(chosen, int32(v))
			i += reach(xy, v, s+n-i, tol)
		}
		if len(chosen)-first >= 3 && chosenArea(xy, chosen[first:])*ringArea(xy) > 0 {
			return chosen
		}
		chosen = chosen[:first]
	}
	for i := range n {
		chosen = append(chosen, int32(i))
	}
	return chosen
}

// chosenArea is the ringArea of some of a ring's vertices.
func chosenArea(xy []float64, chosen []int32) float64 {
	x0, y0 := xy[0], xy[1]
	last := chosen[len(chosen)-1]
	px, py := xy[2*last]-x0, xy[2*last+1]-y0
	sum := 0.0
	for _, v := range chosen {
		x, y := xy[2*v]-x0, xy[2*v+1]-y0
		sum += px*y - x*py
		px, py = x, y
	}
	return sum / 2
}

// reach returns how many vertices on, at least one and at most end, a segment
// from vertex i of an open ring may lead such that the distance of those
// between is at most tol.
//
// A vertex further than that from i must lie in the cone of directions that
// pass the ones before. If it is also not nearer than any of them, these lie
// beside the segment and not beyond its end. The cone is kept as two slopes
// against the way to the first such vertex; a slope m may pass a vertex by
// tol√(1+m²), of which we take tol.
const (
	lookAhead = 4
	steepest  = 1.0 / 64
)

func reach(xy []float64, i, end int, tol float64) int {
	q := 2 * i
	x0, y0 := xy[q], xy[q+1]
	best, j := 1, 1
	far, tol2 := 0.0, tol*tol // far is the greatest squared distance so far
	var dx, dy, d2 float64
	for ; ; j++ {
		if j > end {
			return best
		}
		if q += 2; q == len(xy) {
			q = 0
		}
		dx, dy = xy[q]-x0, xy[q+1]-y0
		d2 = dx*dx + dy*dy
		if d2 > tol2 {
			break
		}
		if d2 >= far {
			best, far = j, d2
		}
	}
	// Some vertices on, the way is more like the whole segment's.
	p := q + 2*min(lookAhead, end-j)
	if p >= len(xy) {
		p -= len(xy)
	}
	ex, ey := xy[p]-x0, xy[p+1]-y0
	if ex*dx+ey*dy <= 0 {
		ex, ey = dx, dy
	}
	w := tol * math.Sqrt(ex*ex+ey*ey)
	low, high := int64(math.MinInt64), int64(math.MaxInt64)
	for q -= 2; j <= end; j++ {
		if q += 2; q == len(xy) {
			q = 0
		}
		dx, dy = xy[q]-x0, xy[q+1]-y0
		d2 = dx*dx + dy*dy
		s, t := dx*ex+dy*ey, dy*ex-dx*ey
		if d2 <= tol2 {
			continue // any direction passes it
		}
		if s < steepest*math.Abs(t) {
			break
		}
		f := 1 << 40 / s
		slope, half := int64(t*f), int64(w*f)-1
		if d2 >= far {
			far = d2
			if slope >= low && slope <= high {
				best = j
			}
		}
		low, high = max(low, slope-half), min(high, slope+half)
		if low > high {
			break
		}
	}
	return best
}
