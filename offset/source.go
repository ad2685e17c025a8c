package offset

import (
	"math"

	"example.org/kerfleaf/internal/ring"
)

// edge is one edge of the source: where it starts, its unit direction and its
// length. Each ring's edges lie in a row, followed by a copy of the first whose
// length is 0, so that edges[k+1] always starts where edges[k] ends.
type edge struct{ x, y, ux, uy, length float64 }

// corner says what the boundary does at the start of an edge, seen from the
// side it is moved to.
type corner uint8

const (
	straight corner = iota
	outward         // the moved edges part: a join fills the gap
	inward          // the moved edges cross
)

// straightTurn is the sine of the turn up to which two edges count as one line:
// they are then moved apart by no more than that times the distance.
const straightTurn = 1e-9

// source is a set of rings whose area lies on the left of every edge, ready to
// be grown by d: to shrink an area, its rings are turned round.
type source struct {
	settings
	d      float64
	turned bool // rings were turned round: far away is inside
	edges  []edge
	all    ring.Box
	before []int32 // per ring: its first edge; last entry: len(edges)

	// The greatest angle of a chord of a round join, halved, and the tangent
	// of that; the greatest end of an arc that is one point, and the tangent
	// of half its turn.
	halfStep, tanStep, blunt, tanBlunt float64

	// What findFree finds out where it pays: what the inward corner at the
	// start of each edge takes of the two moved edges (less than 0: as much as
	// an outward corner, which takes nothing, leaves between them and where
	// they would meet), and what is known of each edge.
	grid  *grid
	trim  []float64
	marks []uint8

	// Blocks of edges. The blocks of index hold the same edges as they are
	// numbered in its rings; its tree is over the boxes of kill.
	index  *ring.Index
	blocks []block
	kill   []ring.Box // what a block may cover of others' moved edges; not set with a grid
}

// block is a run of consecutive edges.
type block struct{ first, end, ring int32 }

// newSource copies rings, which hold no two equal points in a row.
func newSource(rings [][]float64, distance float64, s settings) *source {
	src := &source{settings: s, d: math.Abs(distance), turned: distance < 0}
	src.halfStep = math.Acos(max(1-s.tolerance/src.d, 0.5))
	src.tanStep = math.Tan(src.halfStep)
	src.blunt = math.Tan(math.Acos(max(1-s.tolerance/4/src.d, 0.9)) / 2)
	src.tanBlunt = tanBetween(-src.blunt, src.blunt)
	if s.join == Bevel {
		src.tanStep, src.blunt = math.Inf(1), 0
	}
	n, blocks := 0, 0
	for _, r := range rings {
		n += len(r) / 2
		blocks += (len(r)/2 + ring.BlockEdges - 2) / ring.BlockEdges
	}
	src.edges = make([]edge, n)
	src.before = make([]int32, 0, len(rings)+1)
	src.blocks = make([]block, 0, blocks)
	src.index = &ring.Index{Rings: rings, Blocks: make([]ring.Block, blocks)}
	n = 0
	for k, r := range rings {
		src.before = append(src.before, int32(n))
		edges := len(r)/2 - 1
		for i := 0; i < edges; i += ring.BlockEdges {
			src.blocks = append(src.blocks, block{int32(n + i), int32(n + min(i+ring.BlockEdges, edges)), int32(k)})
		}
		n += edges + 1
	}
	src.before = append(src.before, int32(n))
	ring.Parts(blocks, 512, func(_, from, to int) {
		for i := from; i < to; i++ {
			src.fill(i)
		}
	})
	src.all = ring.EmptyBox()
	for i := range src.index.Blocks {
		src.all = src.all.Join(src.index.Blocks[i].Box)
	}
	if src.findFree(); src.grid != nil {
		return src
	}
	src.kill = make([]ring.Box, blocks)
	ring.Parts(blocks, 512, func(_, from, to int) {
		for i := from; i < to; i++ {
			src.kill[i] = src.killBox(i)
		}
	})
	src.index.Tree = ring.NewTree(src.kill)
	return src
}

// fill sets the edges of block i, and the block of index.
func (s *source) fill(i int) {
	b := &s.blocks[i]
	first, end := s.before[b.ring], s.before[b.ring+1]-1
	r := s.index.Rings[b.ring]
	from, step := 2*int(b.first-first), 2
	ib := ring.Block{Ring: b.ring, First: b.first - first, End: b.end - first}
	if s.turned {
		from, step = 2*int(end-b.first), -2
		ib.First, ib.End = end-b.end, end-b.first
	}
	x0, y0 := r[from], r[from+1]
	ib.Box = ring.Box{MinX: x0, MinY: y0, MaxX: x0, MaxY: y0}
	for k := b.first; k < b.end; k++ {
		from += step
		x1, y1 := r[from], r[from+1]
		dx, dy := x1-x0, y1-y0
		l := math.Sqrt(dx*dx + dy*dy)
		s.edges[k] = edge{x0, y0, dx / l, dy / l, l}
		ib.Box = ib.Box.Add(x1, y1)
		x0, y0 = x1, y1
	}
	s.index.Blocks[i] = ib
	if b.end == end {
		s.edges[end] = edge{x: x0, y: y0}
	}
}

// killBox returns a box around what block i covers.
func (s *source) killBox(i int) ring.Box {
	b := &s.blocks[i]
	box := s.index.Blocks[i].Box.Grow(s.d)
	if s.join != Miter {
		return box
	}
	for k := b.first; k < b.end; k++ {
		p := s.prev(k, s.before[b.ring], s.before[b.ring+1]-1)
		if s.corner(p, k) == outward {
			reach, _ := s.miter(p, k)
			e, f := &s.edges[p], &s.edges[k]
			box = box.Add(f.x+s.d*e.uy+reach*e.ux, f.y-s.d*e.ux+reach*e.uy)
			box = box.Add(f.x+s.d*f.uy-reach*f.ux, f.y-s.d*f.ux-reach*f.uy)
		}
	}
	return box
}

// prev returns the edge before k in the ring of edges first to end-1.
func (s *source) prev(k, first, end int32) int32 {
	if k == first {
		return end - 1
	}
	return k - 1
}

// corner says how the boundary turns from edge p to edge k.
func (s *source) corner(p, k int32) corner {
	a, b := &s.edges[p], &s.edges[k]
	cross, dot := a.ux*b.uy-a.uy*b.ux, a.ux*b.ux+a.uy*b.uy
	switch {
	case dot > 0 && math.Abs(cross) <= straightTurn:
		return straight
	case cross >= 0:
		return outward
	}
	return inward
}

// miter returns how far the moved edges p and k, which part at the start of k,
// are prolonged, and whether that is only up to a square end.
func (s *source) miter(p, k int32) (reach float64, cut bool) {
	a, b := &s.edges[p], &s.edges[k]
	cross, dot := a.ux*b.uy-a.uy*b.ux, a.ux*b.ux+a.uy*b.uy
	// With t the turn, the tip is d tan(t/2) along and d/cos(t/2) away.
	half := (1 + dot) / 2 // cos²(t/2)
	if half*s.limit*s.limit >= 1 {
		return s.d * cross / (1 + dot), false
	}
	// A line square to the bisector, limit·d away, meets the moved edge
	// where d cos(t/2) + reach sin(t/2) = limit·d.
	cos := math.Sqrt(max(half, 0))
	sin := math.Sqrt(max((1-dot)/2, 0))
	return s.d * (s.limit - cos) / sin, true
}
