package stencil

import "math"

// family is the tree of pieces that straps make, rooted at the frame.
type family struct {
	up          []int32 // strap towards the frame, by number in gaps; -1 at the root
	parent      []int32
	first, last []int32 // a piece's descendants are numbered from first to last
	order       []int32 // parents before children
}

// newFamily roots the tree of gaps over n pieces.
func newFamily(s *shore, gaps []gap, n int, root int32) *family {
	type link struct{ piece, gap int32 }
	links := make([][]link, n)
	for i, g := range gaps {
		a, b := s.edges[g.fromEdge].piece, s.edges[g.edge].piece
		links[a] = append(links[a], link{b, int32(i)})
		links[b] = append(links[b], link{a, int32(i)})
	}
	f := &family{
		up: make([]int32, n), parent: make([]int32, n),
		first: make([]int32, n), last: make([]int32, n),
	}
	for i := range f.up {
		f.up[i], f.parent[i], f.first[i] = -1, -1, -1
	}
	type step struct {
		piece int32
		k     int
	}
	f.first[root] = 0
	f.order = []int32{root}
	for stack := []step{{root, 0}}; len(stack) > 0; {
		top := &stack[len(stack)-1]
		if top.k == len(links[top.piece]) {
			f.last[top.piece] = int32(len(f.order)) - 1
			stack = stack[:len(stack)-1]
			continue
		}
		l := links[top.piece][top.k]
		top.k++
		if f.first[l.piece] < 0 {
			f.up[l.piece], f.parent[l.piece] = l.gap, top.piece
			f.first[l.piece] = int32(len(f.order))
			f.order = append(f.order, l.piece)
			stack = append(stack, step{l.piece, 0})
		}
	}
	return f
}

// within reports whether piece a is b or hangs on it.
func (f *family) within(a, b int32) bool {
	return f.first[a] >= f.first[b] && f.first[a] <= f.last[b]
}

// seconds finds a further gap for every piece that, with all that hangs on it,
// reaches farther than far from the strap that holds it. It leads to paper that does
// not itself hang there, from the place that leaves least of the piece to swing: the
// farthest that any of it is from the line between the two straps, plus what the
// strap costs. Each is added to those placed.
func (s *shore) seconds(gaps []gap, width, far float64, placed *taken, free func(gap) bool) []gap {
	n := len(s.pieces.list)
	f := newFamily(s, gaps, n, s.frame)
	spans := make([]span, n)
	borders := make([][]int32, n)
	for i, e := range s.edges {
		v := s.Start[e.half]
		if len(borders[e.piece]) == 0 {
			for k := range spans[e.piece] {
				spans[e.piece][k] = v
			}
		}
		s.extend(&spans[e.piece], v)
		borders[e.piece] = append(borders[e.piece], int32(i))
	}
	all := append([]span(nil), spans...)
	for i := len(f.order) - 1; i > 0; i-- {
		v := f.order[i]
		s.unite(&all[f.parent[v]], &all[v])
	}
	held := make([]bool, n) // more than one way leads to the frame
	var out []gap
	for _, v := range f.order[1:] {
		if held[v] {
			continue
		}
		g := gaps[f.up[v]]
		foot := g.from
		if s.edges[g.edge].piece == v {
			foot = g.to
		}
		if s.extent(&all[v], foot) <= far {
			continue
		}
		c, ok := s.steady(f, v, foot, borders[v], &all[v], width, 4*width+3*g.length, free)
		if !ok {
			continue
		}
		out = append(out, c)
		placed.add(c)
		// Every strap on the way round is no longer the only one.
		for u := v; u >= 0 && !f.within(s.edges[c.edge].piece, u); u = f.parent[u] {
			held[u] = true
		}
		for u := s.edges[c.edge].piece; u >= 0 && !f.within(v, u); u = f.parent[u] {
			held[u] = true
		}
	}
	return out
}

// steady is the best second gap for piece v, no longer than longest.
func (s *shore) steady(f *family, v int32, foot xy, border []int32, far *span, width, longest float64, free func(gap) bool) (gap, bool) {
	const places = 96 // looked at, evenly along the border
	total := 0.0
	for _, i := range border {
		total += s.edges[i].a.distance(s.edges[i].b)
	}
	step := math.Max(total/places, width/4)
	var best gap
	least := math.Inf(1)
	due := step / 2
	outside := func(piece int32) bool { return !f.within(piece, v) }
	for _, i := range border {
		e := s.edges[i]
		l := e.a.distance(e.b)
		for ; due <= l; due += step {
			a := e.a.add(e.b.sub(e.a).times(due / l))
			swing := 0.0
			for _, u := range far {
				swing = math.Max(swing, nearest(foot, a, s.at[u]).distance(s.at[u]))
			}
			g, ok := s.cross(a, i, math.Min(longest, least-swing), outside)
			if !ok || !free(g) {
				continue
			}
			if c := swing + s.cost(g, width); c < least && s.clear(g) {
				best, least = g, c
			}
		}
		due -= l
	}
	return best, !math.IsInf(least, 1)
}
