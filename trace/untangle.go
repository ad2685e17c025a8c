package trace

import "slices"

// untangle gives vertices back until no two segments meet, and every ring has
// the neighbours in it and round it that it had.
//
// Where segments meet, or a segment has passed over another ring, their nodes
// go back to the vertices that they stand for, and if they are there already,
// they get back the vertex that is furthest from them. With all vertices back
// nothing would meet: so it ends.
func (d *design) untangle() {
	c := conflicts{d: d, fresh: make([]bool, len(d.spans))}
	for r := range c.fresh {
		c.fresh[r] = true
	}
	for {
		c.find()
		if c.found == 0 {
			return
		}
		d.bend(c.bad, c.found, c.fresh)
	}
}

// bend takes the nodes of bad segments back to their vertices, or gives those
// segments the vertex back that is furthest, with what more it takes then to
// keep within the bound. It notes which rings that changes.
func (d *design) bend(bad []bool, found int, fresh []bool) {
	old := *d
	n := len(old.vertex) + 2*found
	h := holder{bound: d.bound, out: course{make([]int32, 0, n), make([]float64, 0, 2*n)}}
	d.spans = make([]span, 0, len(old.spans))
	for r, s := range old.spans {
		first := len(h.out.nodes)
		if fresh[r] = slices.Contains(bad[s.from:s.to], true); fresh[r] {
			h.xy = d.rings[r]
			old.bendRing(&h, r, bad)
		} else {
			h.out.nodes = append(h.out.nodes, old.vertex[s.from:s.to]...)
			h.out.at = append(h.out.at, old.at[2*s.from:2*s.to]...)
		}
		d.spans = append(d.spans, span{first, len(h.out.nodes)})
	}
	d.vertex, d.at = h.out.nodes, h.out.at
	if old.off == nil {
		return
	}
	d.off = make([]float64, 0, n)
	for r, s := range old.spans {
		if fresh[r] {
			d.measure(d.rings[r], d.spans[r])
		} else {
			d.off = append(d.off, old.off[s.from:s.to]...)
		}
	}
}

// bendRing adds the nodes of ring r as bend has it.
func (d *design) bendRing(h *holder, r int, bad []bool) {
	s := d.spans[r]
	before := s.to - 1
	for k := s.from; k < s.to; before, k = k, k+1 {
		next := d.next(r, k)
		h.put(int(d.vertex[k]))
		if !bad[k] && !bad[before] {
			copy(h.out.at[len(h.out.at)-2:], d.at[2*k:])
			if !bad[next] {
				continue
			}
		}
		// The segment has been moved at one end at least.
		i, j := d.segment(r, k)
		v := -1
		if bad[k] && !d.moved(r, k) && !d.moved(r, next) {
			v = d.furthest(r, k)
		}
		if v < 0 {
			h.between(i, j, false)
			continue
		}
		h.between(i, v, false)
		h.put(v)
		h.between(v, j, false)
	}
}
