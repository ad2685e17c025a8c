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

// block is a run of consecutive edges of one ring. What its edges and corners
// cover lies within kill.
type block struct {
	first, end int32
	ring       int32
}

// source is a set of rings whose area lies on the left of every edge, ready to
// be grown by d: to shrink an area, its rings are turned round.
type source struct {
	settings
	d      float64
	turned bool // rings were turned round: far away is inside
	edges  []edge
	before []int32 // per ring: its first edge; last entry: len(edges)
	blocks []block
	kill   []ring.Box // per block: what may cover something of another's moved edges
	tree   *ring.Tree // over kill
	step   float64    // greatest angle of a chord of a round join
}

// newSource copies rings, which hold no two equal points in a row.
func newSource(rings [][]float64, distance float64, s settings) *source {
	src := &source{settings: s, d: math.Abs(distance), turned: distance < 0}
	n, nb := 0, 0
	for _, r := range rings {
		n += len(r) / 2
		nb += (len(r)/2 + ring.BlockEdges - 2) / ring.BlockEdges
	}
	src.edges = make([]edge, 0, n)
	src.before = make([]int32, 0, len(rings)+1)
	src.blocks = make([]block, 0, nb)
	src.kill = make([]ring.Box, 0, nb)
	src.step = 2 * math.Acos(max(1-s.tolerance/src.d, 0.5))
	for _, r := range rings {
		src.addRing(r, distance < 0)
	}
	src.before = append(src.before, int32(len(src.edges)))
	src.tree = ring.NewTree(src.kill)
	return src
}

func (s *source) addRing(r []float64, turn bool) {
	first := len(s.edges)
	s.before = append(s.before, int32(first))
	n := len(r)/2 - 1
	for i := range n {
		a, b := 2*i, 2*i+2
		if turn {
			a, b = 2*(n-i), 2*(n-i)-2
		}
		dx, dy := r[b]-r[a], r[b+1]-r[a+1]
		l := math.Sqrt(dx*dx + dy*dy)
		s.edges = append(s.edges, edge{r[a], r[a+1], dx / l, dy / l, l})
	}
	last := s.edges[first]
	last.length = 0
	s.edges = append(s.edges, last)
	for i := 0; i < n; i += ring.BlockEdges {
		b := block{int32(first + i), int32(first + min(i+ring.BlockEdges, n)), int32(len(s.before) - 1)}
		box := ring.EmptyBox()
		for k := b.first; k <= b.end; k++ {
			box = box.Add(s.edges[k].x, s.edges[k].y)
		}
		box = box.Grow(s.d)
		if s.join == Miter {
			for k := b.first; k < b.end; k++ {
				if p := s.prev(k, int32(first), int32(first+n)); s.corner(p, k) == outward {
					box = s.addTip(box, p, k)
				}
			}
		}
		s.blocks = append(s.blocks, b)
		s.kill = append(s.kill, box)
	}
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

func (s *source) addTip(box ring.Box, p, k int32) ring.Box {
	reach, _ := s.miter(p, k)
	a, b := &s.edges[p], &s.edges[k]
	box = box.Add(b.x+s.d*a.uy+reach*a.ux, b.y-s.d*a.ux+reach*a.uy)
	return box.Add(b.x+s.d*b.uy-reach*b.ux, b.y-s.d*b.ux-reach*b.uy)
}
