package stencil

import (
	"math"
	"slices"
)

// edge is a straight part of the border between paper and cut area.
type edge struct {
	a, b  xy
	piece int32 // the piece of paper beside it
	half  int32 // its half-edge in the mesh, on the paper's side
}

// shores lists the edges between paper and cut area, paper on their left.
func (p *plane) shores(s *pieces) []edge {
	var out []edge
	for h := int32(0); h < int32(len(p.Start)); h++ {
		g := p.Twin[h]
		if g >= 0 && p.paper(h/3) && s.of[h/3] >= 0 && p.state[g/3] == cutEdge|sheetEdge {
			out = append(out, edge{p.start(h), p.end(h), s.of[h/3], h})
		}
	}
	return out
}

// box is an upright rectangle.
type box struct{ lo, hi xy }

func (b box) union(c box) box {
	return box{
		xy{math.Min(b.lo.x, c.lo.x), math.Min(b.lo.y, c.lo.y)},
		xy{math.Max(b.hi.x, c.hi.x), math.Max(b.hi.y, c.hi.y)},
	}
}

func boxOf(a, b xy) box { return box{a, a}.union(box{b, b}) }

// gap is the distance between two boxes.
func (b box) gap(c box) float64 {
	dx := math.Max(0, math.Max(c.lo.x-b.hi.x, b.lo.x-c.hi.x))
	dy := math.Max(0, math.Max(c.lo.y-b.hi.y, b.lo.y-c.hi.y))
	if dx == 0 || dy == 0 {
		return dx + dy
	}
	return math.Sqrt(dx*dx + dy*dy)
}

// tree is a bounding volume hierarchy over edges: node i has the children 2i+1 and
// 2i+2, and the leaves hold leafSize edges each.
type tree struct {
	edges []edge
	order []int32 // edges as the leaves hold them
	nodes []node
	leaf  int // number of the first leaf
}

type node struct {
	box
	group  int32 // the one group that all its edges are of, or mixed
	lo, hi int32 // its part of order
}

const (
	leafSize = 4
	mixed    = -1
)

// newTree builds the hierarchy by halving at the median of the longer side.
func newTree(edges []edge) *tree {
	t := &tree{edges: edges, order: make([]int32, len(edges))}
	for i := range t.order {
		t.order[i] = int32(i)
	}
	levels := 0
	for len(edges)>>levels > leafSize {
		levels++
	}
	t.leaf = 1<<levels - 1
	t.nodes = make([]node, 2<<levels-1)
	mid := make([]xy, len(edges))
	for i, e := range edges {
		mid[i] = middle(e.a, e.b)
	}
	t.build(0, 0, int32(len(edges)), mid)
	return t
}

func (t *tree) build(i int, lo, hi int32, mid []xy) {
	n := &t.nodes[i]
	n.lo, n.hi = lo, hi
	inf := math.Inf(1)
	n.box = box{xy{inf, inf}, xy{-inf, -inf}}
	if i >= t.leaf {
		for _, e := range t.order[lo:hi] {
			n.box = n.box.union(boxOf(t.edges[e].a, t.edges[e].b))
		}
		return
	}
	spread := n.box
	for _, e := range t.order[lo:hi] {
		spread = spread.union(box{mid[e], mid[e]})
	}
	byX := spread.hi.x-spread.lo.x >= spread.hi.y-spread.lo.y
	half := (lo + hi) / 2
	selectNth(t.order[lo:hi], int(half-lo), func(a, b int32) int {
		p, q := mid[a], mid[b]
		if !byX {
			p, q = xy{p.y, p.x}, xy{q.y, q.x}
		}
		switch {
		case p.x < q.x || p.x == q.x && p.y < q.y:
			return -1
		case p == q:
			return int(a - b)
		}
		return 1
	})
	t.build(2*i+1, lo, half, mid)
	t.build(2*i+2, half, hi, mid)
	n.box = t.nodes[2*i+1].box.union(t.nodes[2*i+2].box)
}

