package trace

import (
	"math"
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
	climbs []climb
	grid   grid // of climbs
}

// climb is a run of up to climbSize segments of a ring that go up all or down
// all, and so do not meet each other.
type climb struct {
	from, to       int32 // the last excluded
	ring           int32
	column, row    int32 // of its least corner's cell
	x0, y0, x1, y1 float64
}

const climbSize = 8

// find looks for the conflicts of rings that have changed.
func (c *conflicts) find() {
	d := c.d
	c.bad = append(c.bad[:0], make([]bool, len(d.vertex))...)
	c.found = 0
	if len(d.vertex) == 0 {
		return
	}
	c.climbs = slices.Grow(c.climbs[:0], len(d.vertex)/3)
	for r := range d.spans {
		c.part(r)
	}
	g := &c.grid
	g.reset(d.at, len(c.climbs))
	for k := range c.climbs {
		b := &c.climbs[k]
		left, right, top, bottom := g.cover(b.x0, b.y0, b.x1, b.y1)
		b.column, b.row = int32(left), int32(top)
		for iy := top; iy <= bottom; iy++ {
			for ix := left; ix <= right; ix++ {
				cell := iy*g.nx + ix
				for e := g.first[cell]; e >= 0; e = g.entries[e].next {
					// Two climbs that share cells are looked at in the first of these alone.
					o := &c.climbs[g.entries[e].item]
					if ix == max(left, int(o.column)) && iy == max(top, int(o.row)) {
						c.meet(b, o)
					}
				}
				g.put(cell, int32(k))
			}
		}
	}
	c.findPassed()
}

// part parts ring r into climbs, and marks its segments that turn back.
func (c *conflicts) part(r int) {
	s := c.d.spans[r]
	if s.from == s.to {
		return
	}
	at := c.d.at[2*s.from : 2*s.to]
	n := len(at)
	px, py := at[n-2], at[n-1] // before
	x, y := at[0], at[1]
	var b climb
	way := 0
	for i := 0; i < n; i += 2 {
		e := i + 2
		if e == n {
			e = 0
		}
		qx, qy := at[e], at[e+1]
		k := s.from + i/2
		back := (x-px)*(qx-x)+(y-py)*(qy-y) < 0 && ring.Orient(px, py, x, y, qx, qy) == 0
		if back {
			l := k - 1
			if i == 0 {
				l = s.to - 1
			}
			c.mark(r, k)
			c.mark(r, l)
		}
		now := 0 // level, unless the segment is but a point
		switch {
		case qy > y:
			now = 1
		case qy < y:
			now = -1
		case qx == x:
			now = 2
		}
		if i == 0 || back || now*way < 0 || now == 2 || way == 2 || k-int(b.from) == climbSize {
			if i > 0 {
				b.to = int32(k)
				c.climbs = append(c.climbs, b)
			}
			b = climb{from: int32(k), ring: int32(r), x0: x, y0: y, x1: x, y1: y}
			way = now
		} else if way == 0 {
			way = now
		}
		b.x0, b.y0, b.x1, b.y1 = min(b.x0, qx), min(b.y0, qy), max(b.x1, qx), max(b.y1, qy)
		px, py, x, y = x, y, qx, qy
	}
	b.to = int32(s.to)
	c.climbs = append(c.climbs, b)
}

// meet marks the segments of two climbs that meet.
func (c *conflicts) meet(a, b *climb) {
	if !c.fresh[a.ring] && !c.fresh[b.ring] {
		return
	}
	x0, y0, x1, y1 := max(a.x0, b.x0), max(a.y0, b.y0), min(a.x1, b.x1), min(a.y1, b.y1)
	if x0 > x1 || y0 > y1 {
		return
	}
	var p, q [climbSize]int32
	for _, k := range c.within(a, x0, y0, x1, y1, &p) {
		for _, l := range c.within(b, x0, y0, x1, y1, &q) {
			c.pair(int(a.ring), int(k), int(b.ring), int(l))
		}
	}
}

// within gives the segments of a climb whose boxes meet another one.
func (c *conflicts) within(b *climb, x0, y0, x1, y1 float64, near *[climbSize]int32) []int32 {
	at := c.d.at
	n := 0
	ax, ay := at[2*b.from], at[2*b.from+1]
	for k := b.from; k < b.to; k++ {
		l := int(k) + 1
		if k+1 == b.to {
			l = c.d.next(int(b.ring), int(k))
		}
		bx, by := at[2*l], at[2*l+1]
		if (ax >= x0 || bx >= x0) && (ax <= x1 || bx <= x1) && (ay >= y0 || by >= y0) && (ay <= y1 || by <= y1) {
			near[n] = k
			n++
		}
		ax, ay = bx, by
	}
	return near[:n]
}

