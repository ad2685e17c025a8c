package trace

import (
	"math"
	"slices"
)

const (
	// endTrim is how much of each end of a stretch, in pixels, its line does not heed: there pixels cut corners off.
	endTrim = 1.5
	// cutCorner is the greatest width in pixels of what is taken for a corner that the pixels cut off, and tipReach how
	// far beyond it the corner may lie.
	cutCorner = 2.5
	tipReach  = 3.0
	// bendSine is the sine of the turn up to which two stretches are one bend.
	bendSine = 0.4
)

// inner is the stretch from a to b without its ends, where it is long enough.
func (s *straightener) inner(a, b int) moments { return s.stretch(s.trim(a, b, endTrim, endTrim)) }

// trim gives the ends of the stretch from a to b without as many pixels, where it is long enough, the first in the first
// round.
func (s *straightener) trim(a, b int, first, last float64) (int, int) {
	if a >= s.n {
		a, b = a-s.n, b-s.n
	}
	if b >= len(s.dist) {
		s.upTo(b + 1)
	}
	along := s.dist[a : b+1]
	i, j := 0, len(along)-1
	from, to := along[i]+first-tie, along[j]-last+tie // as often as not a vertex is just there
	if to-from < 1 {
		return a, b
	}
	for along[i] < from {
		i++
	}
	for along[j] > to {
		j--
	}
	if j <= i {
		return a, b
	}
	if i += a; i >= s.n {
		return i - s.n, j + a - s.n
	}
	return i, j + a
}

// distance is how far along the ring vertex i lies, which may be past its end: with half of what it stands for, so that
// it is the same from either side.
func (s *straightener) distance(i int) float64 {
	if i >= len(s.dist) {
		s.upTo(i + 1)
	}
	return s.dist[i]
}

// tip is where the two breaks at the ends of a stretch may become one: at a vertex, or -1 if they may not, and the width of
// what was cut off there.
type tip struct {
	at    int
	width float64
}

// sharpen makes one break of the two beside a short stretch where a pixel has cut a corner off. Of stretches in a row only
// the shortest is taken.
func (s *straightener) sharpen() {
	m := len(s.breaks)
	if m < 4 {
		return
	}
	s.tips = s.tips[:0]
	found := 0
	for k := range m {
		t := s.tip(k)
		s.tips = append(s.tips, t)
		if t.at >= 0 {
			found++
		}
	}
	if found == 0 {
		return
	}
	taken := func(k int) bool {
		t := s.tips[k]
		w := t.width * (1 + tie)
		return t.at >= 0 && w < s.tips[(k+1)%m].width && w < s.tips[(k+m-1)%m].width
	}
	left := m
	kept := s.spare[:0]
	for k, b := range s.breaks {
		switch {
		case taken((k + m - 1) % m):
			left--
		case taken(k):
			kept = append(kept, int32(s.tips[k].at))
		default:
			kept = append(kept, b)
		}
	}
	if left < 3 {
		return
	}
	s.breaks, s.spare = kept, s.breaks
	slices.Sort(s.breaks)
}

// tip looks at the kth stretch.
func (s *straightener) tip(k int) tip {
	none := tip{-1, math.Inf(1)}
	b, c := s.around(k)
	j, e := 2*b, 2*s.inRing(c)
	width := edge(s.p[e]-s.p[j], s.p[e+1]-s.p[j+1])
	if width > cutCorner+tie || c-b > 10 {
		return none
	}
	m := len(s.breaks)
	before, after := (k+m-1)%m, (k+1)%m
	l, r := s.inner(s.around(before)).line(), s.inner(s.around(after)).line()
	s.forward(&l, before)
	s.forward(&r, after)
	x, y, ok := l.meet(r)
	if !ok {
		return none
	}
	best, at := tipReach*tipReach, -1
	for i := b; i <= c; i++ {
		j := s.inRing(i)
		dx, dy := s.p[2*j]-x, s.p[2*j+1]-y
		if q := dx*dx + dy*dy; q < best {
			best, at = q, j
		}
	}
	return tip{at, width}
}

// forward turns a line so that it points the way the ring goes along the kth stretch.
func (s *straightener) forward(l *line, k int) {
	a, b := s.around(k)
	b = s.inRing(b)
	if (s.p[2*b]-s.p[2*a])*l.dx+(s.p[2*b+1]-s.p[2*a+1])*l.dy < 0 {
		l.dx, l.dy = -l.dx, -l.dy
	}
}

// meet gives the point where two lines that make a corner meet.
func (l line) meet(r line) (x, y float64, ok bool) {
	sin, cos := l.dx*r.dy-l.dy*r.dx, l.dx*r.dx+l.dy*r.dy
	if math.Abs(sin) < 0.1 || math.Abs(sin) < 0.4 && cos > 0 {
		return 0, 0, false
	}
	t := ((r.x-l.x)*r.dy - (r.y-l.y)*r.dx) / sin
	return l.x + t*l.dx, l.y + t*l.dy, true
}

// around gives the ends of the kth stretch, the second counted on past the ring's end.
func (s *straightener) around(k int) (a, b int) {
	a, b = int(s.breaks[k]), int(s.breaks[(k+1)%len(s.breaks)])
	if b <= a {
		b += s.n
	}
	return a, b
}
