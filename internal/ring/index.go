package ring

import "math"

// BlockEdges is how many consecutive edges of a ring share a box in an Index.
const BlockEdges = 12

// Block is a run of consecutive edges of one ring: edges First to End-1, where
// edge i joins points i and i+1.
type Block struct {
	Ring, First, End int32
	Box              Box
}

// Index finds the edges of many rings near a place.
type Index struct {
	Rings  [][]float64
	Blocks []Block
	Tree   *Tree // over Blocks
}

// NewIndex builds an index over closed rings, whose coordinates must be finite.
func NewIndex(rings [][]float64) *Index { return newIndex(rings, BlockEdges) }

// NewRayIndex is NewIndex for an index that serves only Left and Nest: it takes
// less time to build.
func NewRayIndex(rings [][]float64) *Index { return newIndex(rings, 4*BlockEdges) }

func newIndex(rings [][]float64, size int) *Index {
	n := 0
	for _, r := range rings {
		n += (len(r)/2 + size - 2) / size
	}
	ix := &Index{Rings: rings, Blocks: make([]Block, 0, n)}
	boxes := make([]Box, 0, n)
	for k, r := range rings {
		ix.Blocks = appendBlocks(ix.Blocks, r, k, size)
	}
	for i := range ix.Blocks {
		boxes = append(boxes, ix.Blocks[i].Box)
	}
	ix.Tree = NewTree(boxes)
	return ix
}

// appendBlocks adds the blocks of ring number k, of up to size edges each.
func appendBlocks(blocks []Block, r []float64, k, size int) []Block {
	edges := len(r)/2 - 1
	for i := 0; i < edges; i += size {
		end := min(i+size, edges)
		b := EmptyBox()
		for j := i; j <= end; j++ {
			b = b.Add(r[2*j], r[2*j+1])
		}
		blocks = append(blocks, Block{int32(k), int32(i), int32(end), b})
	}
	return blocks
}

// Hit is an edge met by a ray: its ring and whether that ring's edge runs
// toward smaller y there, so that its left-hand side is where the ray came from.
type Hit struct {
	Ring int
	X    float64
	Down bool
	// Unsure is set where another ring meets the ray at the same place or
	// the ray's origin lies on a ring: then the nearest hit, if there is one
	// (Ring is -1 otherwise), says nothing.
	Unsure bool
}

// Left returns the first edge, of rings other than skip, that a ray from (x, y)
// toward negative x meets. A vertex on the ray counts as if the ray ran at an
// infinitesimally greater y.
func (ix *Index) Left(x, y float64, skip int) (Hit, bool) {
	h := Hit{Ring: -1, X: math.Inf(-1)}
	touches := false // the ring meets the origin without crossing the ray
	ix.Tree.Left(x, y, func(id int32) float64 {
		b := &ix.Blocks[id]
		if int(b.Ring) == skip {
			return h.X
		}
		r := ix.Rings[b.Ring]
		for i := int(b.First); i < int(b.End); i++ {
			ax, ay, bx, by := r[2*i], r[2*i+1], r[2*i+2], r[2*i+3]
			if ay == y && (ax == x || by == y && min(ax, bx) <= x && x <= max(ax, bx)) {
				touches = true
			}
			if (ay <= y) == (by <= y) || ax > x && bx > x {
				continue
			}
			o := Orient(ax, ay, bx, by, x, y)
			if o != 0 && (o > 0) == (by > ay) {
				continue // the edge passes to the right
			}
			at := min(max(ax+(y-ay)/(by-ay)*(bx-ax), min(ax, bx)), max(ax, bx))
			near := 1e-9 * (math.Abs(at) + math.Abs(x-at))
			switch {
			case at > h.X+near || h.Ring < 0:
				h = Hit{int(b.Ring), at, by < ay, o == 0}
			case at >= h.X-near:
				if h.Ring != int(b.Ring) || h.Down != (by < ay) {
					h.Unsure = true
				}
				h.X = max(h.X, at)
			}
		}
		return h.X - 1e-9*math.Abs(h.X)
	})
	h.Unsure = h.Unsure || touches
	return h, h.Ring >= 0 || touches
}