// next is the segment after segment k of ring r.
func (d *design) next(r, k int) int {
	if k++; k == d.spans[r].to {
		return d.spans[r].from
	}
	return k
}

// mark notes a bad segment of ring r, if it is not as the ring was there.
func (c *conflicts) mark(r, k int) {
	if c.bad[k] {
		return
	}
	d := c.d
	if i, j := d.segment(r, k); j-i > 1 || d.moved(r, k) || d.moved(r, d.next(r, k)) {
		c.bad[k] = true
		c.found++
	}
}

// moved says whether node k of ring r is not on its vertex.
func (d *design) moved(r, k int) bool {
	v := d.vertex[k]
	return d.at[2*k] != d.rings[r][2*v] || d.at[2*k+1] != d.rings[r][2*v+1]
}

// pair marks two segments of rings q and r that are no neighbours if they have
// a point in common.
func (c *conflicts) pair(q, k, r, l int) {
	kn, ln := c.d.next(q, k), c.d.next(r, l)
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
		c.mark(q, k)
		c.mark(r, l)
	}
}

// findPassed marks the segments that have passed over a ring: it lies whole
// between them and what they stand for, and one vertex of it tells, or where
// that has gone.
func (c *conflicts) findPassed() {
	d, g, tol := c.d, &c.grid, c.d.tolerance
	tokens := make([]float64, 0, 4*len(d.spans)) // x, y of both, ring by ring
	for r, s := range d.spans {
		if s.from == s.to {
			tokens = append(tokens, 0, 0, 0, 0)
			continue
		}
		xy, at := d.rings[r], d.at[2*s.from:]
		tokens = append(tokens, xy[0], xy[1], at[0], at[1])
		for t := len(tokens) - 4; t < len(tokens); t += 2 {
			x, y := tokens[t], tokens[t+1]
			if t == len(tokens)-2 && x == tokens[t-2] && y == tokens[t-1] {
				break
			}
			g.in(x-tol, y-tol, x+tol, y+tol, func(item int32) {
				b := &c.climbs[item]
				if int(b.ring) == r || x < b.x0-tol || x > b.x1+tol || y < b.y0-tol || y > b.y1+tol {
					return
				}
				for k := b.from; k < b.to; k++ {
					c.passed(int(b.ring), int(k), r, x, y, tol)
				}
			})
		}
	}
	if d.off != nil {
		c.findFar(tokens)
	}
}

// findFar does the same with the segments that may be further than the
// tolerance from what they stand for. They look for tokens themselves.
func (c *conflicts) findFar(tokens []float64) {
	d := c.d
	var far grid
	for r, s := range d.spans {
		for k := s.from; k < s.to; k++ {
			d2 := d.off[k]
			if d2 <= d.tolerance*d.tolerance {
				continue
			}
			if far.first == nil {
				far.reset(tokens, len(tokens)/2)
				for i, t := range d.spans {
					if t.from < t.to {
						far.put(far.at(tokens[4*i], tokens[4*i+1]), int32(2*i))
						far.put(far.at(tokens[4*i+2], tokens[4*i+3]), int32(2*i+1))
					}
				}
			}
			l, reach := d.next(r, k), math.Sqrt(d2)*(1+1e-9)
			x0, x1 := min(d.at[2*k], d.at[2*l])-reach, max(d.at[2*k], d.at[2*l])+reach
			y0, y1 := min(d.at[2*k+1], d.at[2*l+1])-reach, max(d.at[2*k+1], d.at[2*l+1])+reach
			far.in(x0, y0, x1, y1, func(item int32) {
				c.passed(r, k, int(item/2), tokens[2*item], tokens[2*item+1], reach)
			})
		}
	}
}

// passed marks segment k of ring q if it has passed over the point, which
// belongs to ring r and is not further from the segment than reach.
func (c *conflicts) passed(q, k, r int, x, y, reach float64) {
	if q != r && (c.fresh[q] || c.fresh[r]) && !c.bad[k] && c.d.passedOver(q, k, x, y, reach) {
		c.mark(q, k)
	}
}

// passedOver says whether the point lies between segment k of ring r and the
// part of the outline that it stands for, and not further from it than reach.
func (d *design) passedOver(r, k int, x, y, reach float64) bool {
	l := d.next(r, k)
	ax, ay, bx, by := d.at[2*k], d.at[2*k+1], d.at[2*l], d.at[2*l+1]
	if segmentDistance2(x, y, ax, ay, bx, by) > reach*reach {
		return false
	}
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
