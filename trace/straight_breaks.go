package trace

import (
	"math"
	"slices"
)

// findBreaks parts the ring into stretches.
func (s *straightener) findBreaks() {
	s.rule()
	s.calm = append(s.calm[:0], make([][2]int32, s.n)...)
	s.need = append(s.need[:0], make([]need, s.n)...)
	s.settle(1)
	s.merge()
	s.sharpen()
	s.halve()
	s.settle(2)
	s.merge()
	s.sharpen()
}

// rule adds to the anchors the breaks of Douglas and Peucker's line between them.
func (s *straightener) rule() {
	s.spare = append(s.spare[:0], s.breaks...)
	s.breaks = s.breaks[:0]
	for k, a := range s.spare {
		to := s.n
		if k+1 < len(s.spare) {
			to = int(s.spare[k+1])
		}
		s.breaks = append(s.breaks, a)
		s.split(int(a), to)
	}
}

// split adds the breaks between a and b of Douglas and Peucker's line (Cartographica 10, 1973). Of two vertices as far
// from the chord as each other, as a symmetric outline has, both are breaks.
func (s *straightener) split(a, b int) {
	if b-a < 2 {
		return
	}
	c := newChord(s.p[2*a], s.p[2*a+1], s.p[2*b], s.p[2*b+1])
	between := s.p[2*a+2 : 2*b]
	worst := c.worst(between, 0)
	if c.distance2(worst) <= s.tolerance*s.tolerance {
		return
	}
	first, last := c.furthest(between, worst)
	first, last = first+a+1, last+a+1
	s.split(a, first)
	s.breaks = append(s.breaks, int32(first))
	if last > first {
		s.split(first, last)
		s.breaks = append(s.breaks, int32(last))
	}
	s.split(last, b)
}

// beside gives the kth break with those before and after it, counted so that a < b < c and 0 <= a < n.
func (s *straightener) beside(k int) (a, b, c int) {
	m := len(s.breaks)
	b = int(s.breaks[k])
	if k > 0 {
		a = int(s.breaks[k-1])
	} else {
		a = int(s.breaks[m-1])
		b += s.n
	}
	if k+1 < m {
		c = int(s.breaks[k+1])
	} else {
		c = int(s.breaks[0]) + s.n
	}
	if k == 0 {
		c += s.n
	}
	return a, b, c
}

// settle moves each break, no further than half way to the next, to where the sum of both residues is least. All move
// at once, so that it does not matter which comes first. A break that was found to stay between two others is not
// looked at again while it has the same beside it.
func (s *straightener) settle(rounds int) {
	m := len(s.breaks)
	if m < 3 {
		return
	}
	for range rounds {
		s.spare = s.spare[:0]
		for k := range m {
			a, b, c := s.beside(k)
			beside := [2]int32{int32(a) + 1, int32(s.inRing(c)) + 1}
			calm := &s.calm[s.inRing(b)]
			t := b
			if *calm != beside {
				if t = s.bestBreak(a, b, c); t == b {
					*calm = beside
				}
			}
			s.spare = append(s.spare, int32(s.inRing(t)))
		}
		still := true
		for k, b := range s.spare {
			if s.breaks[k] != b {
				s.breaks[k], still = b, false
			}
		}
		// A break may have passed the ring's start.
		if !slices.IsSorted(s.breaks) {
			slices.Sort(s.breaks)
		}
		if still {
			return
		}
	}
}

// inRing is the number of a vertex that has been counted on past the ring's end.
func (s *straightener) inRing(v int) int {
	for v >= s.n {
		v -= s.n
	}
	return v
}

// bestBreak walks from b downhill, each time the steeper way. Between two that are as steep it stays.
func (s *straightener) bestBreak(a, b, c int) int {
	lo, hi := b-(b-a-1)/2, b+(c-b-1)/2
	s.upTo(c + 1)
	best := s.cost(a, b, c)
	// A stretch that grows fits no better: where one vertex more is too many, all ways on are.
	if b < hi && s.exceeds(a, b+1, best) {
		hi = b
	}
	if b > lo && s.exceeds(b-1, c, best) {
		lo = b
	}
	if lo == hi {
		return b
	}
	at := func(t int) float64 {
		if t < lo || t > hi || t > b && s.exceeds(a, t, best) || t < b && s.exceeds(t, c, best) {
			return math.Inf(1)
		}
		return s.cost(a, t, c)
	}
	for step := 2; step >= 1; step /= 2 {
		d, v := -step, at(b-step)
		w := at(b + step)
		if math.Abs(v-w) <= tie*best+s.blur {
			continue
		}
		if w < v {
			d, v = step, w
		}
		for v < best*(1-tie)-s.blur {
			best, b = v, b+d
			v = at(b + d)
		}
	}
	return b
}

// exceeds says that the residue of the stretch from a to b is more than limit, if that can be told without a root: the
// product of a matrix's two eigenvalues over their sum is less than the lesser one.
func (s *straightener) exceeds(a, b int, limit float64) bool {
	p, q := &s.sum[a], &s.sum[b+1]
	w, x, y := q.w-p.w, q.x-p.x, q.y-p.y
	xx, xy, yy := w*(q.xx-p.xx)-x*x, w*(q.xy-p.xy)-x*y, w*(q.yy-p.yy)-y*y
	return xx*yy-xy*xy > (xx+yy)*w*(limit+s.loss)
}

// cost is the sum of the residues of the stretches from a to t and from t to c.
func (s *straightener) cost(a, t, c int) float64 {
	p, q := &s.sum[a], &s.sum[t+1]
	if t >= s.n {
		t, c = t-s.n, c-s.n
	}
	r, u := &s.sum[t], &s.sum[c+1]
	return residue(q.w-p.w, q.x-p.x, q.y-p.y, q.xx-p.xx, q.xy-p.xy, q.yy-p.yy) +
		residue(u.w-r.w, u.x-r.x, u.y-r.y, u.xx-r.xx, u.xy-r.xy, u.yy-r.yy)
}
