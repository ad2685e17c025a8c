package ring

import (
	"math"
	"slices"

	"github.com/twpayne/go-geom"
)

// Nest puts closed rings together into polygons: a ring inside an even number
// of others becomes an outer ring, a ring inside an odd number a hole of the
// smallest around it. The rings must not cross; they may touch at points and
// run either way: outer rings come out positive, holes negative. Rings of fewer
// than three distinct points are left out. Polygons, and the holes of each, keep
// the order of rings, and each ring keeps its first point. The result has its
// own coordinates. For n points in r rings it takes about n + r log n steps.
func Nest(rings [][]float64) *geom.MultiPolygon {
	rings = slices.DeleteFunc(slices.Clone(rings), func(r []float64) bool { return len(r) < 8 })
	return NewIndex(rings).Nest(nil)
}

// Nest is the function Nest for rings that are indexed already, each of at least
// three points. Where misplaced is not nil, it is set to the rings, in order,
// whose orientation does not agree with their depth.
func (ix *Index) Nest(misplaced *[]int) *geom.MultiPolygon {
	areas := ix.areas()
	parent := ix.parents(areas)
	depth := depths(parent)
	if misplaced != nil {
		*misplaced = nil
		for k, a := range areas {
			if (a > 0) != (depth[k]%2 == 0) {
				*misplaced = append(*misplaced, k)
			}
		}
	}
	return build(ix.Rings, areas, parent, depth)
}

func (ix *Index) areas() []float64 {
	areas := make([]float64, len(ix.Rings))
	Parts(len(areas), 1024, func(_, from, to int) {
		for k := from; k < to; k++ {
			areas[k] = Area(ix.Rings[k])
		}
	})
	return areas
}

// parents gives for each ring the smallest ring around it, or -1.
func (ix *Index) parents(areas []float64) []int {
	rings := ix.Rings
	parent := make([]int, len(rings))
	if len(rings) == 1 {
		parent[0] = -1
	}
	if len(rings) < 2 {
		return parent
	}
	// Which ring a ray to the left meets first, and whether its inside is on
	// this side: then it is the parent, otherwise it has the same parent.
	const sibling, none = 1 << 62, -1
	Parts(len(rings), 256, func(_, from, to int) {
		for k := from; k < to; k++ {
			i := leftmost(rings[k])
			h, ok := ix.Left(rings[k][i], rings[k][i+1], k)
			switch {
			case !ok:
				parent[k] = none
			case h.Unsure:
				parent[k] = smallestAround(ix, areas, k)
			case h.Down == (areas[h.Ring] > 0):
				parent[k] = h.Ring
			default:
				parent[k] = h.Ring | sibling
			}
		}
	})
	// Siblings lead further and further left.
	var chain []int
	for k := range parent {
		chain = chain[:0]
		p := k
		for parent[p] >= sibling {
			chain = append(chain, p)
			if p = parent[p] &^ sibling; len(chain) > len(rings) {
				parent[p] = smallestAround(ix, areas, p)
			}
		}
		for _, c := range chain {
			parent[c] = parent[p]
		}
	}
	return parent
}

// leftmost returns the index of r's point of smallest x, then y.
func leftmost(r []float64) int {
	m := 0
	for i := 2; i < len(r); i += 2 {
		if r[i] < r[m] || r[i] == r[m] && r[i+1] < r[m+1] {
			m = i
		}
	}
	return m
}

// smallestAround finds the parent of ring k where rings touch, by looking at
// whole rings: the smallest that holds a point of k which is not on it.
func smallestAround(ix *Index, areas []float64, k int) int {
	r := ix.Rings[k]
	box := EmptyBox()
	for i := 0; i < len(r); i += 2 {
		box = box.Add(r[i], r[i+1])
	}
	var near []int
	seen := map[int]bool{k: true}
	for _, id := range ix.Tree.Search(Box{math.Inf(-1), box.MinY, box.MaxX, box.MaxY}, nil) {
		if m := int(ix.Blocks[id].Ring); !seen[m] {
			seen[m] = true
			near = append(near, m)
		}
	}
	slices.Sort(near)
	best := -1
	for _, m := range near {
		if math.Abs(areas[m]) <= math.Abs(areas[k]) || best >= 0 && math.Abs(areas[m]) >= math.Abs(areas[best]) {
			continue
		}
		if around(ix.Rings[m], r) {
			best = m
		}
	}
	return best
}

// around reports whether ring r, which does not cross ring m, lies inside it.
func around(m, r []float64) bool {
	for i := 0; i+3 < len(r); i += 2 {
		if p := Locate(m, r[i], r[i+1]); p != Boundary {
			return p == Inside
		}
		if p := Locate(m, (r[i]+r[i+2])/2, (r[i+1]+r[i+3])/2); p != Boundary {
			return p == Inside
		}
	}
	return false
}

// depths gives for each ring how many are around it.
func depths(parent []int) []int {
	depth := make([]int, len(parent))
	for k := range depth {
		depth[k] = -1
	}
	var deep func(k int) int
	deep = func(k int) int {
		if depth[k] < 0 {
			depth[k] = 0
			if parent[k] >= 0 {
				depth[k] = deep(parent[k]) + 1
			}
		}
		return depth[k]
	}
	for k := range depth {
		deep(k)
	}
	return depth
}

// build writes the polygons that parents describe.
func build(rings [][]float64, areas []float64, parent, depth []int) *geom.MultiPolygon {
	size := 0
	holes := make([][]int, len(rings))
	for k, r := range rings {
		size += len(r)
		if depth[k]%2 == 1 {
			holes[parent[k]] = append(holes[parent[k]], k)
		}
	}
	flat := make([]float64, 0, size)
	var endss [][]int
	for k := range rings {
		if depth[k]%2 == 1 {
			continue
		}
		flat = appendRing(flat, rings[k], areas[k] > 0)
		ends := []int{len(flat)}
		for _, h := range holes[k] {
			flat = appendRing(flat, rings[h], areas[h] < 0)
			ends = append(ends, len(flat))
		}
		endss = append(endss, ends)
	}
	return geom.NewMultiPolygonFlat(geom.XY, flat, endss)
}

// appendRing adds r as it is or turned round.
func appendRing(flat, r []float64, asIs bool) []float64 {
	if asIs {
		return append(flat, r...)
	}
	for i := len(r) - 2; i >= 0; i -= 2 {
		flat = append(flat, r[i], r[i+1])
	}
	return flat
}
