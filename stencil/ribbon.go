package stencil

import (
	"math"
	"slices"
)

// resample puts points on a line that are step apart, or a little more or less.
func resample(line []xy, step float64) []xy {
	out := line[:1:1]
	due := step
	gone := 0.0
	for i, p := range line[1:] {
		last := line[i]
		l := last.distance(p)
		for ; due <= gone+l; due += step {
			out = append(out, last.add(p.sub(last).times((due-gone)/l)))
		}
		gone += l
	}
	end := line[len(line)-1]
	if len(out) > 1 && out[len(out)-1].distance(end) < step/2 {
		out = out[:len(out)-1]
	}
	if out[len(out)-1] != end {
		out = append(out, end)
	}
	return out
}

// ribbon is the outline of a strip along line: half wide to both sides where the
// paper is thinner, and going over into the paper's own edge where it is wider.
func (t *tree) ribbon(line []xy, half float64) []xy {
	if len(line) < 2 {
		return nil
	}
	r := make([]float64, len(line))
	for i, p := range line {
		r[i] = math.Max(half, t.room(p, 4*half))
	}
	for range 4 {
		for i, last := 1, r[0]; i < len(r)-1; i++ {
			here := r[i]
			r[i] = math.Max(half, (last+2*here+r[i+1])/4)
			last = here
		}
	}
	var left, right []xy
	for i, p := range line {
		dir := line[min(i+1, len(line)-1)].sub(line[max(i-1, 0)])
		if dir = dir.times(1 / dir.norm()); math.IsNaN(dir.x) {
			continue // the points beside this one are the same
		}
		left = append(left, p.add(dir.left().times(r[i])))
		right = append(right, p.sub(dir.left().times(r[i])))
	}
	slices.Reverse(right)
	return append(left, right...)
}

// simple reports whether a ring has an inside and does not cross itself.
func simple(ring []xy) bool {
	n := len(ring)
	if n < 4 {
		return false
	}
	for i := range n {
		for j := i + 2; j < n; j++ {
			if (i > 0 || j < n-1) && crosses(ring[i], ring[(i+1)%n], ring[j], ring[(j+1)%n]) {
				return false
			}
		}
	}
	return true
}

// room is the distance from a to the nearest border, at most far.
func (t *tree) room(a xy, far float64) float64 {
	best := far
	t.near(box{a, a}, far, nil, func(i int32, within float64) float64 {
		best = math.Min(best, nearest(t.edges[i].a, t.edges[i].b, a).distance(a))
		return best
	})
	return best
}

// fits is the first point on the way from a to b around which a disc of the given
// radius fits, as it does around b.
func (t *tree) fits(a, b xy, radius float64) xy {
	lo, hi := 0.0, 1.0
	for range 20 {
		mid := (lo + hi) / 2
		if t.room(a.add(b.sub(a).times(mid)), 2*radius) >= radius {
			hi = mid
		} else {
			lo = mid
		}
	}
	return a.add(b.sub(a).times(hi))
}

// centre moves a, near the middle of a web about as wide as given, to where the
// borders on both sides are at the same distance.
func (t *tree) centre(a xy, width float64) xy {
	for range 3 {
		var p xy
		one, two := width, width
		t.near(box{a, a}, one, nil, func(i int32, within float64) float64 {
			if f := nearest(t.edges[i].a, t.edges[i].b, a); f.distance(a) < one {
				p, one = f, f.distance(a)
			}
			return one
		})
		t.near(box{a, a}, two, nil, func(i int32, within float64) float64 {
			f := nearest(t.edges[i].a, t.edges[i].b, a)
			if d := f.distance(a); d < two && f.sub(a).dot(p.sub(a)) < 0 {
				two = d
			}
			return two
		})
		if one == width || two == width || one == 0 {
			return a
		}
		a = a.sub(p.sub(a).times((two - one) / 2 / one))
	}
	return a
}
