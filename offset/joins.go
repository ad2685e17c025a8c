package offset

// shape sets c, in the frame of l, to what the mitre at the start of edge k,
// which follows edge p, adds to the area.
func (s *source) shape(c *corners, l *line, p, k int32) {
	a, b := &s.edges[p], &s.edges[k]
	add := func(x, y float64, by int32) {
		x, y = l.local(b.x+x, b.y+y)
		c.add(x, y, by)
	}
	c.n = 0
	add(0, 0, loose)
	reach, cut := s.miter(p, k)
	add(s.d*a.uy, -s.d*a.ux, movedBy(p))
	if cut {
		add(s.d*a.uy+reach*a.ux, -s.d*a.ux+reach*a.uy, joinAt(k))
	}
	add(s.d*b.uy-reach*b.ux, -s.d*b.ux-reach*b.uy, movedBy(k))
	add(s.d*b.uy, -s.d*b.ux, loose)
}

// coverByJoins takes away from w.spans what the mitres at the starts of the
// edges of a block cover of p.
func (w *walker) coverByJoins(p *piece, b *block) {
	q := w.prev(b.first, w.before[b.ring], w.before[b.ring+1]-1)
	var c corners
	for k := b.first; k < b.end; k++ {
		if w.corner(q, k) == outward {
			w.shape(&c, &p.line, q, k)
			if v, ok := c.clip(w.eps); ok {
				w.spans = subtract(w.spans, v.a, v.b, v.by, v.until, w.eps)
				if len(w.spans) == 0 {
					return
				}
			}
		}
		q = k
	}
}
