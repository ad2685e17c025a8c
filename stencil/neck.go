package stencil

import (
	"cmp"
	"math"
	"slices"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/stencil/internal/mesh"
)

// Neck is the widest way by which a part of the paper hangs on the rest: cut it and
// the part hangs on narrower webs only, or on nothing.
type Neck struct {
	At     geom.Coord // the middle of the neck, in mm
	Width  float64    // at its narrowest, in mm
	Area   float64    // of what hangs on it, in mm²
	Reach  float64    // from the neck to the farthest point of that, in mm; short by 2 % at most
	Single bool       // nothing else holds it

	way passage
	off int32
}

// bulge is how many times wider than its neck a part must be somewhere, and how many
// times as long, to count as hanging on it.
const bulge = 1.5

// Necks lists the neck of every part of the paper that is at least half as wide again
// somewhere, the narrowest first. The necks are the narrowest places on the widest
// ways to the frame: the maximum spanning tree over passages holds a widest way to
// everywhere (Hu 1961), so that taking the passages from the widest down and joining
// what they connect meets each part's neck when the part joins something larger.
// Errors are those of Check.
func Necks(cut *geom.MultiPolygon, sheet *geom.Bounds) ([]Neck, error) {
	s, err := surveyOf(cut, sheet, 0)
	if err != nil {
		return nil, err
	}
	return s.necks(), nil
}

func (s *survey) necks() []Neck {
	order := make([]int32, len(s.ways))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(i, j int32) int {
		return cmp.Or(cmp.Compare(s.ways[j].width, s.ways[i].width), cmp.Compare(i, j))
	})

	// Every open edge starts with its share of the triangles beside it.
	number := make([]int32, len(s.Start))
	var parts []load
	for h := range int32(len(s.Start)) {
		number[h] = -1
		if s.paper(h/3) && s.open(h) && s.canon(h) == h {
			number[h] = int32(len(parts))
			var l load
			for i := range l.far {
				l.far[i] = s.Start[h]
			}
			parts = append(parts, l)
		}
	}
	for t := range int32(s.Triangles()) {
		if !s.paper(t) {
			continue
		}
		var open []int32
		rim := 0.0
		for h := 3 * t; h < 3*t+3; h++ {
			if s.open(h) {
				open = append(open, number[s.canon(h)])
			} else if s.Mask[h]&sheetEdge != 0 {
				rim += s.start(h).distance(s.end(h))
			}
		}
		far := s.spanOf(t)
		for _, n := range open {
			l := &parts[n]
			l.area += s.area(t) / float64(len(open))
			l.rim += rim / float64(len(open))
			l.wide = math.Max(l.wide, s.disc(t))
			s.unite(&l.far, &far)
		}
	}
	joined := newForest(len(parts))
	var out []Neck
	for _, i := range order {
		w := s.ways[i]
		if w.width <= hold {
			break
		}
		a := joined.find(number[s.canon(w.h)])
		b := joined.find(number[s.canon(mesh.Prev(w.h))])
		if a == b {
			continue
		}
		if heavier(parts[b].rim, parts[b].area, parts[a].rim, parts[a].area) {
			a, b = b, a
		}
		if n, ok := s.neck(w, &parts[b]); ok {
			out = append(out, n)
		}
		all := parts[a]
		s.merge(&all, &parts[b])
		all.wide = math.Max(all.wide, w.width)
		joined.join(a, b)
		parts[joined.find(a)] = all
	}
	slices.SortStableFunc(out, func(a, b Neck) int { return cmp.Compare(a.Width, b.Width) })
	return out
}

// neck describes passage w, on which part hangs, if it counts as a neck.
func (s *survey) neck(w passage, part *load) (Neck, bool) {
	if part.wide < bulge*w.width {
		return Neck{}, false
	}
	off := s.off(w)
	if off >= 0 {
		part = &s.hang.below[off]
	} else if part.rim > 0 {
		return Neck{}, false // a side of the frame, which goes on round
	}
	at := s.middle(w)
	n := Neck{
		At: at.coord(), Width: w.width, Area: part.area, Reach: s.reach(&part.far, at),
		Single: off >= 0, way: w, off: off,
	}
	return n, n.Reach >= bulge*w.width
}
