package offset

import (
	"math"

	"example.org/kerfleaf/internal/ring"
)

// Where the distance is small, most edges of a page have nothing near them but
// their own neighbours in the ring. What becomes of their pieces is known beforehand: a moved edge loses at
// each inward corner d·tan(turn/2), and nothing covers the rest.
//
// Take a stretch of a ring whose edges all keep something of their moved edge
// so, and run within a right angle of one direction: then the moved stretch does
// too, so it does not meet itself. While the distance grows from 0 to d, every
// part of the moved stretch only ever moves outward. A point that it passed twice
// would have it wound around twice, and it would meet itself; so none is passed
// twice, and none of it is covered. The same holds of a whole ring around a point
// that all its edges have on the same hand, before and after they are moved.

// crowd is the most edges that may lie near a free edge.
const crowd = 24

// Marks of edges.
const (
	free     uint8 = 1 + iota // its pieces are known beforehand
	ringOnly                  // nothing but its own ring lies near
)

// findFree sets s.grid, s.trim and s.marks where that pays: where the distance
// is small compared with the room on the page.
func (s *source) findFree() {
	if s.join != Round {
		return
	}
	if s.grid = newGrid(s); s.grid == nil {
		return
	}
	n := len(s.edges)
	s.trim, s.marks = make([]float64, n), make([]uint8, n)
	ring.Parts(len(s.blocks), 512, func(_, from, to int) {
		for i := from; i < to; i++ {
			s.fillTrim(&s.blocks[i])
		}
	})
	ring.Parts(len(s.blocks), 512, func(_, from, to int) {
		var near []stretch
		for i := from; i < to; i++ {
			b := &s.blocks[i]
			for k := b.first; k < b.end; k++ {
				s.marks[k], near = s.mark(k, s.before[b.ring], s.before[b.ring+1]-1, near)
			}
		}
	})
	ring.Parts(len(s.before)-1, 512, func(_, from, to int) {
		for k := from; k < to; k++ {
			s.markRing(s.before[k], s.before[k+1]-1)
		}
	})
}

// fillTrim sets what the edges of a block lose at their start.
func (s *source) fillTrim(b *block) {
	first, end := s.before[b.ring], s.before[b.ring+1]-1
	p := s.prev(b.first, first, end)
	for k := b.first; k < b.end; k++ {
		a, c := &s.edges[p], &s.edges[k]
		cross, dot := a.ux*c.uy-a.uy*c.ux, a.ux*c.ux+a.uy*c.uy
		switch {
		case dot > 0 && math.Abs(cross) <= straightTurn:
			s.trim[k] = 0
		case dot > -0.6:
			s.trim[k] = -s.d * cross / (1 + dot)
		case cross >= 0: // nearly back
			s.trim[k] = math.Inf(-1)
		default:
			s.trim[k] = math.Inf(1)
		}
		p = k
	}
	if b.first == first {
		s.trim[end] = s.trim[first]
	}
}

// keeps reports whether something is left of the moved edge k.
func (s *source) keeps(k int32) bool {
	return s.edges[k].length-max(s.trim[k], 0)-max(s.trim[k+1], 0) > 1e-6*s.d+s.tolerance/1000
}

// reachOf returns a box that holds all that comes near the pieces of edge k, in
// the ring of edges first to end-1: within d, and a little more, as chords lie
// within the tolerance of true arcs.
func (s *source) reachOf(k, first, end int32) ring.Box {
	e := &s.edges[k]
	x, y := e.x+s.d*e.uy, e.y-s.d*e.ux
	box := ring.Box{MinX: x, MinY: y, MaxX: x, MaxY: y}
	box = box.Add(x+e.length*e.ux, y+e.length*e.uy)
	switch t := s.trim[k]; {
	case math.IsInf(t, -1):
		box = box.Add(e.x-s.d, e.y-s.d).Add(e.x+s.d, e.y+s.d)
	case t < 0:
		// The triangle of the ends of the join and where their tangents meet.
		p := &s.edges[s.prev(k, first, end)]
		box = box.Add(x+t*e.ux, y+t*e.uy).Add(e.x+s.d*p.uy, e.y-s.d*p.ux)
	}
	return box.Grow(s.d + 4*s.tolerance)
}

// meets reports whether the box of edge k meets box.
func (s *source) meets(k int32, box *ring.Box) bool {
	e, f := &s.edges[k], &s.edges[k+1]
	return max(e.x, f.x) >= box.MinX && min(e.x, f.x) <= box.MaxX && max(e.y, f.y) >= box.MinY && min(e.y, f.y) <= box.MaxY
}

// mark returns what is known of edge k by its neighbourhood; it uses near.
func (s *source) mark(k, first, end int32, near []stretch) (uint8, []stretch) {
	if !s.keeps(k) || math.IsInf(s.trim[k], -1) {
		return 0, near
	}
	box := s.reachOf(k, first, end)
	near = s.grid.near(&box, near[:0])
	lo, hi := k, k
	for _, t := range near {
		if t.first <= k && k <= t.last {
			lo, hi = min(lo, t.first), max(hi, t.last)
			continue
		}
		for j := t.first; j <= t.last; j++ {
			if s.meets(j, &box) {
				if j < first || j >= end {
					return 0, near
				}
				lo, hi = min(lo, j), max(hi, j)
			}
		}
	}
	if s.oneWay(k, lo, hi) {
		return free, near
	}
	for ; lo < k && !s.meets(lo, &box); lo++ {
	}
	for ; hi > k && !s.meets(hi, &box); hi-- {
	}
	if s.oneWay(k, lo, hi) {
		return free, near
	}
	return ringOnly, near
}

// oneWay reports whether the edges lo to hi all run about the way of edge k and
// keep something of their moved edges.
func (s *source) oneWay(k, lo, hi int32) bool {
	if hi-lo > crowd {
		return false
	}
	e := &s.edges[k]
	for j := lo; j <= hi; j++ {
		if f := &s.edges[j]; f.ux*e.ux+f.uy*e.uy < 0.1 || !s.keeps(j) {
			return false
		}
	}
	return true
}

// markRing marks all edges of a ring as free if they have a point on the same
// hand, before and after they are moved, run around it once, and nothing else
// lies near; otherwise it leaves only those marked that are free by themselves.
func (s *source) markRing(first, end int32) {
	alone := true
	var x, y float64
	for k := first; k < end; k++ {
		alone = alone && s.marks[k] != 0
		x, y = x+s.edges[k].x, y+s.edges[k].y
	}
	n := float64(end - first)
	x, y = x/n, y/n
	passes, side := 0, 0.0
	for k := first; k < end && alone; k++ {
		e := &s.edges[k]
		if (e.y > y) != (s.edges[k+1].y > y) {
			passes++
		}
		hand := (e.x-x)*e.uy - (e.y-y)*e.ux
		if k == first {
			side = math.Copysign(1, hand)
		}
		alone = min(side*hand, side*(hand+s.d)) > s.tolerance/10
	}
	alone = alone && passes == 2
	for k := first; k < end; k++ {
		switch {
		case alone:
			s.marks[k] = free
		case s.marks[k] == ringOnly:
			s.marks[k] = 0
		}
	}
}
