package stencil

import (
	"math"
	"sort"
)

// gap is a straight way across cut area from one piece of paper to another.
type gap struct {
	from, to       xy
	fromEdge, edge int32 // the borders that it leaves and reaches, by number in the tree
	length         float64
}

// before orders gaps by length, then by the edges that they join, whichever way, then
// by the way: so that all groups choose by one order, and the same gap always wins.
func (g gap) before(h gap) bool {
	if g.length != h.length {
		return g.length < h.length
	}
	a, b := min(g.fromEdge, g.edge), max(g.fromEdge, g.edge)
	c, d := min(h.fromEdge, h.edge), max(h.fromEdge, h.edge)
	return a < c || a == c && (b < d || b == d && g.fromEdge < h.fromEdge)
}

// spanning finds the gaps that join all groups of pieces at the least total
// length: the Euclidean minimum spanning tree over pieces of paper, by Borůvka's
// rounds with a tree search for each group's nearest neighbour (March, Ram & Gray
// 2010). The shortest gap between two groups never touches a third, so that no
// test for what lies between is needed. joined holds what is joined beforehand and
// is brought up to date; refuse, if not nil, tells which gaps must not be used.
func (t *tree) spanning(joined forest, refuse func(gap) bool) []gap {
	var out []gap
	if len(t.edges) == 0 {
		return nil
	}
	// No foreign edge is nearer to edge i than known[i], as groups only grow.
	known := make([]float64, len(t.edges))
	for {
		t.group(joined.find)
		best := map[int32]gap{}
		for _, i := range t.order {
			e := t.edges[i]
			own := joined.find(e.piece)
			b, found := best[own]
			if !found {
				b.length = math.Inf(1)
			}
			if known[i] > b.length {
				continue
			}
			mine := gap{length: math.Inf(1)}
			reach := t.reach(i, own, b.length, joined, refuse, &mine)
			known[i] = reach
			if mine.before(b) {
				best[own] = mine
			}
		}
		var found []gap
		for _, g := range best {
			if !math.IsInf(g.length, 1) {
				found = append(found, g)
			}
		}
		sort.Slice(found, func(i, j int) bool { return found[i].before(found[j]) })
		grown := false
		for _, g := range found {
			if joined.join(t.edges[g.fromEdge].piece, t.edges[g.edge].piece) {
				out = append(out, g)
				grown = true
			}
		}
		if !grown {
			return out
		}
	}
}

// reach finds the shortest gap from edge i to an edge of another group, if there is
// one no longer than within, and returns how far it has looked.
func (t *tree) reach(i, own int32, within float64, joined forest, refuse func(gap) bool, best *gap) float64 {
	e := t.edges[i]
	foreign := func(n *node) bool { return n.group == own }
	t.near(boxOf(e.a, e.b), within, foreign, func(j int32, within float64) float64 {
		f := t.edges[j]
		if joined.find(f.piece) == own {
			return within
		}
		p, q, d := closest(e, f)
		if d > within {
			return within
		}
		g := gap{p, q, i, j, d}
		if !g.before(*best) || refuse != nil && refuse(g) {
			return within
		}
		*best = g
		return d
	})
	return math.Min(within, best.length)
}
