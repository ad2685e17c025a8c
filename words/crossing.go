package words

import (
	"cmp"
	"errors"
	"math"
	"slices"
)

// A segment runs from vertex i of a contour to the next.
type segment struct {
	a, b    point
	contour int
	i       int
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

// crossings finds where contours meet themselves or each other, by a sweep over
// the segments from left to right.
func crossings(contours []contour) ([]crossing, error) {
	var all []segment
	for k, c := range contours {
		for i, a := range c {
			all = append(all, segment{a, c[(i+1)%len(c)], k, i})
		}
	}
	slices.SortFunc(all, func(s, t segment) int {
		return cmp.Or(cmp.Compare(min(s.a.x, s.b.x), min(t.a.x, t.b.x)),
			cmp.Compare(s.contour, t.contour), cmp.Compare(s.i, t.i))
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
			out = append(out, meet(s, t, len(contours[s.contour]))...)
			if len(out) > maxCrossings {
				return nil, &FontError{errCrossings}
			}
		}
		active = append(active, s)
	}
	return out, nil
}

// meet returns where two segments meet: nothing, a point, or both ends of the
// stretch that they share. The vertex that neighbours of a contour of n
// vertices have in common does not count.
func meet(s, t segment, n int) []crossing {
	var joint *point
	if s.contour == t.contour {
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
		c := crossing{[2]segment{s, t}, [2]float64{along(s, p), along(t, p)}, p}
		for _, o := range out {
			if o.p == p {
				return
			}
		}
		out = append(out, c)
	}
	// Which side of the other segment each end lies on; 0 is on its line.
	sa, sb := side(t, s.a), side(t, s.b)
	ta, tb := side(s, t.a), side(s, t.b)
	for _, v := range []struct {
		side float64
		p    point
		on   segment
	}{{sa, s.a, t}, {sb, s.b, t}, {ta, t.a, s}, {tb, t.b, s}} {
		if v.side == 0 && within(v.on, v.p) {
			add(v.p)
		}
	}
	if sa*sb < 0 && ta*tb < 0 {
		u := sa / (sa - sb)
		add(point{s.a.x + u*(s.b.x-s.a.x), s.a.y + u*(s.b.y-s.a.y)})
	}
	return out
}

// side is positive if p lies to the left of the segment, with y up.
func side(s segment, p point) float64 {
	return (s.b.x-s.a.x)*(p.y-s.a.y) - (s.b.y-s.a.y)*(p.x-s.a.x)
}

// within tells whether a point on the segment's line lies on the segment.
func within(s segment, p point) bool {
	return min(s.a.x, s.b.x) <= p.x && p.x <= max(s.a.x, s.b.x) &&
		min(s.a.y, s.b.y) <= p.y && p.y <= max(s.a.y, s.b.y)
}

// along is the parameter of a point of the segment.
func along(s segment, p point) float64 {
	if math.Abs(s.b.x-s.a.x) > math.Abs(s.b.y-s.a.y) {
		return (p.x - s.a.x) / (s.b.x - s.a.x)
	}
	return (p.y - s.a.y) / (s.b.y - s.a.y)
}
