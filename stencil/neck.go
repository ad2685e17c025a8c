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
	return s.necks(0, false), nil
}

// necks lists the necks that are at least so wide; of single only those that nothing
// beside them holds.
func (s *survey) necks(least float64, single bool) []Neck {
	order := s.widest(least)
	number, parts := s.shares()
	var spans []span
	if !single {
		spans = s.shareSpans(number, len(parts))
	}
	joined := newForest(len(parts))
	var out []Neck
	for _, i := range order {
		w := s.ways[i]
		a := joined.find(number[w.h])
		b := joined.find(number[mesh.Prev(w.h)])
		if a == b {
			continue
		}
		if heavier(parts[b].rim, parts[b].area, parts[a].rim, parts[a].area) {
			a, b = b, a
		}
		if n, ok := s.neck(w, &parts[b], spans, b); ok {
			out = append(out, n)
		}
		all := parts[a]
		all.add(&parts[b])
		all.wide = math.Max(all.wide, w.width)
		joined.join(a, b)
		root := joined.find(a)
		parts[root] = all
		if spans != nil {
			s.unite(&spans[root], &spans[a+b-root])
		}
	}
	slices.SortStableFunc(out, func(a, b Neck) int { return cmp.Compare(a.Width, b.Width) })
	return out
}

// widest are the passages that hold and are at least so wide, the widest first.
func (s *survey) widest(least float64) []int32 {
	type item struct {
		width float64
		i     int32
	}
	items := make([]item, 0, len(s.ways))
	for i, w := range s.ways {
		if w.width >= least && w.width > hold {
			items = append(items, item{w.width, int32(i)})
		}
	}
	slices.SortFunc(items, func(a, b item) int {
		switch {
		case a.width > b.width:
			return -1
		case a.width < b.width:
			return 1
		}
		return int(a.i - b.i)
	})
	out := make([]int32, len(items))
	for k, it := range items {
		out[k] = it.i
	}
	return out
}

// shares numbers the open edges, both sides alike, and gives each its share of the
// triangles beside it.
func (s *survey) shares() (number []int32, parts []load) {
	number = make([]int32, len(s.Start))
	parts = make([]load, 0, len(s.Start)/2)
	for h := range int32(len(s.Start)) {
		if !s.paper(h/3) || !s.open(h) {
			continue
		}
		if g := s.Twin[h]; g < h {
			number[h] = number[g]
			continue
		}
		number[h] = int32(len(parts))
		parts = append(parts, load{})
	}
	for t := range int32(s.Triangles()) {
		if !s.paper(t) {
			continue
		}
		open, rim := 0.0, 0.0
		for h := 3 * t; h < 3*t+3; h++ {
			if s.open(h) {
				open++
			} else if s.Mask[h]&sheetEdge != 0 {
				rim += s.start(h).distance(s.end(h))
			}
		}
		area, wide := s.area(t), s.disc(t)
		for h := 3 * t; h < 3*t+3; h++ {
			if s.open(h) {
				l := &parts[number[h]]
				l.area += area / open
				l.rim += rim / open
				l.wide = math.Max(l.wide, wide)
			}
		}
	}
	return number, parts
}

// shareSpans is how far the triangles beside each open edge reach.
func (s *survey) shareSpans(number []int32, n int) []span {
	spans := make([]span, n)
	known := make([]bool, n)
	for h := range int32(len(s.Start)) {
		if !s.paper(h/3) || !s.open(h) {
			continue
		}
		own := s.spanOf(h / 3)
		if k := number[h]; known[k] {
			s.unite(&spans[k], &own)
		} else {
			spans[k], known[k] = own, true
		}
	}
	return spans
}

// neck describes passage w if it counts as a neck. What hangs on it is part, or, where
// it does so on w alone, what a cut parts; spans, by part, may be missing if only the
// latter is wanted.
func (s *survey) neck(w passage, part *load, spans []span, k int32) (Neck, bool) {
	if part.wide < bulge*w.width {
		return Neck{}, false
	}
	n := Neck{way: w, Width: w.width, off: s.off(w)}
	at := s.middle(w)
	switch {
	case n.off >= 0:
		n.Single, n.Area, n.Reach = true, s.hang.below[n.off].area, s.reach(n.off, at)
	case part.rim > 0 || spans == nil: // the rim is a side of the frame, which goes on round
		return Neck{}, false
	default:
		n.Area, n.Reach = part.area, s.extent(&spans[k], at)
	}
	n.At = at.coord()
	return n, n.Reach >= bulge*w.width
}
