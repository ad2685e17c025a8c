package words

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"example.org/kerfleaf/internal/ring"
)

// A segment runs from vertex i of a ring to the next.
type segment struct {
	a, b point
	ring int
	i    int
}

// A crossing is a point where two segments meet otherwise than as neighbours
// at their common vertex. It lies at parameter t of each.
type crossing struct {
	s [2]segment
	t [2]float64
	p point
}

// maxCrossings bounds what a damaged or hostile font can ask for; letters have
// a few dozen at the most.
const maxCrossings = 100_000

var errCrossings = errors.New("a glyph's outline crosses itself too often")

// crossings finds where rings meet themselves or each other, by a sweep over
// the segments from left to right.
func crossings(rings [][]float64) ([]crossing, error) {
	var all []segment
	for k, r := range rings {
		for i := 0; i+3 < len(r); i += 2 {
			all = append(all, segment{point{r[i], r[i+1]}, point{r[i+2], r[i+3]}, k, i / 2})
		}
	}
	slices.SortFunc(all, func(s, t segment) int {
		return cmp.Or(cmp.Compare(min(s.a.x, s.b.x), min(t.a.x, t.b.x)),
			cmp.Compare(s.ring, t.ring), cmp.Compare(s.i, t.i))
	})
	var out []crossing
	var active []segment
	for _, s := range all {
		left := min(s.a.x, s.b.x)
		active = slices.DeleteFunc(active, func(t segment) bool { return max(t.a.x, t.b.x) < left })
		for _, t := range active {
			if max(s.a.y, s.b.y) < min(t.a.y, t.b.y) || max(t.a.y, t.b.y) < min(s.a.y, s.b.y) {
				continue
			}
			out = append(out, meet(s, t, len(rings[s.ring])/2-1)...)
			if len(out) > maxCrossings {
				return nil, errCrossings
			}
		}
		active = append(active, s)
	}
	return out, nil
}

// meet returns where two segments meet: nothing, a point, or both ends of the
// stretch that they share. The vertex that neighbours in a ring of n vertices
// have in common does not count.
func meet(s, t segment, n int) []crossing {
	var joint *point
	if s.ring == t.ring {
		switch {
		case (s.i+1)%n == t.i:
			joint = &s.b
		case (t.i+1)%n == s.i:
			joint = &s.a
		}
	}
	var out []crossing
	add := func(p point) {
		if joint != nil && p == *joint {
			return
		}
		for _, o := range out {
			if o.p == p {
				return
			}
		}
		out = append(out, crossing{[2]segment{s, t}, [2]float64{s.along(p), t.along(p)}, p})
	}
	// Which side of the other segment each end lies on; 0 is on its line.
	sa, sb := t.side(s.a), t.side(s.b)
	ta, tb := s.side(t.a), s.side(t.b)
	for _, v := range []struct {
		side int
		p    point
		on   segment
	}{{sa, s.a, t}, {sb, s.b, t}, {ta, t.a, s}, {tb, t.b, s}} {
		if v.side == 0 && v.on.spans(v.p) {
			add(v.p)
		}
	}
	if sa*sb < 0 && ta*tb < 0 {
		dx, dy := t.b.x-t.a.x, t.b.y-t.a.y
		from := dx*(s.a.y-t.a.y) - dy*(s.a.x-t.a.x)
		to := dx*(s.b.y-t.a.y) - dy*(s.b.x-t.a.x)
		u := from / (from - to)
		if !(u >= 0 && u <= 1) { // the signs are exact, these products are not
			u = 0.5
		}
		add(point{s.a.x + u*(s.b.x-s.a.x), s.a.y + u*(s.b.y-s.a.y)})
	}
	return out
}

// side is 1 or -1 if p lies to one side or the other of the segment.
func (s segment) side(p point) int { return ring.Orient(s.a.x, s.a.y, s.b.x, s.b.y, p.x, p.y) }

// spans tells whether a point on the segment's line lies on the segment.
func (s segment) spans(p point) bool {
	return min(s.a.x, s.b.x) <= p.x && p.x <= max(s.a.x, s.b.x) &&
		min(s.a.y, s.b.y) <= p.y && p.y <= max(s.a.y, s.b.y)
}

// along is the parameter of a point of the segment.
func (s segment) along(p point) float64 {
	if math.Abs(s.b.x-s.a.x) > math.Abs(s.b.y-s.a.y) {
		return (p.x - s.a.x) / (s.b.x - s.a.x)
	}
	return (p.y - s.a.y) / (s.b.y - s.a.y)
}
