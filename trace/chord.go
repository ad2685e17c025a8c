package trace

import "math"

// chord tells how far points are from the segment from a to b.
type chord struct {
	ax, ay, dx, dy float64
	l2             float64 // its squared length
}

func newChord(ax, ay, bx, by float64) chord {
	dx, dy := bx-ax, by-ay
	return chord{ax, ay, dx, dy, dx*dx + dy*dy}
}

// off is the squared distance of a point, times l2 unless that is 0.
func (c *chord) off(x, y float64) float64 {
	x, y = x-c.ax, y-c.ay
	along := x*c.dx + y*c.dy
	switch {
	case c.l2 == 0:
		return x*x + y*y
	case along < 0:
		return (x*x + y*y) * c.l2
	case along > c.l2:
		x, y = x-c.dx, y-c.dy
		return (x*x + y*y) * c.l2
	}
	across := x*c.dy - y*c.dx
	return across * across
}

// worst is the greatest off of points, flat, and of what it had been before, as bits: of numbers that are not negative
// they have the same order, and to compare integers takes no branch that the processor has to guess.
func (c *chord) worst(xy []float64, before uint64) uint64 {
	ax, ay, dx, dy, l2 := c.ax, c.ay, c.dx, c.dy, c.l2
	if l2 == 0 {
		for i := 1; i < len(xy); i += 2 {
			before = max(before, math.Float64bits(c.off(xy[i-1], xy[i])))
		}
		return before
	}
	for i := 1; i < len(xy); i += 2 {
		x, y := xy[i-1]-ax, xy[i]-ay
		along, across := x*dx+y*dy, x*dy-y*dx
		q := across * across
		if along < 0 {
			q = (x*x + y*y) * l2
		} else if along > l2 {
			x, y = x-dx, y-dy
			q = (x*x + y*y) * l2
		}
		before = max(before, math.Float64bits(q))
	}
	return before
}

// distance2 is a squared distance again.
func (c *chord) distance2(worst uint64) float64 {
	if c.l2 == 0 {
		return math.Float64frombits(worst)
	}
	return math.Float64frombits(worst) / c.l2
}

// furthest gives the first and the last of the points that are as far as the worst.
func (c *chord) furthest(xy []float64, worst uint64) (first, last int) {
	least := math.Float64frombits(worst) * (1 - tie)
	first, last = 0, len(xy)/2-1
	for first < last && c.off(xy[2*first], xy[2*first+1]) < least {
		first++
	}
	for first < last && c.off(xy[2*last], xy[2*last+1]) < least {
		last--
	}
	return first, last
}

// first is the place of the first point with that off, or -1.
func (c *chord) first(xy []float64, worst uint64) int {
	for i := 1; i < len(xy); i += 2 {
		if math.Float64bits(c.off(xy[i-1], xy[i])) == worst {
			return i / 2
		}
	}
	return -1
}

// stretchOf gives the vertices of an open ring from i to before j, in two parts. i may be one before the ring's start, and
// both past its end.
func stretchOf(xy []float64, i, j int) (a, b []float64) {
	n := len(xy) / 2
	if i >= n {
		i, j = i-n, j-n
	} else if i < 0 {
		i, j = i+n, j+n
	}
	if j <= i {
		return nil, nil
	}
	if j <= n {
		return xy[2*i : 2*j], nil
	}
	return xy[2*i:], xy[:2*(j-n)]
}

// furthestOf returns the vertex between i and j that is furthest from the segment from a to b, or -1, and its squared
// distance.
func furthestOf(xy []float64, i, j int, ax, ay, bx, by float64) (v int, d2 float64) {
	if j <= i+1 {
		return -1, -1
	}
	c := newChord(ax, ay, bx, by)
	p, q := stretchOf(xy, i+1, j)
	worst := c.worst(q, c.worst(p, 0))
	if v = c.first(p, worst); v < 0 {
		v = len(p)/2 + c.first(q, worst)
	}
	return i + 1 + v, c.distance2(worst)
}

// worstOf is the squared distance of that vertex, or -1.
func worstOf(xy []float64, i, j int, ax, ay, bx, by float64) float64 {
	if j <= i+1 {
		return -1
	}
	c := newChord(ax, ay, bx, by)
	p, q := stretchOf(xy, i+1, j)
	return c.distance2(c.worst(q, c.worst(p, 0)))
}
