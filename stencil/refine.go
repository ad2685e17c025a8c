package stencil

import (
	"math"
	"slices"

	"example.org/kerfleaf/stencil/internal/mesh"
)

// refine puts a vertex on every border of paper where the narrowest place of a passage
// lies beyond the passage's own triangle, so that no way through the triangles gets
// around it (Kallmann 2014). A few rounds settle it.
func (p *plane) refine() {
	for range 4 {
		var far []passage
		for _, w := range p.passages() {
			if w.edge != w.h && w.edge != mesh.Prev(w.h) && w.edge != mesh.Next(w.h) {
				far = append(far, w)
			}
		}
		done := false
		type ends struct{ a, b int32 }
		edges := make([]ends, len(far)) // half-edges move, vertices stay
		for i, w := range far {
			edges[i] = ends{p.Start[w.edge], p.End(w.edge)}
		}
		for i, w := range far {
			e := edges[i]
			if w.foot != p.at[e.a] && w.foot != p.at[e.b] && p.split(e.a, e.b, w.foot) {
				done = true
			}
		}
		if !done {
			return
		}
	}
}

// split puts a vertex on the edge from vertex a to b and reports whether it could.
func (p *plane) split(a, b int32, at xy) bool {
	h := p.Between(a, b)
	if h < 0 {
		return false
	}
	one, two := p.state[h/3], p.state[p.Twin[h]/3]
	v := p.grid.pt(at)
	if !p.Split(h, v) {
		return false
	}
	p.state = append(p.state, one, two)
	p.at = append(p.at, p.grid.xy(v))
	return true
}

// divide splits borders that are longer than limit into shorter parts where the paper
// beside them is narrower than that, so that there is a passage to measure all along
// a narrow place and not only at its corners. Where paper runs out into a corner there
// is nothing to measure.
func (p *plane) divide(limit float64) {
	p.divideBut(limit, func(b *blind, w passage) bool { return b.leads(p, w) })
}

// divideBut is divide that leaves alone the borders beside passages that are not worth it.
func (p *plane) divideBut(limit float64, leave func(*blind, passage) bool) {
	type ends struct{ a, b int32 }
	for range 4 {
		ways := p.passages()
		if !slices.ContainsFunc(ways, func(w passage) bool { return w.width < pause*limit }) {
			return
		}
		corners := p.blind(ways)
		from, to := make([]int32, len(p.V)), make([]int32, len(p.V)) // a border at each vertex
		for h := range int32(len(p.Start)) {
			if !p.open(h) && p.paper(h/3) {
				from[p.Start[h]], to[p.End(h)] = h, h
			}
		}
		var long []ends
		marked := make([]bool, len(p.Start))
		mark := func(h int32) {
			if !p.open(h) && !marked[h] && p.start(h).distance(p.end(h)) > limit {
				marked[h] = true
				long = append(long, ends{p.Start[h], p.End(h)})
			}
		}
		for _, w := range ways {
			if w.width >= pause*limit || leave(corners, w) {
				continue
			}
			for _, v := range [4]int32{p.Start[w.h], p.End(w.h), p.Start[w.edge], p.End(w.edge)} {
				mark(from[v])
				mark(to[v])
			}
		}
		if len(long) == 0 {
			return
		}
		for _, e := range long {
			start, end := p.at[e.a], p.at[e.b]
			n := math.Ceil(start.distance(end) / (limit / 2))
			a := e.a
			for k := 1.0; k < n; k++ {
				if p.split(a, e.b, start.add(end.sub(start).times(k/n))) {
					a = int32(len(p.at) - 1)
				}
			}
		}
	}
}

// along is the half-edge that follows h on the border of its piece of paper, or
// goes before it.
func (p *plane) along(h int32, forward bool) int32 {
	step := mesh.Prev
	if forward {
		step = mesh.Next
	}
	for h = step(h); p.open(h); h = step(p.Twin[h]) {
	}
	return h
}
