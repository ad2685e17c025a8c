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
// beside the segment and not beyond its end.
func reach(xy []float64, i, end int, tol float64) int {
	x0, y0 := xy[2*i], xy[2*i+1]
	tol2 := tol * tol
	best := 1
	var lx, ly, rx, ry float64 // the cone's sides, counted as y up: left, right
	open := true               // no cone yet
	far := 0.0                 // greatest squared distance so far
	q := 2 * i
	for j := 1; j <= end; j++ {
		if q += 2; q == len(xy) {
			q = 0
		}
		dx, dy := xy[q]-x0, xy[q+1]-y0
		d2 := dx*dx + dy*dy
		outside := false
		if !open {
			if dx*lx+dy*ly < 0 && dx*rx+dy*ry < 0 && d2 > tol2 {
				break
			}
			outside = lx*dy-ly*dx > 0 || rx*dy-ry*dx < 0
		}
		if !outside && d2 >= far {
			best = j
		}
		far = max(far, d2)
		if d2 <= tol2 {
			continue // any direction passes it
		}
		// The tangents to the circle round it: cos and sin of the half angle
		// are h and w over the distance, where h² + w² is its square. Beyond
		// half a right angle the comparisons below could not tell left from
		// right, and we take less than there is.
		h, w := math.Sqrt(d2-tol2), tol
		if h < w {
			h = math.Sqrt(d2 / 2)
			w = h
		}
		ax, ay := dx*h-dy*w, dy*h+dx*w // left
		bx, by := dx*h+dy*w, dy*h-dx*w // right
		if open {
			lx, ly, rx, ry = ax, ay, bx, by
			open = false
			continue
		}
		if ax*ly-ay*lx > 0 {
			lx, ly = ax, ay
		}
		if bx*ry-by*rx < 0 {
			rx, ry = bx, by
		}
		if rx*ly-ry*lx < 0 {
			break
		}
	}
	return best
}
