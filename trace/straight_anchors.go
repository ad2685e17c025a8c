package trace

import "slices"

// anchors sets breaks to the middles of the stretches along which an open ring reaches its bounding box, counted from
// the one that comes first in the ring, and returns that one. They depend on the shape alone, not on where the ring
// begins, and lie alike in a picture turned by right angles or mirrored.
func (s *straightener) anchors(xy []float64) (first int) {
	x0, y0, x1, y1 := xy[0], xy[1], xy[0], xy[1]
	for i := 0; i+1 < len(xy); i += 2 {
		x, y := xy[i], xy[i+1]
		if x < x0 {
			x0 = x
		} else if x > x1 {
			x1 = x
		}
		if y < y0 {
			y0 = y
		} else if y > y1 {
			y1 = y
		}
	}
	const eps = 1e-6
	depth := func(side, i int) float64 { // from the side of the box
		switch x, y := xy[2*i], xy[2*i+1]; side {
		case 0:
			return x - x0
		case 1:
			return y - y0
		case 2:
			return x1 - x
		default:
			return y1 - y
		}
	}
	on := func(side, i int) bool { return depth(side, i) <= eps }
	s.breaks = s.breaks[:0]
	for i := range s.n {
		x, y := xy[2*i], xy[2*i+1]
		if x-x0 > eps && x1-x > eps && y-y0 > eps && y1-y > eps {
			continue
		}
		for side := range 4 {
			if !on(side, i) || on(side, (i+s.n-1)%s.n) {
				continue
			}
			j := i
			for on(side, (j+1)%s.n) {
				j++
			}
			// Of two middles, the one toward the side where the ring stays longer by the box, or both.
			mid, other := (i+j)/2, (i+j+1)/2
			for d := 1; mid != other && d < s.n/4; d++ {
				before, after := depth(side, (i-d+s.n)%s.n), depth(side, (j+d)%s.n)
				if before-after > eps {
					mid = other
				} else if after-before > eps {
					other = mid
				}
			}
			s.breaks = append(s.breaks, int32(mid%s.n), int32(other%s.n))
		}
	}
	slices.Sort(s.breaks)
	s.breaks = slices.Compact(s.breaks)
	first = int(s.breaks[0])
	for k := range s.breaks {
		s.breaks[k] -= int32(first)
	}
	return first
}
