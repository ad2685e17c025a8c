package fit

import "math"

// Curves appends lines and cubic Bezier curves for an outline to dst and returns it. The first segment is a Move; the last
// of a closed outline ends where that is. A tolerance of 0 or less gives lines only.
//
// Between corners and lines, curves are fitted by least squares to spans that turn by a right angle or so, with the
// outline's direction at both ends: Schneider, "An algorithm for automatically fitting digitized curves", Graphics Gems,
// 1990. Where one does not keep the tolerance the span is halved.
func Curves(dst []Segment, points []float64, tolerance float64) []Segment {
	if !(tolerance > 0) || len(points) < 6 {
		for i := 0; i+1 < len(points); i += 2 {
			dst = append(dst, Segment{Kind: Line, X: points[i], Y: points[i+1]})
			if i == 0 {
				dst[len(dst)-1].Kind = Move
			}
		}
		return dst
	}
	o := newOutline(points, tolerance)
	n := len(o.x)
	if n < 2 {
		return append(dst, Segment{Kind: Move, X: points[0], Y: points[1]})
	}
	c := curves{o: o, out: dst}
	first := o.start()
	if first < 0 {
		if x, y, r, ok := o.round(); ok {
			return circle(dst, x, y, r)
		}
		// From the middle of the longest edge round to there.
		longest := 0
		for i, l := range o.l {
			if l > o.l[longest] {
				longest = i
			}
		}
		a := c.middle(longest)
		c.move(a.x, a.y)
		c.section(a, longest, longest+n, a)
		return c.out
	}
	c.move(o.x[first], o.y[first])
	edges := n
	if !o.closed {
		edges = n - 1
	}
	for k := 0; k < edges; {
		i := (first + k) % n
		if o.line[i] {
			j := o.after(i)
			c.line(o.x[j], o.y[j])
			k++
			continue
		}
		// A section: edges up to the next corner or line.
		m := k + 1
		for m < edges && !o.corner[(first+m)%n] && !o.line[(first+m)%n] {
			m++
		}
		c.section(c.end(i, true), first+k, first+m-1, c.end((first+m)%n, false))
		k = m
	}
	return c.out
}

// circle appends a circle, from its rightmost point, y toward x if r is negative, as four curves whose control points are
// 0.5523 of the radius from their ends, which departs from it by 0.027 % of the radius.
func circle(dst []Segment, x, y, r float64) []Segment {
	const k = 0.5522847498307936
	s := math.Copysign(1, r)
	r = math.Abs(r)
	dst = append(dst, Segment{Kind: Move, X: x + r, Y: y})
	ux, uy := 1.0, 0.0
	for range 4 {
		vx, vy := -s*uy, s*ux
		dst = append(dst, Segment{
			Curve,
			x + r*(ux+k*vx), y + r*(uy+k*vy), x + r*(vx+k*ux), y + r*(vy+k*uy),
			x + r*vx, y + r*vy,
		})
		ux, uy = vx, vy
	}
	return dst
}

// node is an end of a curve, with the direction there.
type node struct{ x, y, dx, dy float64 }

type curves struct {
	o       *outline
	out     []Segment
	samples []sample
	loose   bool // the last line ends in the middle of an edge, which the next may lengthen
}

func (c *curves) move(x, y float64) { c.out = append(c.out, Segment{Kind: Move, X: x, Y: y}) }

func (c *curves) line(x, y float64) {
	if c.loose {
		c.out = c.out[:len(c.out)-1]
		c.loose = false
	}
	c.out = append(c.out, Segment{Kind: Line, X: x, Y: y})
}

// middle is the middle of an edge, where a bend has the edge's direction.
func (c *curves) middle(i int) node {
	o := c.o
	i %= len(o.x)
	j := o.after(i)
	return node{(o.x[i] + o.x[j]) / 2, (o.y[i] + o.y[j]) / 2, o.dx[i], o.dy[i]}
}

// end is the end of a section at a point, its first one or its last. There a curve has the direction of the line beside it,
// or at a corner the one to which the section's bend leads on.
func (c *curves) end(i int, first bool) node {
	o := c.o
	e, beside, turn := i, o.before(i), o.after(i)
	if !first {
		e, beside, turn = o.before(i), i, o.before(i)
	}
	if !o.corner[i] {
		return node{o.x[i], o.y[i], o.dx[beside], o.dy[beside]}
	}
	t := 0.0
	if !o.corner[turn] && !(o.line[turn] && first || !first && o.line[o.before(turn)]) {
		other := o.l[turn]
		if !first {
			other = o.l[o.before(turn)]
		}
		t = o.half[turn] * o.l[e] / (o.l[e] + other)
		if first {
			t = -t
		}
	}
	// Turned by the angle whose half has the tangent t.
	f := 1 / (1 + t*t)
	cos, sin := (1-t*t)*f, 2*t*f
	return node{o.x[i], o.y[i], o.dx[e]*cos - o.dy[e]*sin, o.dx[e]*sin + o.dy[e]*cos}
}

// section appends curves from a, on edge i or at its start, to b, on edge j or at its end: each as far as it may turn and
// keeps the tolerance.
func (c *curves) section(a node, i, j int, b node) {
	const most = 1.0 // of the tangents of half the turns, about 100 degrees
	o := c.o
	n := len(o.x)
	for {
		turned := 0.0
		k := i
		for k < j && (k == i || turned+math.Abs(o.half[(k+1)%n]) < most) {
			k++
			turned += math.Abs(o.half[k%n])
		}
		e := b
		for {
			if k < j {
				e = c.middle(k)
			}
			if s, ok := c.fit(a, i, k, e); ok {
				c.out = append(c.out, s)
				c.loose = false
				break
			}
			if k-i <= 1 {
				if k > i {
					c.line(o.x[k%n], o.y[k%n])
				}
				c.line(e.x, e.y)
				c.loose = k < j
				break
			}
			k = i + max(1, (k-i)*3/4)
		}
		if k == j {
			return
		}
		a, i = e, k
	}
}
