package stencil

import (
	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/stencil/internal/mesh"
)

// outlines are the shapes of the given pieces of paper.
func (s *survey) outlines(list []int32) []*geom.Polygon {
	slot := map[int32]int{}
	for k, i := range list {
		slot[i] = k
	}
	rings := make([][][]int32, len(list))
	done := make([]bool, len(s.Start))
	for h := range int32(len(s.Start)) {
		t := h / 3
		if done[h] || !s.paper(t) || !s.borders(h) {
			continue
		}
		k, wanted := slot[s.pieces.of[t]]
		if !wanted {
			continue
		}
		rings[k] = append(rings[k], s.loops(h, done)...)
	}
	out := make([]*geom.Polygon, len(list))
	for k := range out {
		out[k] = s.shape(rings[k])
	}
	return out
}

// borders reports whether half-edge h, on paper, has other than its own piece of
// paper across.
func (s *survey) borders(h int32) bool {
	return !s.open(h) || s.pieces.of[s.Twin[h]/3] != s.pieces.of[h/3]
}

// loops follows the border of a piece from half-edge h with the paper on its left
// and returns the rings of vertices that it consists of, none touching itself.
func (s *survey) loops(h int32, done []bool) [][]int32 {
	var out [][]int32
	var path []int32
	place := map[int32]int{}
	for !done[h] {
		done[h] = true
		v := s.Start[h]
		if i, ok := place[v]; ok {
			ring := append([]int32(nil), path[i:]...)
			for _, u := range ring {
				delete(place, u)
			}
			path = path[:i]
			out = append(out, ring)
		}
		place[v] = len(path)
		path = append(path, v)
		h = mesh.Next(h)
		for !s.borders(h) {
			h = mesh.Next(s.Twin[h])
		}
	}
	return append(out, path)
}

// shape is the polygon of the given rings, of which one is the outer one.
func (s *survey) shape(rings [][]int32) *geom.Polygon {
	var outer []float64
	var holes [][]float64
	for _, r := range rings {
		if len(r) < 3 {
			continue
		}
		flat := make([]float64, 0, 2*len(r)+2)
		twice := 0.0
		for i, v := range r {
			a, b := s.at[v], s.at[r[(i+1)%len(r)]]
			twice += a.cross(b)
			flat = append(flat, a.x, a.y)
		}
		flat = append(flat, flat[0], flat[1])
		if twice > 0 {
			outer = append(outer, flat...)
		} else {
			holes = append(holes, flat)
		}
	}
	ends := []int{len(outer)}
	for _, f := range holes {
		outer = append(outer, f...)
		ends = append(ends, len(outer))
	}
	return geom.NewPolygonFlat(geom.XY, outer, ends)
}
