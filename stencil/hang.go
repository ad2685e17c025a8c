package stencil

import (
	"math"

	"example.org/kerfleaf/stencil/internal/mesh"
)

// hanging tells, for the triangles of paper as a graph, at which edges a cut would
// part the paper (Tarjan 1974), and what would come off there.
type hanging struct {
	up    []int32 // half-edge of each triangle towards the root, -1 at the root or off paper
	order []int32 // paper triangles, each after the one it hangs on and before the next beside it
	place []int32 // of each triangle in order
	size  []int32 // how many hang below each triangle, itself included; they follow it in order
	cuts  []bool  // a cut along up[t] parts what hangs below t from the rest
	below []load  // what hangs below each triangle, itself included
	slot  []int32 // of each triangle that hangs on a cut, or below one that does, in far; -1 of others
	far   []span  // how far what hangs below such a triangle reaches
}

// load is a part of the paper: how much of it there is.
type load struct {
	area, rim float64
	wide      float64 // the widest passage or disc in it
}

func (l *load) add(o *load) {
	l.area += o.area
	l.rim += o.rim
	l.wide = math.Max(l.wide, o.wide)
}

// span keeps the vertices that lie farthest out in sixteen directions.
type span [16]int32

var compass = func() (d [16]xy) {
	for i := range d {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 16)
		d[i] = xy{cos, sin}
	}
	return d
}()

// spanOf is that of one triangle.
func (p *plane) spanOf(t int32) span {
	var s span
	for i := range s {
		s[i] = p.Start[3*t]
	}
	p.extend(&s, p.Start[3*t+1])
	p.extend(&s, p.Start[3*t+2])
	return s
}

func (p *plane) extend(s *span, v int32) {
	for i, d := range compass {
		if a, b := p.at[v].dot(d), p.at[s[i]].dot(d); a > b || a == b && v < s[i] {
			s[i] = v
		}
	}
}

func (p *plane) unite(s *span, o *span) {
	for i, d := range compass {
		if a, b := p.at[o[i]].dot(d), p.at[s[i]].dot(d); a > b || a == b && o[i] < s[i] {
			s[i] = o[i]
		}
	}
}

// extent is the distance from a to the farthest vertex of s: no vertex that s was
// made from is more than two per cent farther, as 1/cos(π/16) = 1.0196.
func (p *plane) extent(s *span, a xy) float64 {
	var r float64
	for _, v := range s {
		r = math.Max(r, p.at[v].distance(a))
	}
	return r
}

// loads is what each triangle weighs on its own.
func (p *plane) loads(ways []passage) []load {
	out := make([]load, p.Triangles())
	for t := range int32(p.Triangles()) {
		if !p.paper(t) {
			continue
		}
		l := &out[t]
		l.area, l.wide = p.area(t), p.disc(t)
		for h := 3 * t; h < 3*t+3; h++ {
			if p.Mask[h]&sheetEdge != 0 {
				l.rim += p.start(h).distance(p.end(h))
			}
		}
	}
	for _, w := range ways {
		l := &out[w.h/3]
		l.wide = math.Max(l.wide, w.width)
	}
	return out
}

// hang finds what hangs on what. Each piece of paper is rooted where no single cut
// takes off more than half of its share of the sheet's edge or, failing that, of
// its area.
func (p *plane) hang(ways []passage) *hanging {
	n := p.Triangles()
	g := &hanging{
		up: make([]int32, n), place: make([]int32, n), size: make([]int32, n),
		cuts: make([]bool, n), below: p.loads(ways),
	}
	own := append([]load(nil), g.below...)
	seen := make([]int32, n)
	low := make([]int32, n)
	for t := range int32(n) {
		if !p.paper(t) {
			g.up[t] = -1
		}
		if !p.paper(t) || seen[t] != 0 {
			continue
		}
		first := len(g.order)
		p.search(g, t, seen, low)
		all := g.below[t]
		root := t
		for _, u := range g.order[first:] {
			l := &g.below[u]
			if u != t && g.cuts[u] && heavier(l.rim, l.area, all.rim-l.rim, all.area-l.area) {
				root = u
			}
		}
		if root == t {
			continue
		}
		for _, u := range g.order[first:] {
			seen[u], low[u], g.cuts[u], g.below[u] = 0, 0, false, own[u]
		}
		g.order = g.order[:first]
		p.search(g, root, seen, low)
	}
	p.spread(g)
	return g
}

// spread finds how far what hangs on a cut reaches.
func (p *plane) spread(g *hanging) {
	g.slot = make([]int32, len(g.up))
	for t := range g.slot {
		g.slot[t] = -1
	}
	for _, t := range g.order { // what it hangs on comes before
		if g.cuts[t] || g.up[t] >= 0 && g.slot[p.Twin[g.up[t]]/3] >= 0 {
			g.slot[t] = int32(len(g.far))
			g.far = append(g.far, p.spanOf(t))
		}
	}
	for i := len(g.order) - 1; i >= 0; i-- {
		t := g.order[i]
		if k := g.slot[t]; k >= 0 && g.up[t] >= 0 {
			if up := g.slot[p.Twin[g.up[t]]/3]; up >= 0 {
				p.unite(&g.far[up], &g.far[k])
			}
		}
	}
}

// reach is how far what hangs below triangle t, on a cut, is from a.
func (s *survey) reach(t int32, a xy) float64 { return s.extent(&s.hang.far[s.hang.slot[t]], a) }

// search walks the piece of paper around triangle root in depth and adds up what
// hangs below each triangle.
func (p *plane) search(g *hanging, root int32, seen, low []int32) {
	first := len(g.order)
	visit := func(t, up int32) {
		g.up[t], g.size[t], g.place[t] = up, 1, int32(len(g.order))
		g.order = append(g.order, t)
		seen[t] = int32(len(g.order))
		low[t] = seen[t]
	}
	type step struct{ t, k int32 }
	visit(root, -1)
	stack := []step{{root, 0}}
	for len(stack) > 0 {
		s := &stack[len(stack)-1]
		if s.k == 3 {
			stack = stack[:len(stack)-1]
			continue
		}
		h := 3*s.t + s.k
		s.k++
		if !p.open(h) || h == g.up[s.t] {
			continue
		}
		u := p.Twin[h] / 3
		if seen[u] == 0 {
			visit(u, p.Twin[h])
			stack = append(stack, step{u, 0})
		} else {
			low[s.t] = min(low[s.t], seen[u])
		}
	}
	for i := len(g.order) - 1; i > first; i-- {
		t := g.order[i]
		up := p.Twin[g.up[t]] / 3
		g.cuts[t] = low[t] > seen[up]
		low[up] = min(low[up], low[t])
		g.size[up] += g.size[t]
		g.below[up].add(&g.below[t])
	}
}

// off is the triangle below which hangs what a cut across passage w, between two places
// of one border, would part from the rest, or -1 if there is none such.
func (g *hanging) off(p *plane, w passage) int32 {
	t := w.h / 3
	below := func(h int32) int32 { // what a cut along edge h of t parts
		if g.up[t] == h {
			if g.cuts[t] {
				return t
			}
			return -1
		}
		if c := p.Twin[h] / 3; g.up[c] == p.Twin[h] && g.cuts[c] {
			return c
		}
		return -1
	}
	back := mesh.Prev(w.h)
	switch {
	case w.edge == w.h || w.edge == back: // the narrowest place is that edge
		return below(w.edge)
	case g.up[t] == w.h:
		return below(back)
	case g.up[t] == back:
		return below(w.h)
	}
	return -1
}
