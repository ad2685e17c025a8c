package trace

import "slices"

// findBreaks parts the ring into stretches.
func (s *straightener) findBreaks() {
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
	s.calm = append(s.calm[:0], make([][2]int32, s.n)...)
	s.need = append(s.need[:0], make([]need, s.n)...)
	s.settle(3)
	s.merge()
	s.sharpen()
	s.settle(3)
	s.merge()
	s.halve()
	s.settle(3)
	s.merge()
	s.sharpen()
}

// anchors sets breaks to the middles of the stretches along which an open ring reaches its bounding box, counted from
// the one that comes first in the ring, and returns that one. They depend on the shape alone, not on where the ring
// begins, and lie alike in a picture turned by right angles or mirrored.
func (s *straightener) anchors(xy []float64) (first int) {
	x0, y0, x1, y1 := xy[0], xy[1], xy[0], xy[1]
	for i := 0; i+1 < len(xy); i += 2 {
		x, y := xy[i], xy[i+1]
		x0, x1 = min(x0, x), max(x1, x)
		y0, y1 = min(y0, y), max(y1, y)
	}
	const eps = 1e-6
	x0, y0, x1, y1 = x0+eps, y0+eps, x1-eps, y1-eps
	on := func(side, i int) bool {
		switch x, y := xy[2*i], xy[2*i+1]; side {
		case 0:
			return x <= x0
		case 1:
			return y <= y0
		case 2:
			return x >= x1
		default:
			return y >= y1
		}
	}
	s.breaks = s.breaks[:0]
	for i := range s.n {
		x, y := xy[2*i], xy[2*i+1]
		if x > x0 && x < x1 && y > y0 && y < y1 {
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
			s.breaks = append(s.breaks, int32((i+j)/2%s.n))
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

// split adds the breaks between a and b of Douglas and Peucker's line (Cartographica 10, 1973).
func (s *straightener) split(a, b int) {
	ax, ay := s.p[2*a], s.p[2*a+1]
	dx, dy := s.p[2*b]-ax, s.p[2*b+1]-ay
	l2 := dx*dx + dy*dy
	best, at := s.tolerance*s.tolerance, -1
	if l2 > 0 {
		best *= l2
		for i := a + 1; i < b; i++ {
			x, y := s.p[2*i]-ax, s.p[2*i+1]-ay
			c, t := x*dy-y*dx, x*dx+y*dy
			d := c * c
			if t < 0 {
				d = (x*x + y*y) * l2
			} else if t > l2 {
				x, y = x-dx, y-dy
				d = (x*x + y*y) * l2
			}
			if d > best {
				best, at = d, i
			}
		}
	} else {
		for i := a + 1; i < b; i++ {
			x, y := s.p[2*i]-ax, s.p[2*i+1]-ay
			if d := x*x + y*y; d > best {
				best, at = d, i
			}
		}
	}
	if at < 0 {
		return
	}
	s.split(a, at)
	s.breaks = append(s.breaks, int32(at))
	s.split(at, b)
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

// bestBreak walks from b downhill.
func (s *straightener) bestBreak(a, b, c int) int {
	lo, hi := b-(b-a-1)/2, b+(c-b-1)/2
	best := s.cost(a, b, c)
	for step := 4; step >= 1; step /= 2 {
		for _, d := range [2]int{-step, step} {
			from := b
			for t := b + d; t >= lo && t <= hi; t += d {
				v := s.cost(a, t, c)
				if v >= best-1e-12 {
					break
				}
				best, b = v, t
			}
			if b != from {
				break
			}
		}
	}
	return b
}

// cost is the sum of the residues of the stretches from a to t and from t to c.
func (s *straightener) cost(a, t, c int) float64 {
	if c >= s.n || a >= s.n || a > t || t > c {
		return s.stretchWrapped(a, t).residue() + s.stretchWrapped(t, c).residue()
	}
	p, q, r, u := &s.sum[a], &s.sum[t+1], &s.sum[t], &s.sum[c+1]
	return residue(q.w-p.w, q.x-p.x, q.y-p.y, q.xx-p.xx, q.xy-p.xy, q.yy-p.yy) +
		residue(u.w-r.w, u.x-r.x, u.y-r.y, u.xx-r.xx, u.xy-r.xy, u.yy-r.yy)
}

// stretchWrapped is stretch for any numbering.
func (s *straightener) stretchWrapped(a, b int) moments {
	if a >= s.n {
		a, b = a-s.n, b-s.n
	}
	return s.stretch(a, b)
}

// need is the bulge of one stretch between the breaks before and after a break.
type need struct {
	beside [2]int32
	bulge  float64
}

// merge drops breaks between stretches that one line fits, those first that are needed least.
func (s *straightener) merge() {
	limit := s.tolerance * mergeShare
	for {
		m := len(s.breaks)
		if m <= 3 {
			return
		}
		s.out = s.out[:0]
		for k := range m {
			a, b, c := s.beside(k)
			n := &s.need[s.inRing(b)]
			if beside := [2]int32{int32(a) + 1, int32(s.inRing(c)) + 1}; n.beside != beside {
				*n = need{beside, s.inner(a, c).bulge()}
			}
			s.out = append(s.out, n.bulge)
		}
		kept := s.breaks[:0]
		left := m
		dropped := false
		for k, b := range s.breaks {
			v := s.out[k]
			if v < limit && v <= s.out[(k+1)%m] && v < s.out[(k+m-1)%m] && left > 3 {
				left--
				dropped = true
				continue
			}
			kept = append(kept, b)
		}
		s.breaks = kept
		if !dropped {
			return
		}
	}
}

// halve parts the stretches that bulge too much.
func (s *straightener) halve() {
	limit, turning := s.tolerance*halveShare, s.tolerance*mergeShare
	s.spare = s.spare[:0]
	m := len(s.breaks)
	for k := range m {
		b := int(s.breaks[k])
		c := int(s.breaks[(k+1)%m])
		if k+1 == m {
			c += s.n
		}
		s.spare = append(s.spare, int32(b))
		if c-b < 8 {
			continue
		}
		// An arc of chord w and height h turns by about 8 h/w.
		part := s.inner(b, c)
		if h := part.bulge(); h > limit || h > turning && 8*h > halveTurn*part.w {
			s.spare = append(s.spare, int32((b+c)/2))
		}
	}
	if k := len(s.spare) - 1; int(s.spare[k]) >= s.n {
		s.spare[k] -= int32(s.n)
	}
	s.breaks, s.spare = s.spare, s.breaks
	slices.Sort(s.breaks)
}
