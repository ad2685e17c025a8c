package fit

import "math"

// arc replaces the edges between two vertices by one arc through both, if the tolerance allows. Of all circles through them it
// takes the one on which the samples lie best, in the sense of their power: in a frame with the chord from (0, 0) to (c, 0) a circle
// with its centre at height y has u² - cu + w² - 2wy = 0, which is linear in y.
func (f *fitter) arc(from, to int) (Segment, bool) {
	a, b := f.joints[from].at, f.joints[to].at
	c := b.sub(a).length()
	if c == 0 || to-from < 2 {
		return Segment{}, false
	}
	along := b.sub(a).unit()
	f.sample(from, to)
	var top, bottom, side float64
	for _, s := range f.samples {
		p := s.at.sub(a)
		u, w := p.dot(along), along.cross(p)
		top += w * (u*u - c*u + w*w)
		bottom += 2 * w * w
		side += w
	}
	if bottom == 0 {
		return Segment{}, false
	}
	y := top / bottom
	// The arc rises to h above the chord, on the samples' side; it turns away from that side.
	h := y + math.Copysign(math.Hypot(y, c/2), side)
	bulge := -2 * h / c
	if math.Abs(bulge) > 3 { // beyond 286 degrees the ends come too near to one another
		return Segment{}, false
	}
	f.flat = FlattenArc(f.flat[:0], a, b, bulge, slack*f.tolerance)
	return Segment{End: b, Bulge: bulge}, f.near(from, to)
}

// FlattenArc appends points of the arc from a to b with the given bulge to dst, both ends included, so that no point of it is further
// than tolerance from the chords.
func FlattenArc(dst []Point, a, b Point, bulge, tolerance float64) []Point {
	dst = append(dst, a)
	chord := b.sub(a)
	angle := 4 * math.Atan(bulge)
	radius := math.Abs(chord.length() * (1 + bulge*bulge) / (4 * bulge))
	if bulge != 0 && tolerance < radius {
		// The centre lies to the left of the chord for a bulge from 0 to 1.
		centre := a.add(chord.times(0.5)).add(Point{-chord.Y, chord.X}.times((1 - bulge*bulge) / (4 * bulge)))
		n := 1 + int(math.Abs(angle)/(2*math.Sqrt(2*tolerance/radius))) // the arc cosine of 1 - x is at least √(2x)
		from := a.sub(centre)
		for i := 1; i < n; i++ {
			sin, cos := math.Sincos(angle * float64(i) / float64(n))
			dst = append(dst, centre.add(Point{from.X*cos - from.Y*sin, from.X*sin + from.Y*cos}))
		}
	}
	return append(dst, b)
}
