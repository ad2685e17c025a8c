package trace

import "example.org/kerfleaf/internal/ring"

// untangle takes vertices back until no two of the chosen segments meet, and
// every ring has the neighbours in it and round it that it had.
//
// Where segments meet, or a segment has passed over another ring, they get
// back the vertex that is furthest from them. With all vertices back nothing
// would meet: so it ends.
func (t *thinned) untangle() {
	for {
		c := conflicts{t: t, bad: make([]bool, len(t.keep))}
		c.find()
		if c.found == 0 {
			return
		}
		t.split(c.bad, c.found)
	}
}

// split takes the furthest vertex of each bad segment back, and those that the
// two halves need then to keep within the tolerance. Segments are numbered by
// their first node.
func (t *thinned) split(bad []bool, found int) {
	keep := make([]int32, 0, len(t.keep)+2*found)
	nodes := make([]span, 0, len(t.nodes))
	for r, old := range t.nodes {
		first := len(keep)
		a, n := t.rings[r].from, t.rings[r].to-t.rings[r].from
		for k := old.from; k < old.to; k++ {
			keep = append(keep, t.keep[k])
			if !bad[k] {
				continue
			}
			i, j := t.segment(r, k)
			v, _ := t.furthest(r, k)
			if v < i {
				v += n
			}
			for _, part := range [2]span{{i, v}, {v, j}} {
				for u := part.from; u < part.to; u = t.reach(r, u, part.to) {
					if u != i {
						keep = append(keep, int32(a+(u-a)%n))
					}
				}
			}
		}
		nodes = append(nodes, span{first, len(keep)})
	}
	t.keep, t.nodes = keep, nodes
}

// reach is the function reach for vertices of ring r, counted on past its end.
func (t *thinned) reach(r, u, end int) int {
	a, n := t.rings[r].from, t.rings[r].to-t.rings[r].from
	return a + reach(t.xy, a, n, u-a, end-a, t.tolerance*t.tolerance)
}

// conflicts finds the segments that meet another one or have passed over a
// ring, and can be bent back.
type conflicts struct {
	t     *thinned
	bad   []bool
	found int

	segs []segment
}

// segment is a chosen segment: its ends' coordinates, its ring, and whether
// vertices between have been left out.
type segment struct {
	ax, ay, bx, by float64
	ring           int32
	thinned        bool
}

func (c *conflicts) find() {
	t := c.t
	c.segs = make([]segment, len(t.keep))
	for r, nodes := range t.nodes {
		for k := nodes.from; k < nodes.to; k++ {
			i, j := t.segment(r, k)
			e := j
			if e >= t.rings[r].to {
				e -= t.rings[r].to - t.rings[r].from
			}
			c.segs[k] = segment{t.xy[2*i], t.xy[2*i+1], t.xy[2*e], t.xy[2*e+1], int32(r), j-i > 1}
		}
	}
	g := newGrid(c.segs)
	in := g.sorted(len(c.segs), func(k int, put func(cell int)) {
		s := &c.segs[k]
		g.along(s.ax, s.ay, s.bx, s.by, 0, put)
	})
	for cell := range g.cells() {
		here := in.at(cell)
		for a, k := range here {
			for _, l := range here[a+1:] {
				if c.segs[k].thinned || c.segs[l].thinned {
					c.pair(int(k), int(l))
				}
			}
		}
	}
	// A ring that has been passed over lies whole beside a segment: one
	// vertex of it tells.
	rings := g.sorted(len(t.nodes), func(r int, put func(cell int)) {
		s := &c.segs[t.nodes[r].from]
		g.along(s.ax, s.ay, s.ax, s.ay, 0, put)
	})
	for k := range c.segs {
		if s := &c.segs[k]; s.thinned {
			g.along(s.ax, s.ay, s.bx, s.by, t.tolerance, func(cell int) {
				for _, r := range rings.at(cell) {
					first := &c.segs[t.nodes[r].from]
					if r != s.ring && c.passedOver(k, first.ax, first.ay) {
						c.mark(k)
					}
				}
			})
		}
	}
}

func (c *conflicts) mark(k int) {
	if c.segs[k].thinned && !c.bad[k] {
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
	return ring.Orient(ax, ay, bx, by, cx, cy) == 0 && (bx-ax)*(cx-bx)+(by-ay)*(cy-by) < 0
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
	s, t := &c.segs[k], c.t
	if segmentDistance2(x, y, s.ax, s.ay, s.bx, s.by) > t.tolerance*t.tolerance {
		return false
	}
	round := t.rings[s.ring]
	i, j := t.segment(int(s.ring), k)
	inside := false
	px, py := s.bx, s.by
	for v := i; v <= j; v++ {
		w := v
		if w >= round.to {
			w -= round.to - round.from
		}
		qx, qy := t.xy[2*w], t.xy[2*w+1]
		if (py > y) != (qy > y) && x < px+(y-py)/(qy-py)*(qx-px) {
			inside = !inside
		}
		px, py = qx, qy
	}
	return inside
}
