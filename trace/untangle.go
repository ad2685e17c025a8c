package trace

// untangle gives vertices back until no two segments meet, and every ring has
// the neighbours in it and round it that it had.
//
// Where segments meet, or a segment has passed over another ring, their nodes
// go back to the vertices that they stand for, and if they are there already,
// they get back the vertex that is furthest from them. With all vertices back
// nothing would meet: so it ends.
func (d *design) untangle() {
	for {
		c := findConflicts(d)
		if c.found == 0 {
			return
		}
		d.bend(c.bad, c.found)
	}
}

// bend takes the nodes of bad segments back to their vertices, or gives those
// segments the vertex back that is furthest, with what more it takes then to
// keep within the bound.
func (d *design) bend(bad []bool, found int) {
	old := *d
	n := len(old.vertex) + 2*found
	h := holder{bound: d.bound, out: course{make([]int32, 0, n), make([]float64, 0, 2*n)}}
	d.spans = make([]span, 0, len(old.spans))
	if d.off != nil {
		d.off = make([]float64, 0, n)
	}
	for r, s := range old.spans {
		first := len(h.out.nodes)
		h.xy = d.rings[r]
		before := s.to - 1
		for k := s.from; k < s.to; before, k = k, k+1 {
			h.put(int(old.vertex[k]))
			if !bad[k] && !bad[before] {
				copy(h.out.at[len(h.out.at)-2:], old.at[2*k:])
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
			v := -1
			if bad[k] && !old.moved(r, k) && !old.moved(r, next) {
				v = old.furthest(r, k)
			}
			if v < 0 {
				h.between(i, j, false)
				continue
			}
			h.between(i, v, false)
			h.put(v)
			h.between(v, j, false)
		}
		d.spans = append(d.spans, span{first, len(h.out.nodes)})
	}
	d.vertex, d.at = h.out.nodes, h.out.at
	if old.off != nil {
		for r, s := range d.spans {
			d.measure(d.rings[r], s)
		}
	}
}
