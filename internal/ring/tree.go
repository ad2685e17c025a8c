package ring

import (
	"math"
	"math/bits"
)

// Box is an axis-parallel rectangle, its borders included.
type Box struct{ MinX, MinY, MaxX, MaxY float64 }

// EmptyBox is the box that holds nothing and grows by Add.
func EmptyBox() Box {
	return Box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
}

// Add returns the smallest box that also holds (x, y).
func (b Box) Add(x, y float64) Box {
	return Box{min(b.MinX, x), min(b.MinY, y), max(b.MaxX, x), max(b.MaxY, y)}
}

// Join returns the smallest box that holds b and o.
func (b Box) Join(o Box) Box {
	return Box{min(b.MinX, o.MinX), min(b.MinY, o.MinY), max(b.MaxX, o.MaxX), max(b.MaxY, o.MaxY)}
}

// Grow returns b with every side moved outward by d.
func (b Box) Grow(d float64) Box {
	return Box{b.MinX - d, b.MinY - d, b.MaxX + d, b.MaxY + d}
}

// Meets reports whether b and o share a point.
func (b Box) Meets(o Box) bool { return b.apart(&o) == 0 }

// apart is 0 where b and o share a point, and 1 otherwise. It asks for signs
// instead of comparing, as in a search no guess of a branch is a good one.
func (b *Box) apart(o *Box) uint64 {
	return (math.Float64bits(o.MaxX-b.MinX) | math.Float64bits(b.MaxX-o.MinX) |
		math.Float64bits(o.MaxY-b.MinY) | math.Float64bits(b.MaxY-o.MinY)) >> 63
}

// fanout is how many children a node of a Tree has: at 8 a node's boxes fill
// four cache lines.
const fanout = 8

// Tree finds the boxes near a place. It is a packed R-tree: leaves sorted along
// a Hilbert curve (Kamel & Faloutsos, "Hilbert R-tree", VLDB 1994), nodes filled
// bottom up. It is read-only once built, so any number of goroutines may search
// it; the order of what it finds depends only on the boxes.
type Tree struct {
	boxes  []Box   // leaves first, then each level above, the root last
	ids    []int32 // of the leaves
	levels []int   // where each level starts in boxes; last entry: len(boxes)
}

// NewTree builds a tree over boxes; their indices are the ids that searches give.
func NewTree(boxes []Box) *Tree {
	t := &Tree{}
	n := len(boxes)
	if n == 0 {
		return t
	}
	all := EmptyBox()
	for _, b := range boxes {
		all = all.Join(b)
	}
	sx, sy := 65535/max(all.MaxX-all.MinX, 1e-300), 65535/max(all.MaxY-all.MinY, 1e-300)
	keys := make([]uint64, n)
	Parts(n, 4096, func(_, from, to int) {
		for i, b := range boxes[from:to] {
			hx := uint32(((b.MinX+b.MaxX)/2 - all.MinX) * sx)
			hy := uint32(((b.MinY+b.MaxY)/2 - all.MinY) * sy)
			keys[from+i] = uint64(hilbert(min(hx, 65535), min(hy, 65535)))<<32 | uint64(from+i)
		}
	})
	keys = sortKeys(keys)
	t.boxes = make([]Box, 0, n+n/(fanout-1)+8)
	t.ids = make([]int32, n)
	for i, k := range keys {
		t.ids[i] = int32(uint32(k))
		t.boxes = append(t.boxes, boxes[t.ids[i]])
	}
	t.levels = []int{0, n}
	for lo, hi := 0, n; hi-lo > 1; lo, hi = hi, len(t.boxes) {
		for i := lo; i < hi; i += fanout {
			b := t.boxes[i]
			for _, c := range t.boxes[i+1 : min(i+fanout, hi)] {
				b = b.Join(c)
			}
			t.boxes = append(t.boxes, b)
		}
		t.levels = append(t.levels, len(t.boxes))
	}
	return t
}

// Search appends to out the ids of all boxes that meet q. Where q is turned
// inside out, as by Grow with a negative distance, those are the boxes that
// reach that much further than to meet.
func (t *Tree) Search(q Box, out []int32) []int32 { return t.SearchIf(q, nil, out) }

// SearchIf is Search for boxes that keep accepts. It must also accept every box
// around one that it accepts.
func (t *Tree) SearchIf(q Box, keep func(*Box) bool, out []int32) []int32 {
	if len(t.levels) < 2 {
		return out
	}
	type node struct{ level, first int32 }
	var stack [16 * fanout]node // enough for 2^31 boxes: 11 levels of at most 7 siblings waiting
	stack[0] = node{int32(len(t.levels) - 2), 0}
	for n := 1; n > 0; {
		n--
		level, first := int(stack[n].level), int(stack[n].first)
		base := t.levels[level]
		boxes := t.boxes[base+first : min(t.levels[level+1], base+first+fanout)]
		var hits uint64
		for i := range boxes {
			hits |= (1 ^ boxes[i].apart(&q)) << i
		}
		for ; hits != 0; hits &= hits - 1 {
			i := bits.TrailingZeros64(hits)
			if keep != nil && !keep(&boxes[i]) {
				continue
			}
			if level == 0 {
				out = append(out, t.ids[first+i])
			} else {
				stack[n] = node{int32(level - 1), int32((first + i) * fanout)}
				n++
			}
		}
	}
	return out
}

// Left walks the boxes that a ray from (x, y) toward negative x meets, about
// nearest first. For each, hit returns how far left the ray still needs to be
// followed: boxes that lie wholly left of that are passed over.
func (t *Tree) Left(x, y float64, hit func(id int32) float64) {
	if top := len(t.levels) - 2; top >= 0 {
		best := math.Inf(-1)
		t.left(top, 0, x, y, &best, hit)
	}
}

func (t *Tree) left(level, first int, x, y float64, best *float64, hit func(id int32) float64) {
	lo := t.levels[level] + first
	hi := min(t.levels[level+1], lo+fanout)
	boxes := t.boxes[lo:hi]
	ray := Box{*best, y, x, y}
	var hits uint64
	for i := range boxes {
		hits |= (1 ^ boxes[i].apart(&ray)) << i
	}
	var order [fanout]int
	n := 0
	for ; hits != 0; hits &= hits - 1 {
		i := lo + bits.TrailingZeros64(hits)
		j := n
		for ; j > 0 && t.boxes[order[j-1]].MaxX < t.boxes[i].MaxX; j-- {
			order[j] = order[j-1]
		}
		order[j] = i
		n++
	}
	for _, i := range order[:n] {
		if t.boxes[i].MaxX < *best {
			continue
		}
		if level == 0 {
			*best = max(*best, hit(t.ids[i]))
		} else {
			t.left(level-1, (i-t.levels[level])*fanout, x, y, best, hit)
		}
	}
}

// hilbert maps a point of the 65536×65536 lattice to its place on the curve, by
// the usual walk from the largest quadrant down (Warren, "Hacker's Delight").
func hilbert(x, y uint32) uint32 {
	var d uint32
	for s := uint32(1) << 15; s > 0; s >>= 1 {
		var rx, ry uint32
		if x&s != 0 {
			rx = 1
		}
		if y&s != 0 {
			ry = 1
		}
		d += s * s * ((3 * rx) ^ ry)
		if ry == 0 {
			if rx == 1 {
				x, y = 65535-x, 65535-y
			}
			x, y = y, x
		}
	}
	return d
}