// selectNth puts the k-th smallest element of s in its place, smaller ones before
// it (Hoare's selection).
func selectNth(s []int32, k int, compare func(a, b int32) int) {
	for len(s) > 16 {
		a, b, c := s[0], s[len(s)/2], s[len(s)-1]
		if compare(a, b) > 0 {
			a, b = b, a
		}
		if compare(b, c) > 0 {
			b = c
			if compare(a, b) > 0 {
				b = a
			}
		}
		i, j := 0, len(s)-1
		for i <= j {
			for compare(s[i], b) < 0 {
				i++
			}
			for compare(s[j], b) > 0 {
				j--
			}
			if i <= j {
				s[i], s[j] = s[j], s[i]
				i++
				j--
			}
		}
		switch {
		case k <= j:
			s = s[:j+1]
		case k >= i:
			s, k = s[i:], k-i
		default:
			return
		}
	}
	slices.SortFunc(s, compare)
}

// group labels every node with the one group that its edges are of.
func (t *tree) group(of func(piece int32) int32) {
	for i := len(t.nodes) - 1; i >= 0; i-- {
		n := &t.nodes[i]
		if i >= t.leaf {
			n.group = mixed
			for k, e := range t.order[n.lo:n.hi] {
				g := of(t.edges[e].piece)
				if k > 0 && g != n.group {
					n.group = mixed
					break
				}
				n.group = g
			}
			continue
		}
		n.group = t.nodes[2*i+1].group
		if n.group != t.nodes[2*i+2].group {
			n.group = mixed
		}
	}
}

// near calls visit for edges nearer than within to b, roughly the nearest first.
// visit returns the distance to go on with. Nodes for which skip holds are left out.
func (t *tree) near(b box, within float64, skip func(*node) bool, visit func(e int32, within float64) float64) {
	type item struct {
		i int32
		d float64
	}
	var space [64]item
	stack := append(space[:0], item{0, b.gap(t.nodes[0].box)})
	for len(stack) > 0 {
		top := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		n := &t.nodes[top.i]
		if top.d > within || n.lo == n.hi || (skip != nil && skip(n)) {
			continue
		}
		if int(top.i) >= t.leaf {
			for _, e := range t.order[n.lo:n.hi] {
				within = visit(e, within)
			}
			continue
		}
		l, r := item{2*top.i + 1, 0}, item{2*top.i + 2, 0}
		l.d, r.d = b.gap(t.nodes[l.i].box), b.gap(t.nodes[r.i].box)
		if l.d < r.d {
			l, r = r, l
		}
		stack = append(stack, l, r)
	}
}

// closest are the points of the segments e and f that are nearest to each other.
// Segments that run side by side meet in the middle of where they do.
func closest(e, f edge) (p, q xy, d float64) {
	if crosses(e.a, e.b, f.a, f.b) {
		x := meet(e.a, e.b, f.a, f.b)
		return x, x, 0
	}
	var ps, qs [4]xy
	ps[0], qs[0] = e.a, nearest(f.a, f.b, e.a)
	ps[1], qs[1] = e.b, nearest(f.a, f.b, e.b)
	ps[2], qs[2] = nearest(e.a, e.b, f.a), f.a
	ps[3], qs[3] = nearest(e.a, e.b, f.b), f.b
	var ds [4]float64
	best := 0
	for i := range ds {
		ds[i] = ps[i].distance(qs[i])
		if ds[i] < ds[best] {
			best = i
		}
	}
	p, q, d = ps[best], qs[best], ds[best]
	const level = 1e-9 // mm; two ends this alike in distance say that they are parallel
	for i := range ds {
		if i == best || ds[i]-d > level || ps[i].distance(p) < level && qs[i].distance(q) < level {
			continue
		}
		return middle(p, ps[i]), middle(q, qs[i]), d
	}
	return p, q, d
}

// crosses reports whether ab and cd cross inside both.
func crosses(a, b, c, d xy) bool {
	ab, cd := b.sub(a), d.sub(c)
	s1, s2 := ab.cross(c.sub(a)), ab.cross(d.sub(a))
	s3, s4 := cd.cross(a.sub(c)), cd.cross(b.sub(c))
	return (s1 > 0) != (s2 > 0) && (s3 > 0) != (s4 > 0)
}

// meet is where the lines ab and cd, which are not parallel, meet.
func meet(a, b, c, d xy) xy {
	ab, cd := b.sub(a), d.sub(c)
	den := ab.cross(cd)
	if den == 0 {
		return middle(a, b)
	}
	return a.add(ab.times(c.sub(a).cross(cd) / den))
}
