package stencil

import (
	"math"

	"example.org/kerfleaf/stencil/internal/mesh"
)

// passage is the way through a triangle of paper around one of its corners, from
// the edge on one side of the corner to that on the other. It is as wide as the
// distance from the corner to the nearest edge of paper that one sees between the
// two, which may lie beyond the triangle (Demyen & Buro 2006).
type passage struct {
	width float64
	foot  xy    // where the paper ends across from the corner
	h     int32 // starts at the corner; the way leads across h and mesh.Prev(h)
	edge  int32 // half-edge that foot lies on; h if it is h's end, mesh.Prev(h) if it is that one's start
}

// corner is the point that the passage leads round.
func (p *plane) corner(w passage) xy { return p.start(w.h) }

// passages lists those of all paper triangles, in the order of the triangles. The
// list holds until the next call.
func (p *plane) passages() []passage {
	p.ways = p.ways[:0]
	for t := range int32(p.Triangles()) {
		if !p.paper(t) {
			continue
		}
		for h := 3 * t; h < 3*t+3; h++ {
			if p.open(h) && p.open(mesh.Prev(h)) {
				p.ways = append(p.ways, p.measure(h))
			}
		}
	}
	return p.ways
}

// measure finds the width of the passage around the start of h.
func (p *plane) measure(h int32) passage {
	back := mesh.Prev(h)
	c, a, b := p.start(h), p.end(h), p.start(back)
	w := passage{h: h, foot: a, edge: h}
	least := a.sub(c).square()
	if d := b.sub(c).square(); d < least {
		least, w.foot, w.edge = d, b, back
	}
	stack := [64]int32{mesh.Next(h)}
	for n := 1; n > 0; {
		n--
		e := stack[n]
		f := nearest(p.start(e), p.end(e), c)
		v := f.sub(c)
		d := v.square()
		if d >= least {
			continue
		}
		if !p.open(e) {
			if a.sub(c).cross(v) >= 0 && v.cross(b.sub(c)) >= 0 {
				least, w.foot, w.edge = d, f, e
			}
			continue
		}
		if g := p.Twin[e]; n+2 <= len(stack) {
			stack[n], stack[n+1] = mesh.Next(g), mesh.Prev(g)
			n += 2
		}
	}
	w.width = math.Sqrt(least)
	return w
}

// nearest is the point of the segment ab that lies nearest to c.
func nearest(a, b, c xy) xy {
	d := b.sub(a)
	t := c.sub(a).dot(d)
	l := d.dot(d)
	if t <= 0 || l == 0 {
		return a
	}
	if t >= l {
		return b
	}
	return a.add(d.times(t / l))
}
