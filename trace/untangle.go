package trace

import "example.org/kerfleaf/internal/ring"

// untangle gives vertices back until no two segments meet, and every ring has
// the neighbours in it and round it that it had.
//
// Where segments meet, or a segment has passed over another ring, their nodes
// go back to the vertices that they stand for, and they get back the vertex
// that is furthest from them. With all vertices back nothing would meet: so it
// ends.
func (d *design) untangle() {
	for {
		c := newConflicts(d)
		if c.find(); c.found == 0 {
			return
		}
		d.bend(c.bad, c.found)
	}
}

// bend takes the nodes of bad segments back to their vertices, and gives those
// segments the vertex back that is furthest, with what more it takes then to
// keep within the tolerance.
func (d *design) bend(bad []bool, found int) {
	old := *d
	d.vertex = make([]int32, 0, len(old.vertex)+2*found)
	d.at = make([]float64, 0, 2*cap(d.vertex))
	d.spans = make([]span, 0, len(old.spans))
	for r, s := range old.spans {
		first := len(d.vertex)
		xy := d.rings[r]
		n := len(xy) / 2
		put := func(v int) {
			v %= n
			d.vertex = append(d.vertex, int32(v))
			d.at = append(d.at, xy[2*v], xy[2*v+1])
		}
		before := s.to - 1
		for k := s.from; k < s.to; before, k = k, k+1 {
			put(int(old.vertex[k]))
			if !bad[k] && !bad[before] {
				copy(d.at[len(d.at)-2:], old.at[2*k:])
			}
			next := k + 1
			if next == s.to {
				next = s.from
			}
			if !bad[k] && !bad[before] && !bad[next] {
				continue
			}
			// The segment has been moved at one end at least.
			i, j := old.segment(r, k)
			v := j
			if bad[k] {
				if v, _ = old.furthest(r, k); v < 0 {
					v = j
				}
			}
			for _, part := range [2]span{{i, v}, {v, j}} {
				for u := part.from; u < part.to; u += reach(xy, u%n, part.to-u, d.tolerance) {
					if u != i {
						put(u)
					}
				}
			}
		}
		d.spans = append(d.spans, span{first, len(d.vertex)})
	}
}

// conflicts finds the segments that meet another one or have passed over a
// ring, and can be bent back.
type conflicts struct {
	d     *design
	segs  []segment
	bad   []bool
	found int
}

// segment is a line between two nodes: its ends, its ring, and whether it is
// other than the ring was there.
type segment struct {
	ax, ay, bx, by float64
	ring           int32
	changed        bool
}

func newConflicts(d *design) *conflicts {
	c := &conflicts{d: d, segs: make([]segment, len(d.vertex)), bad: make([]bool, len(d.vertex))}
	for r, s := range d.spans {
		xy := d.rings[r]
		l := s.to - 1
		moved := func(k int) bool {
			v := d.vertex[k]
			return d.at[2*k] != xy[2*v] || d.at[2*k+1] != xy[2*v+1]
		}
		for k := s.from; k < s.to; l, k = k, k+1 {
			i, j := d.segment(r, l)
			c.segs[l] = segment{d.at[2*l], d.at[2*l+1], d.at[2*k], d.at[2*k+1], int32(r), j-i > 1 || moved(k) || moved(l)}
		}
	}
	return c
}

func (c *conflicts) find() {
	if len(c.segs) == 0 {
		return
	}
	g := newGrid(c.segs)
	for k := range c.segs {
		s := &c.segs[k]
		g.along(s.ax, s.ay, s.bx, s.by, func(cell int) {
			for e := g.first[cell]; e >= 0; e = g.entries[e].next {
				l := int(g.entries[e].item)
				if s.changed || c.segs[l].changed {
					c.pair(k, l)
				}
			}
			g.put(cell, int32(k))
		})
	}
	// A ring that has been passed over lies whole beside a segment: one
	// vertex of it tells.
	for r, s := range c.d.spans {
		if s.from < s.to {
			x, y := c.segs[s.from].ax, c.segs[s.from].ay
			g.near(x, y, c.d.tolerance, func(k int32) {
				if s := &c.segs[k]; s.changed && int(s.ring) != r && c.passedOver(int(k), x, y) {
					c.mark(int(k))
				}
			})
		}
	}
}

func (c *conflicts) mark(k int) {
	if c.segs[k].changed && !c.bad[k] {
		c.bad[k] = true
		c.found++
	}
}

// pair marks two segments if they meet, other than neighbours at their node.
func (c *conflicts) pair(k, l int) {
	a, b := &c.segs[k], &c.segs[l]
	meet := false
	if a.ring == b.ring && a.bx == b.ax && a.by == b.ay {
		meet = foldsBack(a.ax, a.ay, a.bx, a.by, b.bx, b.by)
	} else if a.ring == b.ring && b.bx == a.ax && b.by == a.ay {
		meet = foldsBack(b.ax, b.ay, b.bx, b.by, a.bx, a.by)
	} else {
		meet = a.meets(b)
	}
	if meet {
		c.mark(k)
		c.mark(l)
	}
}

// foldsBack says whether the way from a over b to c turns back on itself.
func foldsBack(ax, ay, bx, by, cx, cy float64) bool {
	return (bx-ax)*(cx-bx)+(by-ay)*(cy-by) < 0 && ring.Orient(ax, ay, bx, by, cx, cy) == 0
}

// meets says whether two segments have a point in common.
func (a *segment) meets(b *segment) bool {
	if max(a.ax, a.bx) < min(b.ax, b.bx) || max(b.ax, b.bx) < min(a.ax, a.bx) ||
		max(a.ay, a.by) < min(b.ay, b.by) || max(b.ay, b.by) < min(a.ay, a.by) {
		return false
	}
	return ring.Orient(a.ax, a.ay, a.bx, a.by, b.ax, b.ay)*ring.Orient(a.ax, a.ay, a.bx, a.by, b.bx, b.by) <= 0 &&
		ring.Orient(b.ax, b.ay, b.bx, b.by, a.ax, a.ay)*ring.Orient(b.ax, b.ay, b.bx, b.by, a.bx, a.by) <= 0
}

// passedOver says whether the point lies between segment k and the part of the
// outline that it stands for.
func (c *conflicts) passedOver(k int, x, y float64) bool {
	s, d := &c.segs[k], c.d
	if segmentDistance2(x, y, s.ax, s.ay, s.bx, s.by) > d.tolerance*d.tolerance {
		return false
	}
	xy := d.rings[s.ring]
	i, j := d.segment(int(s.ring), k)
	inside := false
	px, py := s.ax, s.ay
	edge := func(qx, qy float64) {
		if (py > y) != (qy > y) && x < px+(y-py)/(qy-py)*(qx-px) {
			inside = !inside
		}
		px, py = qx, qy
	}
	for v := i; v <= j; v++ {
		w := 2 * v
		if w >= len(xy) {
			w -= len(xy)
		}
		edge(xy[w], xy[w+1])
	}
	edge(s.bx, s.by)
	edge(s.ax, s.ay)
	return inside
}
