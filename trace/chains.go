package trace

import "example.org/kerfleaf/internal/ring"

// chain is a run of up to chainSize segments of a ring: so few that each
// pair of them is looked at, and so many that most rings have one chain.
type chain struct {
	quick       quickBox
	box         ring.Box
	from, to    int32 // the last excluded
	ring        int32
	column, row int32 // of its least corner's cell
}

const chainSize = 16

// part adds the chains of ring r, and marks its segments that turn back or
// meet another one of their chain.
func (c *conflicts) part(m *marks, to []chain, r int) []chain {
	s := c.d.spans[r]
	n := s.to - s.from
	if n == 0 {
		return to
	}
	var boxes [chainSize]quickBox
	pieces := (n + chainSize - 1) / chainSize
	for p := range pieces {
		b := chain{from: int32(s.from + p*n/pieces), to: int32(s.from + (p+1)*n/pieces), ring: int32(r)}
		list := c.boxes(&b, &boxes)
		b.quick = list[0]
		for i := range list {
			b.quick.join(&list[i])
		}
		b.box = b.quick.box()
		to = append(to, b)
		if !c.fresh[r] {
			continue
		}
		c.turnsBack(m, &b)
		for i := range list {
			for j := i + 2; j < len(list); j++ {
				if list[i].meets(&list[j]) {
					c.pair(m, r, int(b.from)+i, r, int(b.from)+j)
				}
			}
		}
	}
	return to
}

// boxes gives the boxes of a chain's segments.
func (c *conflicts) boxes(b *chain, list *[chainSize]quickBox) []quickBox {
	at := c.d.at
	x, y := quickNumber(at[2*b.from]), quickNumber(at[2*b.from+1])
	n := int(b.to - b.from)
	for i := range list[:n] {
		l := int(b.from) + i + 1
		if l == int(b.to) {
			l = c.d.next(int(b.ring), l-1)
		}
		qx, qy := quickNumber(at[2*l]), quickNumber(at[2*l+1])
		list[i] = quickBoxOf(x, y, qx, qy)
		x, y = qx, qy
	}
	return list[:n]
}

// turnsBack marks the segments of a chain that lead back on the one before,
// and that one.
func (c *conflicts) turnsBack(m *marks, b *chain) {
	at, r := c.d.at, int(b.ring)
	before := int(b.from) - 1
	if before < c.d.spans[r].from {
		before = c.d.spans[r].to - 1
	}
	px, py := at[2*before], at[2*before+1]
	x, y := at[2*b.from], at[2*b.from+1]
	for k := int(b.from); k < int(b.to); k++ {
		l := k + 1
		if l == int(b.to) {
			l = c.d.next(r, k)
		}
		qx, qy := at[2*l], at[2*l+1]
		if (x-px)*(qx-x)+(y-py)*(qy-y) < 0 && ring.Orient(px, py, x, y, qx, qy) == 0 {
			c.mark(m, r, before)
			c.mark(m, r, k)
		}
		px, py, x, y, before = x, y, qx, qy, k
	}
}

// near are segments of a chain whose boxes meet that of another one.
type near struct {
	n        int
	boxes    [chainSize]quickBox
	segments [chainSize]int
}

// near finds the segments of chain a near b, and returns how many.
func (c *conflicts) near(a, b *chain, to *near) int {
	for i, box := range c.boxes(a, &to.boxes) {
		if box.meets(&b.quick) {
			to.boxes[to.n], to.segments[to.n] = box, int(a.from)+i
			to.n++
		}
	}
	return to.n
}
