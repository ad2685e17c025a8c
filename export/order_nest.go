package export

import (
	"cmp"
	"slices"

	"example.org/kerfleaf/internal/ring"
)

// nest knows which ring lies in which.
type nest struct {
	rings  []*track
	parent []int // the smallest ring around each, or -1
	index  *ring.Index
}

// newNest goes from left to right and asks for each ring which one a ray to the
// left meets first: that one's surroundings are known already.
func newNest(rings []*track) *nest {
	n := &nest{rings: rings, parent: make([]int, len(rings))}
	xy := make([][]float64, len(rings))
	order := make([]int, len(rings))
	left := make([]place, len(rings))
	for k, t := range rings {
		xy[k], n.parent[k], order[k] = t.xy, -1, k
		left[k] = place{t.xy[0], t.xy[1]}
		for i := 2; i < len(t.xy); i += 2 {
			if p := (place{t.xy[i], t.xy[i+1]}); p.x < left[k].x || p.x == left[k].x && p.y < left[k].y {
				left[k] = p
			}
		}
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(left[a].x, left[b].x), cmp.Compare(left[a].y, left[b].y),
			-cmp.Compare(rings[a].area, rings[b].area), cmp.Compare(a, b))
	})
	n.index = ring.NewIndex(xy)
	for _, k := range order {
		p := n.at(left[k], k)
		// where rings touch or cross the ray may mislead; a smaller ring holds
		// nothing larger whatever it says, so that no two wait for each other
		for p >= 0 && rings[p].area <= rings[k].area {
			p = n.parent[p]
		}
		n.parent[k] = p
	}
	return n
}

// at returns the smallest ring around p, other than skip, or -1.
func (n *nest) at(p place, skip int) int {
	h, _ := n.index.Left(p.x, p.y, skip)
	switch {
	case h.Ring < 0:
		return -1
	case h.Down == n.rings[h.Ring].positive:
		return h.Ring
	default:
		return n.parent[h.Ring]
	}
}

// around returns the smallest ring that an open line lies in, or -1. It looks at
// the middle of the line's first edge, as its ends may lie on the ring.
func (n *nest) around(t *track) int {
	return n.at(place{(t.xy[0] + t.xy[2]) / 2, (t.xy[1] + t.xy[3]) / 2}, -1)
}
