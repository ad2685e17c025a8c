package trace

import (
	"slices"

	"example.org/kerfleaf/internal/ring"
)

// conflicts are the segments of a design that meet another one or have passed
// over a ring, and can be bent back. A segment has the number of its first
// node.
type conflicts struct {
	d      *design
	fresh  []bool // of each ring: it has changed since conflicts were looked for
	bad    []bool // of each segment
	found  int
	chains []chain
	grid   grid // of chains
}

// marks are the segments that one goroutine has found to be bad, some perhaps
// more than once.
type marks []int32

// find looks for the conflicts of rings that have changed.
func (c *conflicts) find() {
	c.bad = append(c.bad[:0], make([]bool, len(c.d.vertex))...)
	c.found = 0
	if len(c.d.vertex) == 0 {
		return
	}
	parts := make([][]chain, (len(c.d.spans)+batch-1)/batch)
	c.gather(len(c.d.spans), func(m *marks, from, to int) {
		nodes := c.d.spans[to-1].to - c.d.spans[from].from
		part := make([]chain, 0, to-from+nodes/chainSize)
		for r := from; r < to; r++ {
			part = c.part(m, part, r)
		}
		parts[from/batch] = part
	})
	c.chains = slices.Concat(parts...)
	c.fill()
	c.gather(len(c.chains), c.meetOthers)
	c.gather(len(c.d.spans), c.findPassed)
	if c.d.off != nil {
		c.findFar()
	}
}

// gather calls do, on all cores, for ranges of n things, and marks what it finds.
func (c *conflicts) gather(n int, do func(m *marks, from, to int)) {
	lists := make([]marks, (n+batch-1)/batch)
	inBatches(n, func(from, to int) { do(&lists[from/batch], from, to) })
	for _, m := range lists {
		for _, k := range m {
			if !c.bad[k] {
				c.bad[k] = true
				c.found++
			}
		}
	}
}

// fill lays the grid over all chains.
func (c *conflicts) fill() {
	all := ring.EmptyBox()
	for k := range c.chains {
		all = all.Join(c.chains[k].box)
	}
	g := &c.grid
	g.reset(all, len(c.chains))
	for k := range c.chains {
		b := &c.chains[k]
		left, right, top, bottom := g.cover(b.box.MinX, b.box.MinY, b.box.MaxX, b.box.MaxY)
		b.column, b.row = int32(left), int32(top)
		for iy := top; iy <= bottom; iy++ {
			for ix := left; ix <= right; ix++ {
				g.put(iy*g.nx+ix, int32(k))
			}
		}
	}
}

// meetOthers looks at some chains with those before each.
func (c *conflicts) meetOthers(m *marks, from, to int) {
	g := &c.grid
	for k := from; k < to; k++ {
		b := &c.chains[k]
		left, right, top, bottom := g.cover(b.box.MinX, b.box.MinY, b.box.MaxX, b.box.MaxY)
		for iy := top; iy <= bottom; iy++ {
			for ix := left; ix <= right; ix++ {
				for e := g.first[iy*g.nx+ix]; e >= 0; e = g.entries[e].next {
					// Two that share cells are looked at in the first of these alone.
					if item := g.entries[e].item; int(item) < k {
						if o := &c.chains[item]; ix == max(left, int(o.column)) && iy == max(top, int(o.row)) {
							c.meet(m, b, o)
						}
					}
				}
			}
		}
	}
}

// meet marks the segments of two chains that meet.
func (c *conflicts) meet(m *marks, a, b *chain) {
	if !c.fresh[a.ring] && !c.fresh[b.ring] || !a.quick.meets(&b.quick) {
		return
	}
	var nearA, nearB near
	if c.near(b, a, &nearB) == 0 || c.near(a, b, &nearA) == 0 {
		return
	}
	for i := range nearA.n {
		for j := range nearB.n {
			if nearA.boxes[i].meets(&nearB.boxes[j]) {
				c.pair(m, int(a.ring), nearA.segments[i], int(b.ring), nearB.segments[j])
			}
		}
	}
}

// pair marks two segments of rings q and r whose boxes meet, if they are no
// neighbours and have a point in common.
func (c *conflicts) pair(m *marks, q, k, r, l int) {
	kn, ln := c.d.next(q, k), c.d.next(r, l)
	if kn == l || ln == k {
		return
	}
	at := c.d.at
	ax, ay, bx, by := at[2*k], at[2*k+1], at[2*kn], at[2*kn+1]
	cx, cy, dx, dy := at[2*l], at[2*l+1], at[2*ln], at[2*ln+1]
	if ring.Orient(ax, ay, bx, by, cx, cy)*ring.Orient(ax, ay, bx, by, dx, dy) <= 0 &&
		ring.Orient(cx, cy, dx, dy, ax, ay)*ring.Orient(cx, cy, dx, dy, bx, by) <= 0 {
		c.mark(m, q, k)
		c.mark(m, r, l)
	}
}

// mark notes a bad segment of ring r, if it is not as the ring was there.
func (c *conflicts) mark(m *marks, r, k int) {
	d := c.d
	if i, j := d.segment(r, k); j-i > 1 || d.moved(r, k) || d.moved(r, d.next(r, k)) {
		*m = append(*m, int32(k))
	}
}

// next is the segment after segment k of ring r.
func (d *design) next(r, k int) int {
	if k++; k == d.spans[r].to {
		return d.spans[r].from
	}
	return k
}

// moved says whether node k of ring r is not on its vertex.
func (d *design) moved(r, k int) bool {
	v := d.vertex[k]
	return d.at[2*k] != d.rings[r][2*v] || d.at[2*k+1] != d.rings[r][2*v+1]
}
