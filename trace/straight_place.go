package trace

import "math"

// squareOff is how far, in pixels, the ends of a stretch may move so that its line runs level, upright or at half a right
// angle: less than what such lines are known to. squareLength is the shortest stretch that is looked at.
const (
	squareOff    = 0.12
	squareLength = 12.0
)

// foot is the point of the line nearest to (x, y).
func (l line) foot(x, y float64) (fx, fy float64) {
	t := (x-l.x)*l.dx + (y-l.y)*l.dy
	return l.x + t*l.dx, l.y + t*l.dy
}

// squared turns the line of a stretch of a length about its middle if that makes it level, upright or go at half a right
// angle, and says so.
func (l line) squared(length float64) (line, bool) {
	if length < squareLength {
		return l, false
	}
	dx, dy := l.dx, l.dy
	switch small, d := 2*squareOff/length, math.Abs(math.Abs(l.dx)-math.Abs(l.dy))*math.Sqrt2/2; {
	case math.Abs(dy) < small:
		dx, dy = math.Copysign(1, dx), 0
	case math.Abs(dx) < small:
		dx, dy = 0, math.Copysign(1, dy)
	case d < small:
		dx, dy = math.Copysign(math.Sqrt2/2, dx), math.Copysign(math.Sqrt2/2, dy)
	default:
		return l, false
	}
	return line{l.x, l.y, dx, dy}, true
}

// place fits the lines and puts a node for each break where they meet; where they run on nearly straight, half way
// between them. With square, lines that are nearly level, upright or at half a right angle are made so; not in hard
// pictures, where a level edge and one that rises by a step look alike over its length. No node is beyond the picture, in which the ring's first vertex is at (x0, y0).
func (s *straightener) place(x0, y0 float64, square bool) {
	m := len(s.breaks)
	s.lines = s.lines[:0]
	for k := range m {
		s.lines = append(s.lines, s.inner(s.around(k)).line())
	}
	// Where the outline only bends, the lines heed all of it, or they would lie too far outside the bend.
	s.ends = s.ends[:0]
	for k := range m {
		l, r := &s.lines[(k+m-1)%m], &s.lines[k]
		trim := 0.0
		if math.Abs(l.dx*r.dy-l.dy*r.dx) > bendSine {
			trim = endTrim
		}
		s.ends = append(s.ends, trim)
	}
	for k := range m {
		if first, last := s.ends[k], s.ends[(k+1)%m]; first == 0 || last == 0 {
			a, b := s.around(k)
			part := s.stretch(s.trim(a, b, first, last))
			if first == 0 {
				part = s.halved(part, a)
			}
			if last == 0 {
				part = s.halved(part, b)
			}
			s.lines[k] = part.line()
		}
	}
	s.fixed = s.fixed[:0]
	for k := range m {
		a, b := s.around(k)
		l, ok := s.lines[k], false
		if square && s.ends[k]+s.ends[(k+1)%m] > 0 {
			l = s.levelled(l, a, b, s.ends[k], s.ends[(k+1)%m])
		}
		if square {
			l, ok = l.squared(s.distance(b) - s.distance(a))
		}
		s.lines[k] = l
		s.fixed = append(s.fixed, ok)
	}
	s.out = s.out[:0]
	for k, b := range s.breaks {
		before := (k + m - 1) % m
		l, r := s.lines[before], s.lines[k]
		x, y := s.p[2*b], s.p[2*b+1]
		lx, ly := l.foot(x, y)
		rx, ry := r.foot(x, y)
		nx, ny := (lx+rx)/2, (ly+ry)/2
		if s.fixed[before] != s.fixed[k] {
			if nx, ny = lx, ly; s.fixed[k] {
				nx, ny = rx, ry
			}
		}
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

// levelled moves the line of the stretch from a to b, whose ends it did not heed, to where it lies as much inside the
// stretch's bend as outside, ends and all. The bend is a parabola's; so far as it may be noise it counts less.
func (s *straightener) levelled(l line, a, b int, first, last float64) line {
	i, j := s.trim(a, b, first, last)
	var n, t2, t4, d, dt2 float64
	for ; i <= j; i++ {
		k := 2 * s.inRing(i)
		x, y := s.p[k]-l.x, s.p[k+1]-l.y
		t := x*l.dx + y*l.dy
		t *= t
		off := y*l.dx - x*l.dy
		n++
		t2, t4, d, dt2 = t2+t, t4+t*t, d+off, dt2+off*t
	}
	spread := t4 - t2*t2/n
	if !(spread > 0) {
		return l
	}
	bend := (dt2 - d*t2/n) / spread
	bend *= bend * bend / (bend*bend + 4*vertexNoise/spread)
	a, b = 2*s.inRing(a), 2*s.inRing(b)
	from := (s.p[a]-l.x)*l.dx + (s.p[a+1]-l.y)*l.dy
	to := (s.p[b]-l.x)*l.dx + (s.p[b+1]-l.y)*l.dy
	off := bend * ((from*from+from*to+to*to)/3 - t2/n)
	l.x, l.y = l.x-off*l.dy, l.y+off*l.dx
	return l
}

// halved takes half of an end vertex out of a stretch's moments: the other half of what it stands for is the next one's,
// and further inside the bend.
func (s *straightener) halved(m moments, i int) moments {
	i = s.inRing(i)
	p, q := &s.sum[i], &s.sum[i+1]
	return moments{
		m.w - (q.w-p.w)/2, m.x - (q.x-p.x)/2, m.y - (q.y-p.y)/2,
		m.xx - (q.xx-p.xx)/2, m.xy - (q.xy-p.xy)/2, m.yy - (q.yy-p.yy)/2,
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
