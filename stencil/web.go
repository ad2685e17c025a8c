package stencil

import (
	"math"

	"example.org/kerfleaf/stencil/internal/mesh"
)

// survey is everything that the checks measure on, worked out once.
type survey struct {
	*plane
	pieces *pieces
	hang   *hanging
	border forest // vertices that kept edges join
}

func (p *plane) survey() *survey {
	ways := p.passages()
	s := &survey{plane: p, pieces: p.pieces(ways), hang: p.hang(ways)}
	s.border = newForest(len(p.V))
	for h := range int32(len(p.Start)) {
		if p.Mask[h]&mesh.Kept != 0 {
			s.border.join(p.Start[h], p.End(h))
		}
	}
	return s
}

// across are the two borders that passage w runs between, the lower first.
func (s *survey) across(w passage) [2]int32 {
	a, b := s.border.find(s.Start[w.h]), s.border.find(s.Start[w.edge])
	if w.edge == w.h {
		b = s.border.find(s.End(w.h))
	}
	return [2]int32{min(a, b), max(a, b)}
}

// canon is one number for both sides of an edge.
func (p *plane) canon(h int32) int32 {
	if g := p.Twin[h]; g >= 0 && g < h {
		return g
	}
	return h
}

// off is the triangle below which hangs what a cut across passage w would part from
// the rest, or -1 if the paper would still hang together: a cut between two different
// borders never parts it.
func (s *survey) off(w passage) int32 {
	if pair := s.across(w); pair[0] != pair[1] {
		return -1
	}
	return s.hang.off(s.plane, w)
}

const (
	// waist is by how much the paper must widen again for a narrow place to be a
	// web or neck rather than the way into a corner.
	waist = 1.25
	// pause is by how much the paper must be wider than the limit between two
	// narrow places to make them two.
	pause = 1.1
	// apart is how many widths of the limit two narrow places between the same
	// borders must be apart, besides, to count as two.
	apart = 1
)

// web is a place where paper is narrower than a limit.
type web struct {
	passage
	length float64     // of the stretch that is narrower
	off    int32       // what a cut here would part hangs below this triangle; -1 if nothing
	spines [][]passage // the stretch, or stretches, from one end to the other
}

// webs finds the narrow places, one for each run of passages between the same two
// borders. Between two borders each narrow place is a web. Where both sides are the
// same border the paper may just run out into a corner: it is a web only if the
// paper beyond is wider again, and as wide as the limit or no smaller than its square.
func (s *survey) webs(limit float64) []web {
	type half struct {
		edge int32
		pair [2]int32
	}
	runs := newForest(len(s.ways))
	at := map[half]int32{}
	for i, w := range s.ways {
		if w.width >= pause*limit {
			continue
		}
		pair := s.across(w)
		for _, h := range [2]int32{w.h, mesh.Prev(w.h)} {
			k := half{s.canon(h), pair}
			if j, ok := at[k]; ok {
				runs.join(int32(i), j)
			} else {
				at[k] = int32(i)
			}
		}
	}
	slot := map[int32]int{}
	var out []web
	narrow := make([][]int32, 0)
	for i, w := range s.ways {
		if w.width >= limit {
			continue
		}
		off := s.off(w)
		if pair := s.across(w); pair[0] == pair[1] && !s.matters(w, off, limit) {
			continue
		}
		run := runs.find(int32(i))
		k, ok := slot[run]
		if !ok {
			k = len(out)
			slot[run] = k
			out = append(out, web{passage: w, off: off})
			narrow = append(narrow, nil)
		}
		if w.width < out[k].width {
			out[k].passage, out[k].off = w, off
		}
		narrow[k] = append(narrow[k], int32(i))
	}
	for k := range out {
		spine, length := s.spine(narrow[k])
		out[k].spines, out[k].length = [][]passage{spine}, length
		s.centre(&out[k], spine)
	}
	return s.mergeNear(out, apart*limit)
}

// centre moves the place of a web that is equally narrow in several to where it will
// tear first if all that hangs there hangs on it alone, and else to the one that is
// nearest to the middle of its spine.
func (s *survey) centre(w *web, spine []passage) {
	const equal = 1e-6 // mm, more than the grid's rounding
	gone, best := 0.0, math.Inf(-1)
	least := w.width
	for i, p := range spine {
		if i > 0 {
			gone += s.middle(p).distance(s.middle(spine[i-1]))
		}
		if p.width > least+equal {
			continue
		}
		off := s.off(p)
		score := -math.Abs(gone - w.length/2)
		if off >= 0 {
			score = s.hang.below[off].area * s.reach(off, s.middle(p))
		}
		if score > best {
			w.passage, w.off, best = p, off, score
		}
	}
}

// matters reports whether what hangs beyond a narrow place is more than a corner.
func (s *survey) matters(w passage, off int32, limit float64) bool {
	if off < 0 {
		return false
	}
	l := &s.hang.below[off]
	return l.wide >= waist*w.width && (l.area >= limit*limit || l.wide >= limit)
}

// spine is the longest way along the middle of the given passages, and its length.
func (s *survey) spine(ways []int32) ([]passage, float64) {
	beside := map[int32][]int{} // passages by the edges they join
	for k, i := range ways {
		for _, h := range [2]int32{s.ways[i].h, mesh.Prev(s.ways[i].h)} {
			beside[s.canon(h)] = append(beside[s.canon(h)], k)
		}
	}
	from := make([]int, len(ways))
	farthest := func(root int) (int, float64) {
		done := make([]float64, len(ways)) // distance and a bit, 0 if not reached
		done[root], from[root] = 1, -1
		queue := []int{root}
		end := root
		for len(queue) > 0 {
			k := queue[0]
			queue = queue[1:]
			w := s.ways[ways[k]]
			if done[k] > done[end] {
				end = k
			}
			for _, h := range [2]int32{w.h, mesh.Prev(w.h)} {
				for _, j := range beside[s.canon(h)] {
					if done[j] == 0 {
						done[j] = done[k] + s.middle(w).distance(s.middle(s.ways[ways[j]]))
						from[j] = k
						queue = append(queue, j)
					}
				}
			}
		}
		return end, done[end] - 1
	}
	end, _ := farthest(0)
	end, length := farthest(end)
	var out []passage
	for k := end; k >= 0; k = from[k] {
		out = append(out, s.ways[ways[k]])
	}
	return out, length
}

// mergeNear makes one of webs between the same borders that are close together.
func (s *survey) mergeNear(webs []web, within float64) []web {
	type cell struct {
		pair [2]int32
		x, y int
	}
	cells := map[cell][]int{}
	var out []web
next:
	for _, w := range webs {
		here := s.middle(w.passage)
		c := cell{s.across(w.passage), int(math.Floor(here.x / within)), int(math.Floor(here.y / within))}
		for i := range 9 {
			for _, k := range cells[cell{c.pair, c.x + i%3 - 1, c.y + i/3 - 1}] {
				o := &out[k]
				if s.middle(o.passage).distance(here) > within {
					continue
				}
				length, spines := o.length+w.length, append(o.spines, w.spines...)
				if w.width < o.width {
					*o = w
				}
				o.length, o.spines = length, spines
				continue next
			}
		}
		cells[c] = append(cells[c], len(out))
		out = append(out, w)
	}
	return out
}

// middle is the point halfway across passage w.
func (s *survey) middle(w passage) xy { return middle(s.corner(w), w.foot) }
