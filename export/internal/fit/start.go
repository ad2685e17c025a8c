package fit

import "math"

// begin turns the segments of a closed line, of which number k replaces the edges from vertex spans[k] on, so that they begin at
// the vertex: in the middle of a segment that is split there.
func (f *fitter) begin(vertex int, segments []Segment, spans []int) (Point, []Segment) {
	k := len(spans) - 1
	for spans[k] > vertex {
		k--
	}
	from := f.joints[0].at
	if k > 0 {
		from = segments[k-1].End
	}
	if spans[k] == vertex {
		return from, append(append([]Segment(nil), segments[k:]...), segments[:k]...)
	}
	t := nearestOn(from, segments[k], f.pts[vertex])
	first, second := split(from, segments[k], t)
	out := append([]Segment{second}, segments[k+1:]...)
	out = append(out, segments[:k]...)
	return first.End, append(out, first)
}

// along is the place on a segment from a place on at parameter t, 0 to 1.
func along(from Point, s Segment, t float64) Point {
	switch {
	case s.Curved:
		return bezier(from, s.C1, s.C2, s.End, t)
	case s.Bulge != 0:
		// The chord from the start to the place turns by half of what the arc still has to go.
		angle := 4 * math.Atan(s.Bulge)
		sin, cos := math.Sincos((t - 1) * angle / 2)
		chord := s.End.sub(from).times(math.Sin(t*angle/2) / math.Sin(angle/2))
		return from.add(Point{chord.X*cos - chord.Y*sin, chord.X*sin + chord.Y*cos})
	}
	return from.add(s.End.sub(from).times(t))
}

// nearestOn is the parameter at which a segment is nearest to p, and not at its ends: the best of some, then closer by thirds.
func nearestOn(from Point, s Segment, p Point) float64 {
	const parts = 64
	off := func(t float64) float64 { return along(from, s, t).sub(p).length() }
	best := 1
	for i := 2; i < parts; i++ {
		if off(float64(i)/parts) < off(float64(best)/parts) {
			best = i
		}
	}
	lo, hi := float64(best-1)/parts, float64(best+1)/parts
	for range 40 {
		a, b := lo+(hi-lo)/3, hi-(hi-lo)/3
		if off(a) < off(b) {
			hi = b
		} else {
			lo = a
		}
	}
	return min(max((lo+hi)/2, 0.25/parts), 1-0.25/parts)
}

// split cuts a segment in two at parameter t: curves by de Casteljau's construction, arcs by their angle.
func split(from Point, s Segment, t float64) (first, second Segment) {
	at := along(from, s, t)
	switch {
	case s.Curved:
		mid := func(a, b Point) Point { return a.add(b.sub(a).times(t)) }
		a, b, c := mid(from, s.C1), mid(s.C1, s.C2), mid(s.C2, s.End)
		return Segment{C1: a, C2: mid(a, b), End: at, Curved: true}, Segment{C1: mid(b, c), C2: c, End: s.End, Curved: true}
	case s.Bulge != 0:
		quarter := math.Atan(s.Bulge)
		return Segment{End: at, Bulge: math.Tan(t * quarter)}, Segment{End: s.End, Bulge: math.Tan((1 - t) * quarter)}
	}
	return Segment{End: at}, Segment{End: s.End}
}
