package trace

import (
	"math"

	"example.org/kerfleaf/internal/ring"
)

// conflicts are the segments of a design that meet another one or have passed
// over a ring, and can be bent back. A segment has the number of its first
// node.
type conflicts struct {
	d     *design
	next  []int32 // of each segment: the one after it in the ring
	ring  []int32 // of each segment
	bad   []bool
	found int
}

func findConflicts(d *design) *conflicts {
	c := &conflicts{d: d, next: make([]int32, len(d.vertex)), ring: make([]int32, len(d.vertex)), bad: make([]bool, len(d.vertex))}
	if len(d.vertex) == 0 {
		return c
	}
	for r, s := range d.spans {
		for k := s.from; k < s.to; k++ {
			c.next[k], c.ring[k] = int32(k+1), int32(r)
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
	c.findPassed(g)
	return c
}

// findPassed marks the segments that have passed over a ring: it lies whole
// between them and what they stand for, and one vertex of it tells, or where
// that has gone.
func (c *conflicts) findPassed(g *grid) {
	d := c.d
	tokens := make([]float64, 0, 4*len(d.spans)) // x, y of both, ring by ring
	for r, s := range d.spans {
		if s.from == s.to {
			tokens = append(tokens, 0, 0, 0, 0)
			continue
		}
		xy, at := d.rings[r], d.at[2*s.from:]
		tokens = append(tokens, xy[0], xy[1], at[0], at[1])
		for t := len(tokens) - 4; t < len(tokens); t += 2 {
			if t == len(tokens)-2 && tokens[t] == tokens[t-2] && tokens[t+1] == tokens[t-1] {
				break
			}
			g.near(tokens[t], tokens[t+1], d.tolerance, func(item int32) {
				c.passed(int(item), r, tokens[t], tokens[t+1], d.tolerance)
			})
		}
	}
	// Most segments are within the tolerance of all that they stand for, and
	// have been found. The others look for themselves.
	var far *grid
	for k, d2 := range d.off {
		if d2 <= d.tolerance*d.tolerance {
			continue
		}
		if far == nil {
			far = newGrid(tokens)
			for r, s := range d.spans {
				if s.from < s.to {
					far.put(far.at(tokens[4*r], tokens[4*r+1]), int32(2*r))
					far.put(far.at(tokens[4*r+2], tokens[4*r+3]), int32(2*r+1))
				}
			}
		}
		l, reach := c.next[k], math.Sqrt(d2)*(1+1e-9)
		x0, x1 := min(d.at[2*k], d.at[2*l])-reach, max(d.at[2*k], d.at[2*l])+reach
		y0, y1 := min(d.at[2*k+1], d.at[2*l+1])-reach, max(d.at[2*k+1], d.at[2*l+1])+reach
		far.in(x0, y0, x1, y1, func(item int32) {
			c.passed(k, int(item/2), tokens[2*item], tokens[2*item+1], reach)
		})
	}
}

// passed marks segment k if it has passed over the point, which belongs to ring
// r and is not further from the segment than reach.
func (c *conflicts) passed(k, r int, x, y, reach float64) {
	if int(c.ring[k]) != r && !c.bad[k] && c.passedOver(k, x, y, reach) {
		c.mark(k)
	}
}

// mark notes a bad segment, if it is not as the ring was there.
func (c *conflicts) mark(k int) {
	if c.bad[k] {
		return
	}
	d, r := c.d, int(c.ring[k])
	if i, j := d.segment(r, k); j-i > 1 || d.moved(r, k) || d.moved(r, int(c.next[k])) {
		c.bad[k] = true
		c.found++
	}
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
// outline that it stands for, and not further from it than reach.
func (c *conflicts) passedOver(k int, x, y, reach float64) bool {
	d, l := c.d, c.next[k]
	ax, ay, bx, by := d.at[2*k], d.at[2*k+1], d.at[2*l], d.at[2*l+1]
	if segmentDistance2(x, y, ax, ay, bx, by) > reach*reach {
		return false
	}
	r := int(c.ring[k])
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
