package trace

import "math"

const (
	// endTrim is how much of each end of a stretch, in pixels, its line does not heed: there pixels cut corners off.
	endTrim = 1.5
	// cutCorner is the greatest width in pixels of what is taken for a corner that the pixels cut off, and tipReach how
	// far beyond it the corner may lie.
	cutCorner = 2.5
	tipReach  = 3.0
)

// inner is the stretch from a to b without its ends, where it is long enough.
func (s *straightener) inner(a, b int) moments {
	if a >= s.n {
		a, b = a-s.n, b-s.n
	}
	at := func(i int) float64 {
		if i > s.n {
			return s.sum[i-s.n].w + s.sum[s.n].w
		}
		return s.sum[i].w
	}
	from, to := at(a)+endTrim, at(b)-endTrim
	if to-from < 1 {
		return s.stretch(a, b)
	}
	i, j := a, b
	for at(i) < from {
		i++
	}
	for at(j) > to {
		j--
	}
	if j <= i {
		return s.stretch(a, b)
	}
	if i >= s.n {
		i, j = i-s.n, j-s.n
	}
	return s.stretch(i, j)
}

// sharpen makes one break of the two beside a short stretch where a pixel has cut a corner off.
func (s *straightener) sharpen() {
	for k := 0; k < len(s.breaks) && len(s.breaks) > 3; k++ {
		m := len(s.breaks)
		a, b := int(s.breaks[(k+m-1)%m]), int(s.breaks[k])
		c, d := int(s.breaks[(k+1)%m]), int(s.breaks[(k+2)%m])
		if edge(s.p[2*c]-s.p[2*b], s.p[2*c+1]-s.p[2*b+1]) > cutCorner {
			continue
		}
		if a > b {
			b += s.n
		}
		for c < b {
			c += s.n
		}
		for d < c {
			d += s.n
		}
		if c-b > 10 {
			continue
		}
		l, r := s.inner(a, b).line(), s.inner(c, d).line()
		s.forward(&l, a, b)
		s.forward(&r, c, d)
		x, y, ok := l.meet(r)
		if !ok {
			continue
		}
		best, at := tipReach*tipReach, -1
		for i := b; i <= c; i++ {
			j := i % s.n
			dx, dy := s.p[2*j]-x, s.p[2*j+1]-y
			if q := dx*dx + dy*dy; q < best {
				best, at = q, j
			}
		}
		if at < 0 {
			continue
		}
		s.breaks[k] = int32(at)
		if k+1 < m {
			s.breaks = append(s.breaks[:k+1], s.breaks[k+2:]...)
		} else {
			s.breaks = append(s.breaks[1:k], int32(at))
		}
		sortBreaks(s.breaks)
	}
}

func sortBreaks(b []int32) {
	for i := 1; i < len(b); i++ {
		for j := i; j > 0 && b[j] < b[j-1]; j-- {
			b[j], b[j-1] = b[j-1], b[j]
		}
	}
}

// forward turns a line so that it points the way the ring goes from a to b.
func (s *straightener) forward(l *line, a, b int) {
	a, b = a%s.n, b%s.n
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

// foot is the point of the line nearest to (x, y).
func (l line) foot(x, y float64) (fx, fy float64) {
	t := (x-l.x)*l.dx + (y-l.y)*l.dy
	return l.x + t*l.dx, l.y + t*l.dy
}

// place fits the lines and puts a node for each break where they meet; where they run on nearly straight, half way
// between them. No node is beyond the picture, in which the ring's first vertex is at (x0, y0).
func (s *straightener) place(x0, y0 float64) {
	m := len(s.breaks)
	s.lines = s.lines[:0]
	for k := range m {
		b, c := int(s.breaks[k]), int(s.breaks[(k+1)%m])
		if c <= b {
			c += s.n
		}
		s.lines = append(s.lines, s.inner(b, c).line())
	}
	s.out = s.out[:0]
	for k, b := range s.breaks {
		l, r := s.lines[(k+m-1)%m], s.lines[k]
		x, y := s.p[2*b], s.p[2*b+1]
		lx, ly := l.foot(x, y)
		rx, ry := r.foot(x, y)
		nx, ny := (lx+rx)/2, (ly+ry)/2
		if sin := l.dx*r.dy - l.dy*r.dx; math.Abs(sin) > 0.1 {
			t := ((r.x-l.x)*r.dy - (r.y-l.y)*r.dx) / sin
			cx, cy := l.x+t*l.dx, l.y+t*l.dy
			if edge(cx-x, cy-y) < tipReach {
				nx, ny = cx, cy
			}
		}
		s.out = append(s.out, min(max(nx, -x0), s.w-x0), min(max(ny, -y0), s.h-y0))
	}
}

// apart drops nodes that all but coincide with the one before.
func (c course) apart() course {
	const least = 0.1
	m := len(c.nodes)
	k := 0
	px, py := c.at[2*m-2], c.at[2*m-1]
	for i, v := range c.nodes {
		x, y := c.at[2*i], c.at[2*i+1]
		if edge(x-px, y-py) < least {
			continue
		}
		c.nodes[k], c.at[2*k], c.at[2*k+1] = v, x, y
		px, py = x, y
		k++
	}
	return course{c.nodes[:k], c.at[:2*k]}
}
