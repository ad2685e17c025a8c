package stencil

import (
	"sort"

	"example.org/kerfleaf/stencil/internal/mesh"
)

// hold is the least width of paper, in millimetres, that joins anything: what is
// narrower counts as cut through. No blade or beam leaves less.
const hold = 0.01

// piece is a part of the sheet that hangs together.
type piece struct {
	area float64
	rim  float64 // length of the sheet's edge that it has
	in   xy      // a point well inside
	big  float64 // area of the triangle around in
	side float64 // length of all its borders
}

// pieces are the parts that a plane's paper falls into.
type pieces struct {
	list  []piece
	of    []int32 // piece of each triangle, -1 if it is not paper
	frame int32   // the piece that holds, -1 if there is no paper
}

// pieces sorts the triangles of paper by what hangs together. The frame is the
// piece with most of the sheet's edge, or the largest. Paper that is on the
// whole too narrow to hold is not a piece.
func (p *plane) pieces(ways []passage) *pieces {
	links := newForest(len(p.Start))
	for _, w := range ways {
		if w.width > hold {
			links.join(p.canon(w.h), p.canon(mesh.Prev(w.h)))
		}
	}
	s := &pieces{of: make([]int32, p.Triangles()), frame: -1}
	number := map[int32]int32{}
	for t := int32(0); t < int32(p.Triangles()); t++ {
		s.of[t] = -1
		if !p.paper(t) {
			continue
		}
		root := 3 * t
		for h := 3 * t; h < 3*t+3; h++ {
			if p.open(h) {
				root = links.find(p.canon(h))
				break
			}
		}
		n, known := number[root]
		if !known {
			n = int32(len(s.list))
			number[root] = n
			s.list = append(s.list, piece{})
		}
		s.of[t] = n
		q := &s.list[n]
		a := p.area(t)
		q.area += a
		if a > q.big {
			h := 3 * t
			q.big, q.in = a, p.start(h).add(p.end(h)).add(p.apex(h)).times(1.0/3)
		}
		for h := 3 * t; h < 3*t+3; h++ {
			if p.open(h) {
				continue
			}
			l := p.start(h).distance(p.end(h))
			q.side += l
			if p.Mask[h]&sheetEdge != 0 {
				q.rim += l
			}
		}
	}
	s.drop(func(q piece) bool { return 2*q.area <= hold*q.side }) // a strip's width is twice its area over its border
	for i, q := range s.list {
		if s.frame < 0 || heavier(q.rim, q.area, s.list[s.frame].rim, s.list[s.frame].area) {
			s.frame = int32(i)
		}
	}
	return s
}

// drop takes out the pieces that are not wanted and numbers the others anew.
func (s *pieces) drop(unwanted func(piece) bool) {
	number := make([]int32, len(s.list))
	kept := s.list[:0]
	for i, q := range s.list {
		number[i] = -1
		if !unwanted(q) {
			number[i] = int32(len(kept))
			kept = append(kept, q)
		}
	}
	s.list = kept
	for t, n := range s.of {
		if n >= 0 {
			s.of[t] = number[n]
		}
	}
}

// heavier orders parts of the sheet by which of two holds the other.
func heavier(rim, area, rim2, area2 float64) bool {
	if rim != rim2 {
		return rim > rim2
	}
	return area > area2
}

// loose lists the pieces that nothing holds, the largest first.
func (s *pieces) loose() []int32 {
	var out []int32
	for i := range s.list {
		if int32(i) != s.frame {
			out = append(out, int32(i))
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return s.list[out[i]].area > s.list[out[j]].area })
	return out
}

// forest is a union-find structure (Tarjan 1975).
type forest []int32

func newForest(n int) forest {
	f := make(forest, n)
	for i := range f {
		f[i] = int32(i)
	}
	return f
}

func (f forest) find(i int32) int32 {
	for f[i] != i {
		f[i] = f[f[i]]
		i = f[i]
	}
	return i
}

// join unites the trees of i and j and reports whether they were apart.
func (f forest) join(i, j int32) bool {
	a, b := f.find(i), f.find(j)
	if a == b {
		return false
	}
	if b < a {
		a, b = b, a
	}
	f[b] = a
	return true
}
