package mesh

import (
	"math"
	"slices"
)

// near is how close, in grid units, an edge may pass a vertex before it is led
// through it: points that were meant to lie on an edge are off it by rounding.
const near = 2

// keep makes the straight way from vertex a to b a chain of kept edges.
func (m *Mesh) keep(a, b int32, mask uint8) error {
	for a != b {
		c, err := m.keepSome(a, b, mask)
		if err != nil {
			return err
		}
		a = c
	}
	return nil
}

// passes reports whether the segment from a to b runs through v, or as good as.
func (m *Mesh) passes(a, b, v int32) bool {
	p, q, r := m.V[a], m.V[b], m.V[v]
	dx, dy := float64(q.X-p.X), float64(q.Y-p.Y)
	along := dx*float64(r.X-p.X) + dy*float64(r.Y-p.Y)
	if along <= 0 || along >= dx*dx+dy*dy {
		return false
	}
	return math.Abs(float64(Orient(p, q, r))) <= near*math.Hypot(dx, dy)
}

// keepSome keeps an edge from a to b, or to the first vertex on the way there,
// and returns where it got to.
func (m *Mesh) keepSome(a, b int32, mask uint8) (int32, error) {
	pa, pb := m.V[a], m.V[b]
	first, first0 := int32(-1), m.out[a]
	for h := first0; ; {
		x, y := m.End(h), m.Apex(h)
		if x == b || m.passes(a, b, x) {
			m.mark(h, mask)
			return x, nil
		}
		if Orient(pa, pb, m.V[x]) < 0 && Orient(pa, pb, m.V[y]) > 0 && !m.passes(a, b, y) {
			first = h
		}
		if h = m.Twin[Prev(h)]; h == first0 {
			break
		}
	}
	return m.cross(a, b, first, mask)
}

// mark flags the edge of h as kept, once more for the given mask.
func (m *Mesh) mark(h int32, mask uint8) {
	k := (m.Mask[h] ^ mask) | Kept
	m.Mask[h] = k
	m.Mask[m.Twin[h]] = k
}

// cross forces an edge through the triangles that the way from a to b crosses,
// beginning with that of h, which starts at a.
func (m *Mesh) cross(a, b, h int32, mask uint8) (int32, error) {
	hole := cavity{m: m, free: []int32{h / 3}}
	hole.left.start(a)
	hole.right.start(a)
	hole.left.add(m.Apex(h), Prev(h))
	hole.right.add(m.End(h), h)
	for e := Next(h); ; {
		x, y := m.Start[e], m.End(e)
		if m.Mask[e]&Kept != 0 {
			return 0, &CrossingError{m.V[a], m.V[b], m.V[x], m.V[y]}
		}
		t := m.Twin[e]
		hole.free = append(hole.free, t/3)
		v := m.Apex(t)
		// In the triangle of t, which runs from y to x, next is x to v, then v to y.
		if v == b || m.passes(a, b, v) {
			hole.right.add(v, Next(t))
			hole.left.add(v, Prev(t))
			b = v
			break
		}
		if Orient(m.V[a], m.V[b], m.V[v]) > 0 {
			hole.left.add(v, Prev(t))
			e = Next(t)
		} else {
			hole.right.add(v, Next(t))
			e = Prev(t)
		}
	}
	hole.refill(mask)
	return b, nil
}

// rim is one side of a cavity: vertices from one end of the new edge to the other
// and, between each two, the half-edge inside the cavity.
type rim struct {
	v     []int32
	inner []int32
}

func (r *rim) start(a int32) { r.v = append(r.v, a) }

func (r *rim) add(v, inner int32) {
	r.v = append(r.v, v)
	r.inner = append(r.inner, inner)
}

// cavity is the hole that is left when the triangles along a new edge are taken out.
type cavity struct {
	m           *Mesh
	left, right rim
	free        []int32 // triangles to build anew
}

// side is what lies across a rim's edge: a half-edge outside the cavity, or none
// if both sides of the edge are within it.
type side struct {
	outer int32
	mask  uint8
}

// refill triangulates both sides of the new edge.
func (c *cavity) refill(mask uint8) {
	m := c.m
	inside := make(map[int32]bool, len(c.free))
	for _, t := range c.free {
		inside[t] = true
	}
	slices.Reverse(c.right.v)
	slices.Reverse(c.right.inner)
	f := filler{m: m, free: c.free}
	f.pending = map[[2]int32]int32{}
	sides := func(r *rim) []side {
		s := make([]side, len(r.inner))
		for i, h := range r.inner {
			s[i] = side{m.Twin[h], m.Mask[h]}
			if inside[s[i].outer/3] {
				s[i].outer = -1
			}
		}
		return s
	}
	ls, rs := sides(&c.left), sides(&c.right)
	l, _ := f.fill(c.left.v, ls)
	r, _ := f.fill(c.right.v, rs)
	m.Twin[l], m.Twin[r] = r, l
	m.Mask[l], m.Mask[r] = mask|Kept, mask|Kept
}

type filler struct {
	m       *Mesh
	free    []int32
	pending map[[2]int32]int32 // edges within the cavity that wait for their other side
}

// fill triangulates the polygon between the straight line v[0]-v[last] and the
// vertices v, which run on its left, so that it is Delaunay. It returns the
// half-edge v[0] to v[last], or what lies across if there is nothing to fill.
func (f *filler) fill(v []int32, sides []side) (int32, uint8) {
	m := f.m
	k := len(v) - 1
	if k == 1 {
		return sides[0].outer, sides[0].mask
	}
	p, q := m.V[v[0]], m.V[v[k]]
	best := 0
	for i := 1; i < k; i++ {
		if Orient(p, q, m.V[v[i]]) > 0 && (best == 0 || inCircle(p, q, m.V[v[best]], m.V[v[i]]) > 0) {
			best = i
		}
	}
	h := 3 * f.free[len(f.free)-1]
	f.free = f.free[:len(f.free)-1]
	far, farMask := f.fill(v[best:], sides[best:])
	nigh, nighMask := f.fill(v[:best+1], sides[:best])
	m.set(h, v[0], -1, 0)
	f.join(h+1, v[k], v[best], far, farMask)
	f.join(h+2, v[best], v[0], nigh, nighMask)
	return h, 0
}

// join sets half-edge h from a to b against outer, or against its twin within the
// cavity once that is known.
func (f *filler) join(h, a, b, outer int32, mask uint8) {
	if outer < 0 {
		if other, ok := f.pending[[2]int32{b, a}]; ok {
			outer = other
		} else {
			f.pending[[2]int32{a, b}] = h
		}
	}
	f.m.set(h, a, outer, mask)
}
