package stencil

import (
	"math"

	"example.org/kerfleaf/stencil/internal/mesh"
)

// blind are the dead ends of the paper: triangles that hang on one side only, found by
// taking away the outermost again and again.
type blind struct {
	up   []int32   // half-edge of a triangle in a dead end towards its mouth, -1 for others
	wide []float64 // the widest passage or disc from a triangle on inwards
	side []float64 // the length of border there
}

func (p *plane) blind(ways []passage) *blind {
	n := p.Triangles()
	b := &blind{up: make([]int32, n), wide: make([]float64, n), side: make([]float64, n)}
	sides := make([]uint8, n) // open sides
	var ends []int32
	for t := range int32(n) {
		b.up[t] = -1
		if !p.paper(t) {
			continue
		}
		for h := 3 * t; h < 3*t+3; h++ {
			if p.open(h) {
				sides[t]++
			} else {
				b.side[t] += p.start(h).distance(p.end(h))
			}
		}
		if b.wide[t] = p.disc(t); sides[t] == 1 {
			ends = append(ends, t)
		}
	}
	for _, w := range ways {
		b.wide[w.h/3] = math.Max(b.wide[w.h/3], w.width)
	}
	for len(ends) > 0 {
		t := ends[len(ends)-1]
		ends = ends[:len(ends)-1]
		for h := 3 * t; h < 3*t+3; h++ {
			if u := p.Twin[h]; sides[t] == 1 && p.open(h) && b.up[u/3] != u {
				b.up[t] = h
				b.wide[u/3] = math.Max(b.wide[u/3], b.wide[t])
				b.side[u/3] += b.side[t]
				if sides[u/3]--; sides[u/3] == 1 {
					ends = append(ends, u/3)
				}
				break
			}
		}
	}
	return b
}

// leads reports whether passage w leads into no more than a corner: a dead end that
// gets no wider and is too short for a tongue. There is no web in it whose length
// mattered.
func (b *blind) leads(p *plane, w passage) bool {
	t, back := w.h/3, mesh.Prev(w.h)
	in := int32(-1) // the first triangle beyond w
	past := func(h int32) int32 {
		if c := p.Twin[h]; b.up[c/3] == c {
			return c / 3
		}
		return -1
	}
	switch {
	case w.edge == w.h || w.edge == back:
		if in = t; b.up[t] != w.edge {
			in = past(w.edge)
		}
	case b.up[t] == w.h:
		in = past(back)
	case b.up[t] == back:
		in = past(w.h)
	}
	return in >= 0 && b.wide[in] < (1+waist)/2*w.width && b.side[in] < 2*whisker
}
