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
	beside := func(t, u int32) bool { return s.pieces.of[t] == s.pieces.of[u] }
	rings := make([][][]int32, len(list))
	done := map[int32]bool{}
	for h := range int32(len(s.Start)) {
		if done[h] || !s.paper(h/3) || s.inside(h, beside) {
			continue
		}
		if k, wanted := slot[s.pieces.of[h/3]]; wanted {
			rings[k] = append(rings[k], s.loops(h, done, beside)...)
		}
	}
	out := make([]*geom.Polygon, len(list))
	for k := range out {
		out[k] = s.shape(rings[k])
	}
	return out
}

// hung is the shape of what hangs below triangle off.
func (s *survey) hung(off int32) *geom.Polygon {
	first := s.hang.place[off]
	last := first + s.hang.size[off]
	beside := func(t, u int32) bool { return s.hang.place[u] >= first && s.hang.place[u] < last }
	var rings [][]int32
	done := map[int32]bool{}
	for _, t := range s.hang.order[first:last] {
		for h := 3 * t; h < 3*t+3; h++ {
			if !done[h] && !s.inside(h, beside) {
				rings = append(rings, s.loops(h, done, beside)...)
			}
		}
	}
	return s.shape(rings)
}

// inside reports whether the paper goes on across half-edge h, to a triangle that is
// beside its own.
func (s *survey) inside(h int32, beside func(t, u int32) bool) bool {
	return s.open(h) && beside(h/3, s.Twin[h]/3)
}

// loops follows the border of a part of the paper from half-edge h with the part on
// its left and returns the rings of vertices that it consists of, none touching itself.
func (s *survey) loops(h int32, done map[int32]bool, beside func(t, u int32) bool) [][]int32 {
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
		for s.inside(h, beside) {
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
