package export

import (
	"math"

	"example.org/kerfleaf/internal/fit"
)

// A segment of a line with curves runs from where the one before it ends to end, in mm: straight, or as a cubic Bézier
// curve with the control points c1 and c2, or as an arc of which bulge is the tangent of a quarter of its angle,
// positive where it turns from x to y.
type segment struct {
	c1, c2, end spot
	curved      bool
	bulge       float64
}

// A bend is a line with curves laid through it.
type bend struct {
	start    spot
	segments []segment
	closed   bool
}

// A fitting lays curves through a line, given as coordinates in mm: curves or arcs.
type fitting func(points []float64, closed bool, tolerance float64) bend

func curves(points []float64, closed bool, tolerance float64) bend {
	fitted := fit.Curves(nil, points, tolerance)
	b := bend{closed: closed, segments: make([]segment, 0, len(fitted))}
	for _, s := range fitted {
		if s.Kind == fit.Move {
			b.start = spot{s.X, s.Y}
			continue
		}
		from := b.start
		if n := len(b.segments); n > 0 {
			from = b.segments[n-1].end
		}
		c1, c2, end := spot{s.X1, s.Y1}, spot{s.X2, s.Y2}, spot{s.X, s.Y}
		b.segments = append(b.segments, segment{c1: c1, c2: c2, end: end, curved: s.Kind == fit.Curve && !chord(from, c1, c2, end)})
	}
	return b
}

// chord says whether a curve is a straight line as far as can be written: its control points stand along the chord
// within half a micrometre.
func chord(from, c1, c2, end spot) bool {
	dx, dy := end.x-from.x, end.y-from.y
	l := math.Hypot(dx, dy)
	for _, c := range []spot{c1, c2} {
		x, y := c.x-from.x, c.y-from.y
		if along := x*dx + y*dy; along < 0 || along > l*l || math.Abs(x*dy-y*dx) > 0.0005*l {
			return false
		}
	}
	return true
}

func arcs(points []float64, closed bool, tolerance float64) bend {
	vertices := fit.Arcs(nil, points, tolerance)
	b := bend{closed: closed, start: spot{vertices[0].X, vertices[0].Y}}
	for i, v := range vertices {
		if i == len(vertices)-1 && !closed {
			break
		}
		next := vertices[(i+1)%len(vertices)]
		b.segments = append(b.segments, segment{end: spot{next.X, next.Y}, bulge: v.Bulge})
	}
	return b
}

// at is the place on a segment from a place on at parameter t, 0 to 1.
func (s *segment) at(from spot, t float64) spot {
	u := 1 - t
	switch {
	case s.curved:
		a, b, c, d := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
		return spot{a*from.x + b*s.c1.x + c*s.c2.x + d*s.end.x, a*from.y + b*s.c1.y + c*s.c2.y + d*s.end.y}
	case s.bulge != 0:
		// The chord from the start to the place turns by half of what the arc still has to go.
		angle := 4 * math.Atan(s.bulge)
		sin, cos := math.Sincos((t - 1) * angle / 2)
		f := math.Sin(t*angle/2) / math.Sin(angle/2)
		x, y := (s.end.x-from.x)*f, (s.end.y-from.y)*f
		return spot{from.x + x*cos - y*sin, from.y + x*sin + y*cos}
	}
	return spot{u*from.x + t*s.end.x, u*from.y + t*s.end.y}
}

// chords is how many chords keep within tolerance of a segment: over the n-th part of the parameter a curve departs
// from its chord by at most an eighth of the second derivative over n squared, an arc of radius r and angle a by about
// r·a²/8 over n squared.
func (s *segment) chords(from spot, tolerance float64) int {
	second := 0.0
	switch {
	case s.curved:
		second = 6 * max(math.Hypot(from.x-2*s.c1.x+s.c2.x, from.y-2*s.c1.y+s.c2.y), math.Hypot(s.c1.x-2*s.c2.x+s.end.x, s.c1.y-2*s.c2.y+s.end.y))
	case s.bulge != 0:
		b := math.Abs(s.bulge)
		angle := 4 * math.Atan(b)
		second = math.Hypot(s.end.x-from.x, s.end.y-from.y) * (1 + b*b) / (4 * b) * angle * angle
	}
	return 1 + int(math.Sqrt(second/(8*tolerance)))
}

// split cuts a segment in two at parameter t: curves by de Casteljau's construction, arcs by their angle.
func (s *segment) split(from spot, t float64) (first, second segment) {
	at := s.at(from, t)
	switch {
	case s.curved:
		mid := func(a, b spot) spot { return spot{a.x + (b.x-a.x)*t, a.y + (b.y-a.y)*t} }
		a, b, c := mid(from, s.c1), mid(s.c1, s.c2), mid(s.c2, s.end)
		return segment{c1: a, c2: mid(a, b), end: at, curved: true}, segment{c1: mid(b, c), c2: c, end: s.end, curved: true}
	case s.bulge != 0:
		quarter := math.Atan(s.bulge)
		return segment{end: at, bulge: math.Tan(t * quarter)}, segment{end: s.end, bulge: math.Tan((1 - t) * quarter)}
	}
	return segment{end: at}, segment{end: s.end}
}

// begin turns a closed bend so that it begins where it is nearest to p: the tool starts where the order wants it to. A
// joint that is as near as within serves, otherwise a segment is split.
func (b *bend) begin(p spot, within float64) {
	off := func(q spot) float64 { return math.Hypot(q.x-p.x, q.y-p.y) }
	from := b.start
	k, t, least := 0, 0.0, math.Inf(1)
	for i := range b.segments {
		s := &b.segments[i]
		if off(s.end) <= within {
			b.turn(i + 1)
			return
		}
		const parts = 16
		for j := range parts {
			if d := off(s.at(from, float64(j)/parts)); d < least {
				k, t, least = i, float64(j)/parts, d
			}
		}
		from = s.end
	}
	if k > 0 {
		from = b.segments[k-1].end
	} else {
		from = b.start
	}
	s := b.segments[k]
	lo, hi := max(t-1.0/16, 0), min(t+1.0/16, 1)
	for range 40 { // thirds
		if u, v := lo+(hi-lo)/3, hi-(hi-lo)/3; off(s.at(from, u)) < off(s.at(from, v)) {
			hi = v
		} else {
			lo = u
		}
	}
	switch at := s.at(from, lo); {
	case math.Hypot(at.x-from.x, at.y-from.y) <= within:
		b.turn(k)
	case math.Hypot(at.x-s.end.x, at.y-s.end.y) <= within:
		b.turn(k + 1)
	default:
		first, second := s.split(from, lo)
		rest := append([]segment{first, second}, b.segments[k+1:]...)
		b.segments = append(b.segments[:k:k], rest...)
		b.turn(k + 1)
	}
}

// turn makes segment k the first.
func (b *bend) turn(k int) {
	if k %= len(b.segments); k > 0 {
		b.start = b.segments[k-1].end
		b.segments = append(append([]segment(nil), b.segments[k:]...), b.segments[:k]...)
	}
}
