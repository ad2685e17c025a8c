package fit

import "math"

// Vertex is a point of an outline of lines and arcs. Bulge is of the way from it to the next vertex, of the last one of a
// closed outline to the first: the tangent of a quarter of the arc's angle, positive if the arc turns from x toward y, 0
// for a line, 1 for half a circle. (DXF Reference, LWPOLYLINE, group code 42. Where y is turned up the sign changes.)
type Vertex struct{ X, Y, Bulge float64 }

// Arcs appends vertices for an outline to dst and returns it. A closed outline's first vertex is not repeated. A tolerance
// of 0 or less gives lines only.
//
// Corners and lines are found as by Curves. Each arc between stretches as far as it can and encloses the area with its
// chord that the outline does, so that areas keep their size.
func Arcs(dst []Vertex, points []float64, tolerance float64) []Vertex {
	n := len(points) / 2
	if !(tolerance > 0) || n < 3 {
		if n > 2 && points[0] == points[2*n-2] && points[1] == points[2*n-1] {
			n--
		}
		for i := range n {
			dst = append(dst, Vertex{X: points[2*i], Y: points[2*i+1]})
		}
		return dst
	}
	o := newOutline(points, tolerance)
	n = len(o.x)
	if n < 2 {
		return append(dst, Vertex{X: points[0], Y: points[1]})
	}
	c := curves{o: o}
	first := o.start()
	if first < 0 {
		if x, y, r, ok := o.round(); ok {
			return append(dst, Vertex{x + math.Abs(r), y, math.Copysign(1, r)}, Vertex{x - math.Abs(r), y, math.Copysign(1, r)})
		}
		longest := 0
		for i, l := range o.l {
			if l > o.l[longest] {
				longest = i
			}
		}
		a := c.middle(longest)
		return c.arcs(dst, a, longest, longest+n, a)
	}
	edges := n
	if !o.closed {
		edges = n - 1
	}
	for k := 0; k < edges; {
		i := (first + k) % n
		if o.line[i] {
			dst = append(dst, Vertex{X: o.x[i], Y: o.y[i]})
			k++
			continue
		}
		m := k + 1
		for m < edges && !o.corner[(first+m)%n] && !o.line[(first+m)%n] {
			m++
		}
		b := (first + m) % n
		dst = c.arcs(dst, node{x: o.x[i], y: o.y[i]}, first+k, first+m-1, node{x: o.x[b], y: o.y[b]})
		k = m
	}
	if !o.closed {
		dst = append(dst, Vertex{X: o.x[n-1], Y: o.y[n-1]})
	}
	return dst
}

// arcs appends the arcs of a section from a, on edge i or at its start, to b, on edge j or at its end.
func (c *curves) arcs(dst []Vertex, a node, i, j int, b node) []Vertex {
	for {
		if bulge, ok := c.arc(a, i, j, b); ok {
			return append(dst, Vertex{a.x, a.y, bulge})
		}
		if j-i <= 1 {
			dst = append(dst, Vertex{X: a.x, Y: a.y})
			if j > i {
				p := j % len(c.o.x)
				dst = append(dst, Vertex{X: c.o.x[p], Y: c.o.y[p]})
			}
			return dst
		}
		// As far as it goes: in doubling steps, then halving.
		k, step := i+1, 1
		bulge, ok := c.arc(a, i, k, c.middle(k))
		if !ok {
			p := k % len(c.o.x)
			dst = append(dst, Vertex{X: a.x, Y: a.y}, Vertex{X: c.o.x[p], Y: c.o.y[p]})
			a, i = c.middle(k), k
			continue
		}
		for rising := true; step > 0; {
			if k+step < j {
				if v, ok := c.arc(a, i, k+step, c.middle(k+step)); ok {
					k, bulge = k+step, v
					if rising {
						step *= 2
					}
					continue
				}
			}
			rising = false
			step /= 2
		}
		dst = append(dst, Vertex{a.x, a.y, bulge})
		a, i = c.middle(k), k
	}
}

// arc gives the bulge of the arc from a to b, and whether it keeps the tolerance.
func (c *curves) arc(a node, i, j int, b node) (bulge float64, ok bool) {
	const most = 0.9 // a little less than half a circle
	c.collect(a, i, j, b)
	vx, vy := b.x-a.x, b.y-a.y
	chord := math.Sqrt(vx*vx + vy*vy)
	if chord == 0 {
		return 0, false
	}
	// The area between outline and chord.
	area, px, py := 0.0, 0.0, 0.0
	for _, s := range c.samples {
		x, y := s.x-a.x, s.y-a.y
		area += px*y - x*py
		px, py = x, y
	}
	area /= 2
	// Half an arc's angle is h, its bulge tan(h/2): the area is chord²/4 times (h - sin h cos h)/sin² h, near 2h/3.
	want := 4 * math.Abs(area) / (chord * chord)
	h := min(1.5*want, 1.4)
	for range 12 {
		sin, cos := math.Sincos(h)
		if sin < 1e-6 {
			break
		}
		f := (h - sin*cos) / (sin * sin)
		d := 2 - 2*f*cos/sin
		next := h - (f-want)/d
		if math.Abs(next-h) < 1e-12 {
			break
		}
		h = min(max(next, h/2), 3)
	}
	bulge = math.Tan(h / 2)
	if !(bulge <= most) {
		return 0, false
	}
	if bulge < 1e-7 {
		bulge = 0
	}
	bulge = math.Copysign(bulge, area)
	return bulge, c.follows(a, b, bulge, chord)
}

// follows says whether the arc keeps the tolerance at all samples.
func (c *curves) follows(a, b node, bulge, chord float64) bool {
	limit := 0.85 * c.o.tol
	ux, uy := (b.x-a.x)/chord, (b.y-a.y)/chord
	if bulge == 0 {
		for _, s := range c.samples {
			x, y := s.x-a.x, s.y-a.y
			along := x*ux + y*uy
			if math.Abs(x*uy-y*ux) > limit || along < -limit || along > chord+limit {
				return false
			}
		}
		return true
	}
	// The centre lies left of the chord, as seen with y up, for positive bulges.
	r := chord * (1 + bulge*bulge) / (4 * bulge)
	d := r - bulge*chord/2
	cx, cy := (a.x+b.x)/2-d*uy, (a.y+b.y)/2+d*ux
	r = math.Abs(r)
	for _, s := range c.samples {
		x, y := s.x-cx, s.y-cy
		if math.Abs(math.Sqrt(x*x+y*y)-r) > limit {
			return false
		}
		if along := (s.x-a.x)*ux + (s.y-a.y)*uy; along < -limit || along > chord+limit {
			return false
		}
	}
	return true
}
