package export

import (
	"math/bits"
	"slices"
)

// placeTree finds the nearest of many places, some of which are switched off.
// It is a balanced k-d tree (Bentley 1975) whose nodes count the places switched on
// below them, so that a search passes over what is done.
type placeTree struct {
	at    []place
	perm  []int32 // places in tree order
	where []int32 // leaf of each place
	on    []bool
	nodes []treeNode
}

type treeNode struct {
	lo, hi                 int32 // range of perm
	parent                 int32
	left                   int32 // children are left and left+1; 0 for a leaf
	on                     int32
	minX, minY, maxX, maxY float64
}

const leafPlaces = 6

func newPlaceTree(at []place) *placeTree {
	t := &placeTree{
		at: at, perm: make([]int32, len(at)), where: make([]int32, len(at)), on: make([]bool, len(at)),
	}
	for i := range t.perm {
		t.perm[i] = int32(i)
	}
	t.nodes = append(t.nodes, treeNode{hi: int32(len(at)), parent: -1})
	for i := 0; i < len(t.nodes); i++ { // children are appended behind
		t.build(int32(i))
	}
	return t
}

func (t *placeTree) build(i int32) {
	n := &t.nodes[i]
	members := t.perm[n.lo:n.hi]
	if len(members) == 0 {
		return
	}
	first := t.at[members[0]]
	n.minX, n.minY, n.maxX, n.maxY = first.x, first.y, first.x, first.y
	for _, m := range members {
		p := t.at[m]
		n.minX, n.maxX = min(n.minX, p.x), max(n.maxX, p.x)
		n.minY, n.maxY = min(n.minY, p.y), max(n.maxY, p.y)
	}
	if len(members) <= leafPlaces {
		for _, m := range members {
			t.where[m] = i
		}
		return
	}
	halve(members, t.order(n.maxY-n.minY > n.maxX-n.minX))
	mid := (n.lo + n.hi) / 2
	lo, hi := n.lo, n.hi
	n.left = int32(len(t.nodes))
	t.nodes = append(t.nodes, treeNode{lo: lo, hi: mid, parent: i}, treeNode{lo: mid, hi: hi, parent: i})
}

// order tells which of two places comes first along x, or else along y.
func (t *placeTree) order(alongY bool) func(a, b int32) int {
	return func(a, b int32) int {
		p, q := t.at[a], t.at[b]
		if alongY {
			p, q = place{p.y, p.x}, place{q.y, q.x}
		}
		switch {
		case p.x < q.x || p.x == q.x && (p.y < q.y || p.y == q.y && a < b):
			return -1
		case a == b:
			return 0
		}
		return 1
	}
}

// halve moves the first half of the members, by their order, to the front (Hoare, "Find", 1961). Members differ.
func halve(members []int32, order func(a, b int32) int) {
	mid := len(members) / 2
	lo, hi := 0, len(members)-1
	for rounds := 2 * bits.Len(uint(len(members))); lo < hi; rounds-- {
		if rounds == 0 { // bad luck with the middles
			slices.SortFunc(members[lo:hi+1], order)
			return
		}
		three := []int32{members[lo], members[(lo+hi)/2], members[hi]}
		slices.SortFunc(three, order)
		pivot := three[1]
		i, j := lo, hi
		for i <= j {
			for order(members[i], pivot) < 0 {
				i++
			}
			for order(pivot, members[j]) < 0 {
				j--
			}
			if i <= j {
				members[i], members[j] = members[j], members[i]
				i, j = i+1, j-1
			}
		}
		switch {
		case mid <= j:
			hi = j
		case mid >= i:
			lo = i
		default:
			return
		}
	}
}

// set switches a place on or off.
func (t *placeTree) set(p int32, on bool) {
	if t.on[p] == on {
		return
	}
	t.on[p] = on
	d := int32(1)
	if !on {
		d = -1
	}
	for i := t.where[p]; i >= 0; i = t.nodes[i].parent {
		t.nodes[i].on += d
	}
}

// gap2 is the square of the distance from q to the node's box.
func (n *treeNode) gap2(q place) float64 {
	dx := max(n.minX-q.x, 0, q.x-n.maxX)
	dy := max(n.minY-q.y, 0, q.y-n.maxY)
	return dx*dx + dy*dy
}

// found is a place and the square of its distance.
type found struct {
	place int32
	d2    float64
}

func (f found) before(g found) bool { return f.d2 < g.d2 || f.d2 == g.d2 && f.place < g.place }

// nearest appends to out the k places switched on that lie nearest to q and
// are wanted, nearest first.
func (t *placeTree) nearest(q place, k int, wanted func(p int32) bool, out []found) []found {
	return t.search(0, q, k, wanted, out)
}

func (t *placeTree) search(i int32, q place, k int, wanted func(p int32) bool, out []found) []found {
	n := &t.nodes[i]
	if n.on == 0 || len(out) == k && n.gap2(q) > out[k-1].d2 {
		return out
	}
	if n.left == 0 {
		for _, p := range t.perm[n.lo:n.hi] {
			if !t.on[p] || wanted != nil && !wanted(p) {
				continue
			}
			dx, dy := t.at[p].x-q.x, t.at[p].y-q.y
			f := found{p, dx*dx + dy*dy}
			if len(out) == k {
				if !f.before(out[k-1]) {
					continue
				}
				out = out[:k-1]
			}
			j := len(out)
			out = append(out, f)
			for ; j > 0 && f.before(out[j-1]); j-- {
				out[j] = out[j-1]
			}
			out[j] = f
		}
		return out
	}
	near, far := n.left, n.left+1
	if t.nodes[far].gap2(q) < t.nodes[near].gap2(q) {
		near, far = far, near
	}
	out = t.search(near, q, k, wanted, out)
	return t.search(far, q, k, wanted, out)
}
