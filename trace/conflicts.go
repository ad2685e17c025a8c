package trace

import (
	"sort"

	"example.org/kerfleaf/internal/ring"
)

// conflicts are the segments of a design that meet another one or have passed
// over a ring, and can be bent back. A segment has the number of its first
// node.
type conflicts struct {
	d     *design
	next  []int32 // of each segment: the one after it in the ring
	bad   []bool
	found int
}

func findConflicts(d *design) *conflicts {
	c := &conflicts{d: d, next: make([]int32, len(d.vertex)), bad: make([]bool, len(d.vertex))}
	if len(d.vertex) == 0 {
		return c
	}
	for _, s := range d.spans {
		for k := s.from; k < s.to; k++ {
			c.next[k] = int32(k + 1)
		}
		if s.from < s.to {
			c.next[s.to-1] = int32(s.from)
		}
	}
	g := newGrid(d.at)
	for k, l := range c.next {
		c.turnBack(k, int(l))
		g.along(d.at[2*k], d.at[2*k+1], d.at[2*l], d.at[2*l+1], func(cell int) {
			for e := g.first[cell]; e >= 0; e = g.entries[e].next {
				c.pair(k, int(g.entries[e].item))
			}
			g.put(cell, int32(k))
		})
	}
	// A ring that has been passed over lies whole beside a segment: one
	// vertex of it tells, or where that has gone.
	for r, s := range d.spans {
		if s.from == s.to {
			continue
		}
		for _, p := range [2][]float64{d.rings[r], d.at[2*s.from:]} {
			x, y := p[0], p[1]
			g.near(x, y, d.furthestNode(), func(item int32) {
				if k := int(item); (k < s.from || k >= s.to) && c.passedOver(k, x, y) {
					c.mark(k)
				}
			})
			if p[0] == d.at[2*s.from] && p[1] == d.at[2*s.from+1] {
				break
			}
		}
	}
	return c
}

// mark notes a bad segment, if it is not as the ring was there.
func (c *conflicts) mark(k int) {
	if c.bad[k] {
		return
	}
	d, r := c.d, c.ringOf(k)
	if i, j := d.segment(r, k); j-i > 1 || d.moved(r, k) || d.moved(r, int(c.next[k])) {
		c.bad[k] = true
		c.found++
	}
}

// ringOf finds the ring of a segment.
func (c *conflicts) ringOf(k int) int {
	spans := c.d.spans
	return sort.Search(len(spans), func(r int) bool { return spans[r].to > k })
}

// moved says whether node k of ring r is not on its vertex.
func (d *design) moved(r, k int) bool {
	v := d.vertex[k]
	return d.at[2*k] != d.rings[r][2*v] || d.at[2*k+1] != d.rings[r][2*v+1]
}

// turnBack marks a segment and the next if the way turns back on itself.
func (c *conflicts) turnBack(k, l int) {
	at, m := c.d.at, c.next[l]
	ax, ay, bx, by, cx, cy := at[2*k], at[2*k+1], at[2*l], at[2*l+1], at[2*m], at[2*m+1]
	if (bx-ax)*(cx-bx)+(by-ay)*(cy-by) < 0 && ring.Orient(ax, ay, bx, by, cx, cy) == 0 {
		c.mark(k)
		c.mark(l)
	}
}

// pair marks two segments that are no neighbours if they have a point in
// common.
func (c *conflicts) pair(k, l int) {
	kn, ln := int(c.next[k]), int(c.next[l])
	if kn == l || ln == k {
		return
	}
	at := c.d.at
	ax, ay, bx, by := at[2*k], at[2*k+1], at[2*kn], at[2*kn+1]
	cx, cy, dx, dy := at[2*l], at[2*l+1], at[2*ln], at[2*ln+1]
	if ax < cx && ax < dx && bx < cx && bx < dx || ax > cx && ax > dx && bx > cx && bx > dx ||
		ay < cy && ay < dy && by < cy && by < dy || ay > cy && ay > dy && by > cy && by > dy {
		return
	}
	if ring.Orient(ax, ay, bx, by, cx, cy)*ring.Orient(ax, ay, bx, by, dx, dy) <= 0 &&
		ring.Orient(cx, cy, dx, dy, ax, ay)*ring.Orient(cx, cy, dx, dy, bx, by) <= 0 {
		c.mark(k)
		c.mark(l)
	}
}

// passedOver says whether the point lies between segment k and the part of the
// outline that it stands for.
func (c *conflicts) passedOver(k int, x, y float64) bool {
	d, l := c.d, c.next[k]
	ax, ay, bx, by := d.at[2*k], d.at[2*k+1], d.at[2*l], d.at[2*l+1]
	if reach := d.furthestNode(); segmentDistance2(x, y, ax, ay, bx, by) > reach*reach {
		return false
	}
	r := c.ringOf(k)
	xy := d.rings[r]
	i, j := d.segment(r, k)
	inside := false
	px, py := ax, ay
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
	edge(bx, by)
	edge(ax, ay)
	return inside
}
