package trace

import (
	"math"
	"slices"

	"example.org/kerfleaf/internal/ring"
)

// tokens are the two points that tell for ring r whether a segment has passed
// over it, which then lies whole between the segment and what that stands for:
// its first vertex, and its first node.
func (d *design) tokens(r int) [4]float64 {
	xy, at := d.rings[r], d.at[2*d.spans[r].from:]
	return [4]float64{xy[0], xy[1], at[0], at[1]}
}

// findPassed marks the segments that have passed over some rings.
func (c *conflicts) findPassed(m *marks, from, to int) {
	d, g, tol := c.d, &c.grid, c.d.tolerance
	for r := from; r < to; r++ {
		if d.spans[r].from == d.spans[r].to {
			continue
		}
		t := d.tokens(r)
		for i := 0; i < 4; i += 2 {
			x, y := t[i], t[i+1]
			if i > 0 && x == t[0] && y == t[1] {
				break
			}
			g.in(x-tol, y-tol, x+tol, y+tol, func(item int32) {
				b := &c.chains[item]
				if int(b.ring) == r || !b.box.Grow(tol).Meets(ring.Box{MinX: x, MinY: y, MaxX: x, MaxY: y}) {
					return
				}
				for k := b.from; k < b.to; k++ {
					c.passed(m, int(b.ring), int(k), r, x, y, tol)
				}
			})
		}
	}
}

// findFar does the same with the segments that may be further than the
// tolerance from what they stand for. They look for tokens themselves.
func (c *conflicts) findFar() {
	d, tol2 := c.d, c.d.tolerance*c.d.tolerance
	if !slices.ContainsFunc(d.off, func(d2 float64) bool { return d2 > tol2 }) {
		return
	}
	tokens := make([][4]float64, len(d.spans))
	all := ring.EmptyBox()
	for r, s := range d.spans {
		if s.from < s.to {
			t := d.tokens(r)
			all = all.Add(t[0], t[1]).Add(t[2], t[3])
			tokens[r] = t
		}
	}
	var g grid // of tokens
	g.reset(all, 2*len(tokens))
	for r, s := range d.spans {
		if s.from < s.to {
			t := &tokens[r]
			g.put(g.at(t[0], t[1]), int32(2*r))
			g.put(g.at(t[2], t[3]), int32(2*r+1))
		}
	}
	c.gather(len(d.spans), func(m *marks, from, to int) {
		for r := from; r < to; r++ {
			for k := d.spans[r].from; k < d.spans[r].to; k++ {
				d2 := d.off[k]
				if d2 <= tol2 {
					continue
				}
				l, reach := d.next(r, k), math.Sqrt(d2)*(1+1e-9)
				x0, x1 := min(d.at[2*k], d.at[2*l])-reach, max(d.at[2*k], d.at[2*l])+reach
				y0, y1 := min(d.at[2*k+1], d.at[2*l+1])-reach, max(d.at[2*k+1], d.at[2*l+1])+reach
				g.in(x0, y0, x1, y1, func(item int32) {
					t := tokens[item/2][item%2*2:]
					c.passed(m, r, k, int(item/2), t[0], t[1], reach)
				})
			}
		}
	})
}

// passed marks segment k of ring q if it has passed over the point, which
// belongs to ring r and is not further from the segment than reach.
func (c *conflicts) passed(m *marks, q, k, r int, x, y, reach float64) {
	if q != r && (c.fresh[q] || c.fresh[r]) && c.d.passedOver(q, k, x, y, reach) {
		c.mark(m, q, k)
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
