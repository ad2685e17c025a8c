package proof

import (
	"math"

	"example.org/kerfleaf/internal/ring"
)

// segments finds the straight pieces of many lines, open or closed, near a place.
type segments struct {
	*ring.Index // its rings are the lines
	found       []int32
	last        [2]int // line and piece that were near last
}

func newSegments(lines [][]float64) *segments { return &segments{Index: ring.NewIndex(lines)} }

// near reports whether both points are within tol of one and the same piece: then so is all between them, as a piece is convex. one says
// whether a alone is within tol of any. Where a is near what was near last, no other piece is asked for b.
func (s *segments) near(ax, ay, bx, by, tol float64) (both, one bool) {
	hit := func(l []float64) bool {
		if distance2(ax, ay, l[0], l[1], l[2], l[3]) > tol*tol {
			return false
		}
		one = true
		return distance2(bx, by, l[0], l[1], l[2], l[3]) <= tol*tol
	}
	// Lines that agree do so piece after piece.
	if len(s.Rings) > 0 {
		l := s.Rings[s.last[0]]
		for j := max(0, s.last[1]-2); j <= s.last[1]+2 && 2*j+3 < len(l); j++ {
			if hit(l[2*j : 2*j+4]) {
				s.last[1] = j
				return true, true
			}
		}
	}
	if one {
		return false, true
	}
	s.found = s.Tree.Search(ring.EmptyBox().Add(ax, ay).Grow(tol), s.found[:0])
	for _, id := range s.found {
		b := s.Blocks[id]
		l := s.Rings[b.Ring]
		for i := b.First; i < b.End; i++ {
			if hit(l[2*i : 2*i+4]) {
				s.last = [2]int{int(b.Ring), int(i)}
				return true, true
			}
		}
	}
	return false, one
}

// far finds a point of the straight piece from a to b that is further than tol from all lines. Points up to a quarter of tol further
// away may escape it, none that is nearer is found.
func (s *segments) far(ax, ay, bx, by, tol float64) (x, y float64, ok bool) {
	both, one := s.near(ax, ay, bx, by, tol)
	switch {
	case both:
		return 0, 0, false
	case !one:
		return ax, ay, true
	}
	if math.Hypot(bx-ax, by-ay) <= tol/2 {
		_, one := s.near(bx, by, bx, by, tol)
		return bx, by, !one
	}
	mx, my := (ax+bx)/2, (ay+by)/2
	if x, y, ok := s.far(ax, ay, mx, my, tol); ok {
		return x, y, ok
	}
	return s.far(mx, my, bx, by, tol)
}

// strays finds for each of the lines its first point that is further than tol from all lines of s, and for which also holds what extra says.
func (s *segments) strays(lines [][]float64, tol float64, extra func(x, y float64) bool) [][2]float64 {
	var out [][2]float64
	for _, l := range lines {
		for i := 0; i+3 < len(l); i += 2 {
			x, y, ok := s.far(l[i], l[i+1], l[i+2], l[i+3], tol)
			if ok && (extra == nil || extra(x, y)) {
				out = append(out, [2]float64{x, y})
				break
			}
		}
	}
	return out
}

// touches reports whether a point is within tol of a line other than skip.
func (s *segments) touches(x, y, tol float64, skip int) bool {
	s.found = s.Tree.Search(ring.EmptyBox().Add(x, y).Grow(tol), s.found[:0])
	for _, id := range s.found {
		b := s.Blocks[id]
		if int(b.Ring) == skip {
			continue
		}
		l := s.Rings[b.Ring]
		for i := b.First; i < b.End; i++ {
			if distance2(x, y, l[2*i], l[2*i+1], l[2*i+2], l[2*i+3]) <= tol*tol {
				return true
			}
		}
	}
	return false
}

// enter reports whether the box around any piece meets q.
func (s *segments) enter(q ring.Box) bool {
	s.found = s.Tree.Search(q, s.found[:0])
	for _, id := range s.found {
		b := s.Blocks[id]
		l := s.Rings[b.Ring]
		for i := b.First; i < b.End; i++ {
			if ring.EmptyBox().Add(l[2*i], l[2*i+1]).Add(l[2*i+2], l[2*i+3]).Meets(q) {
				return true
			}
		}
	}
	return false
}

// distance of a point from the straight piece between two others.
func distance(x, y, ax, ay, bx, by float64) float64 {
	return math.Sqrt(distance2(x, y, ax, ay, bx, by))
}

// distance2 is its square.
func distance2(x, y, ax, ay, bx, by float64) float64 {
	dx, dy := bx-ax, by-ay
	px, py := x-ax, y-ay
	d := dx*dx + dy*dy
	if t := px*dx + py*dy; t >= d {
		px, py = x-bx, y-by
	} else if t > 0 {
		t /= d
		px, py = px-t*dx, py-t*dy
	}
	return px*px + py*py
}

// points are the coordinates of tracks.
func points(lists ...[]track) [][]float64 {
	var out [][]float64
	for _, list := range lists {
		for _, t := range list {
			out = append(out, t.pts)
		}
	}
	return out
}
