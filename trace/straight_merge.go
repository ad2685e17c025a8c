package trace

import (
	"math"
	"slices"
)

// need is the mean squared distance from one line between the breaks before and after a break.
type need struct {
	beside  [2]int32
	residue float64
}

// merge drops breaks between stretches that one line fits, those first that are needed least.
func (s *straightener) merge() {
	limit := bulgeResidue(s.tolerance * s.shares.merge)
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
				i, j := s.trim(a, c, endTrim, endTrim)
				*n = need{beside, s.spread(i, j)}
				if s.hard && n.residue >= limit && n.residue < digitalResidue && s.digital(i, j) {
					n.residue *= limit / digitalResidue
				}
			}
			s.out = append(s.out, n.residue)
		}
		kept := s.spare[:0]
		left := m
		for k, b := range s.breaks {
			v := s.out[k]
			if v < limit && left > 3 && s.lessNeeded(k, (k+1)%m) && s.lessNeeded(k, (k+m-1)%m) {
				left--
				continue
			}
			kept = append(kept, b)
		}
		s.breaks, s.spare = kept, s.breaks
		if left == m {
			return
		}
	}
}

// lessNeeded compares two breaks beside each other by what they cost to drop, as merge has it. Of two that cost the same
// neither is less needed, unless they cost nothing: then it is the one that is nearer to the next break beyond, or else
// the one further up or left.
func (s *straightener) lessNeeded(k, l int) bool {
	v, w := s.out[k], s.out[l]
	if nothing := tie + s.blur; v < nothing && w < nothing {
		if d := s.beyond(k, l) - s.beyond(l, k); math.Abs(d) > tie {
			return d < 0
		}
		a, b := 2*s.breaks[k], 2*s.breaks[l]
		if dy := s.p[a+1] - s.p[b+1]; math.Abs(dy) > tie {
			return dy < 0
		}
		return s.p[a] < s.p[b]
	}
	return v*(1+tie)+s.blur < w
}

// beyond is how far break k is from the next one on its side away from break l.
func (s *straightener) beyond(k, l int) float64 {
	a, b, c := s.beside(k)
	if s.inRing(c) == int(s.breaks[l]) {
		return s.distance(b) - s.distance(a)
	}
	return s.distance(c) - s.distance(b)
}

// halfWay gives the vertex nearest to the middle between b and c, or two that are as near.
func (s *straightener) halfWay(b, c int) (first, last int) {
	from, to := s.distance(b), s.distance(c)
	i := (b + c) / 2
	off := func(i int) float64 { return math.Abs(2*s.distance(i) - from - to) }
	for i+1 < c && off(i+1) < off(i) {
		i++
	}
	for i-1 > b && off(i-1) < off(i) {
		i--
	}
	switch {
	case off(i+1) < off(i)+tie:
		return i, i + 1
	case off(i-1) < off(i)+tie:
		return i - 1, i
	}
	return i, i
}

// halve parts the stretches that bulge too much.
func (s *straightener) halve() {
	limit, turning := s.tolerance*s.shares.halve, s.tolerance*s.shares.turning
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
		if h := part.bulge(); h > limit || h > turning && 8*h > s.shares.turn*part.w {
			first, last := s.halfWay(b, c)
			s.spare = append(s.spare, int32(s.inRing(first)))
			if last > first {
				s.spare = append(s.spare, int32(s.inRing(last)))
			}
		}
	}
	s.breaks, s.spare = s.spare, s.breaks
	slices.Sort(s.breaks)
}

// digital says whether the steps of a hard ring from vertex i to j are those of one straight line, which passes between
// the two pixels of each crossing. De-stepped vertices of a line that rises by nearly one in two swing so slowly about it
// that they look like bends.
func (s *straightener) digital(i, j int) bool {
	part := s.stretch(i, j)
	if part.w < digitalLength {
		return false
	}
	l := part.line()
	l.x, l.y = l.x+s.raw[0], l.y+s.raw[1]
	level, upright := math.Abs(l.dy)/2+digitalSlack, math.Abs(l.dx)/2+digitalSlack
	k := 2 * s.inRing(i+s.first)
	for ; i <= j; i++ {
		x, y := s.raw[k], s.raw[k+1]
		if k += 2; k == len(s.raw) {
			k = 0
		}
		most := upright // from one pixel to the one below
		if x == math.Floor(x) {
			most = level
		}
		if math.Abs((x-l.x)*l.dy-(y-l.y)*l.dx) > most {
			return false
		}
	}
	return true
}
