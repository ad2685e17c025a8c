package trace

// untangle gives vertices back until no two segments meet, and every ring has
// the neighbours in it and round it that it had.
//
// Where segments meet, or a segment has passed over another ring, their nodes
// go back to the vertices that they stand for, and they get back the vertex
// that is furthest from them. With all vertices back nothing would meet: so it
// ends.
func (d *design) untangle() {
	for {
		c := findConflicts(d)
		if c.found == 0 {
			return
		}
		d.bend(c.bad, c.found)
	}
}

// bend takes the nodes of bad segments back to their vertices, and gives those
// segments the vertex back that is furthest, with what more it takes then to
// keep within the tolerance.
func (d *design) bend(bad []bool, found int) {
	old := *d
	d.vertex = make([]int32, 0, len(old.vertex)+2*found)
	d.at = make([]float64, 0, 2*cap(d.vertex))
	d.spans = make([]span, 0, len(old.spans))
	if d.off != nil {
		d.off = make([]float64, 0, cap(d.vertex))
	}
	for r, s := range old.spans {
		first := len(d.vertex)
		xy := d.rings[r]
		n := len(xy) / 2
		put := func(v int) {
			v %= n
			d.vertex = append(d.vertex, int32(v))
			d.at = append(d.at, xy[2*v], xy[2*v+1])
		}
		before := s.to - 1
		for k := s.from; k < s.to; before, k = k, k+1 {
			put(int(old.vertex[k]))
			if !bad[k] && !bad[before] {
				copy(d.at[len(d.at)-2:], old.at[2*k:])
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
			v := j
			if bad[k] {
				if v = old.furthest(r, k); v < 0 {
					v = j
				}
			}
			for _, part := range [2]span{{i, v}, {v, j}} {
				for u := part.from; u < part.to; u += reach(xy, u%n, part.to-u, d.tolerance) {
					if u != i {
						put(u)
					}
				}
			}
		}
		d.spans = append(d.spans, span{first, len(d.vertex)})
		if old.off != nil {
			d.measure(xy, span{first, len(d.vertex)})
		}
	}
}
