package stencil

import "math"

// shore is the border between paper and cut area, with what a strap needs to know
// to find a good place on it.
type shore struct {
	*plane
	*pieces
	*tree
	number []int32 // edge of the tree at each half-edge, -1 if there is none
}

func newShore(p *plane, s *pieces, longest float64) *shore {
	edges := p.shores(s)
	sh := &shore{plane: p, pieces: s, number: make([]int32, len(p.Start))}
	for i := range sh.number {
		sh.number[i] = -1
	}
	for i, e := range edges {
		sh.number[e.half] = int32(i)
	}
	if longest > 0 {
		edges = split(edges, longest)
	}
	sh.tree = newTree(edges)
	return sh
}

// split adds to edges longer than longest the parts that they fall into, and takes
// their ends in, so that each is short. The first part keeps the number.
func split(edges []edge, longest float64) []edge {
	for i, e := range edges {
		n := math.Ceil(e.a.distance(e.b) / longest)
		at := func(k float64) xy { return e.a.add(e.b.sub(e.a).times(k / n)) }
		for k := 1.0; k < n; k++ {
			part := e
			part.a, part.b = at(k), at(k+1)
			edges = append(edges, part)
		}
		if n > 1 {
			edges[i].b = at(1)
		}
	}
	return edges
}

// fit says how well a strap of the given width would sit on the border at foot,
// which lies on half-edge h, if it arrives there in direction dir: how far the
// border falls back to both sides of the foot, within one width, and how much longer
// it is than a straight one. Corners, slants and fine detail all make it worse.
func (s *shore) fit(foot, dir xy, h int32, width float64) float64 {
	side := dir.left()
	total := 0.0
	for _, forward := range [2]bool{true, false} {
		deep, length, last := 0.0, 0.0, foot
		for k, g := 0, h; ; k++ {
			next := s.end(g)
			if !forward {
				next = s.start(g)
			}
			v := next.sub(last)
			off, end := math.Abs(last.sub(foot).dot(side)), math.Abs(next.sub(foot).dot(side))
			if end >= width {
				if end > off {
					v = v.times((width - off) / (end - off))
				}
				next = last.add(v)
			}
			length += v.norm()
			deep = math.Max(deep, next.sub(foot).dot(dir))
			if end >= width || length > 4*width || k > 1000 {
				if end < width {
					deep = 2 * width
				}
				break
			}
			last = next
			g = s.along(g, forward)
		}
		total += math.Min(deep, 2*width)/2 + math.Max(0, math.Min(length-width, 2*width))/4
	}
	return total
}

// cost is what a strap along g is worth avoiding, in mm: its length, and what fit
// says of both its ends. It has the form of Bronson, Rheingans & Olano (2008): a sum
// of local measures of what the eye would notice.
func (s *shore) cost(g gap, width float64) float64 {
	if g.length < 2*hold {
		return g.length
	}
	dir := g.to.sub(g.from).times(1 / g.length)
	return g.length + s.fit(g.to, dir, s.edges[g.edge].half, width) +
		s.fit(g.from, dir.times(-1), s.edges[g.fromEdge].half, width)
}

// seek is how far to both sides of a shortest gap, in widths, a better place is
// looked for.
const seek = 6

// better looks along both borders of g for a place to cross that is free, costs less
// and is no longer than longest. If leave is set, any other place will do as well.
func (s *shore) better(g gap, width, longest float64, leave bool, free func(gap) bool) gap {
	best, least := g, s.cost(g, width)
	if leave {
		least = math.Inf(1)
	}
	one, two := s.edges[g.fromEdge].piece, s.edges[g.edge].piece
	try := func(c gap, ok bool) {
		if !ok || c.length > longest || c.length >= least || !free(c) {
			return
		}
		if k := s.cost(c, width); k < least && s.clear(c) {
			best, least = c, k
		}
	}
	s.stroll(g.from, s.edges[g.fromEdge].half, width/2, seek*width, func(a xy, h int32) {
		try(s.cross(a, s.number[h], longest, func(piece int32) bool { return piece == two }))
	})
	s.stroll(g.to, s.edges[g.edge].half, width/2, seek*width, func(a xy, h int32) {
		c, ok := s.cross(a, s.number[h], longest, func(piece int32) bool { return piece == one })
		c.from, c.to, c.fromEdge, c.edge = c.to, c.from, c.edge, c.fromEdge
		try(c, ok)
	})
	return best
}

// stroll visits points of the border to both sides of a, which lies on half-edge h,
// the given step apart and as far as far; never edges of the sheet.
func (s *shore) stroll(a xy, h int32, step, far float64, visit func(xy, int32)) {
	for _, forward := range [2]bool{true, false} {
		due := step
		gone := 0.0
		last := a
		for k, g := 0, h; gone < far && k < 4000; k++ {
			next := s.end(g)
			if !forward {
				next = s.start(g)
			}
			l := last.distance(next)
			for ; due <= gone+l && due <= far; due += step {
				if s.number[g] >= 0 {
					visit(last.add(next.sub(last).times((due-gone)/l)), g)
				}
			}
			gone += l
			last = next
			if g = s.along(g, forward); g == h {
				break
			}
		}
	}
}

// cross finds the shortest gap from point a, on edge i, to a border of a piece that
// is wanted.
func (s *shore) cross(a xy, i int32, within float64, wanted func(piece int32) bool) (gap, bool) {
	own := s.edges[i].piece
	g := gap{from: a, fromEdge: i, edge: -1, length: within}
	s.near(box{a, a}, within, func(n *node) bool { return n.group == own }, func(j int32, within float64) float64 {
		e := s.edges[j]
		if e.piece == own || !wanted(e.piece) {
			return within
		}
		q := nearest(e.a, e.b, a)
		if d := q.distance(a); d < g.length || d == g.length && (g.edge < 0 || j < g.edge) {
			g.to, g.edge, g.length = q, j, d
			return d
		}
		return within
	})
	return g, g.edge >= 0
}

// clear reports whether nothing but cut area lies along g.
func (s *shore) clear(g gap) bool {
	free := true
	const shy = 1e-3 // of its length, kept off both ends
	a, b := g.from.add(g.to.sub(g.from).times(shy)), g.to.add(g.from.sub(g.to).times(shy))
	s.near(boxOf(a, b), 0, nil, func(i int32, within float64) float64 {
		if free && crosses(a, b, s.edges[i].a, s.edges[i].b) {
			free = false
		}
		return within
	})
	if !free {
		return false
	}
	// Towards the cut side of the border that it leaves, not into its own paper.
	e := s.edges[g.fromEdge]
	return e.b.sub(e.a).cross(b.sub(a)) < 0
}
