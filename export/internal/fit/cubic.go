package fit

import "math"

// A sample is a place on the line with its parameter on the curve.
type sample struct {
	at Point
	t  float64
}

// rounds is how often the parameters of samples are improved.
const rounds = 4

// cubic replaces the edges between two vertices by one curve with the tangents of these, if the tolerance allows: least squares for the
// lengths of the handles, then better parameters by Newton's method, and again (P. J. Schneider, "An Algorithm for Automatically
// Fitting Digitized Curves", Graphics Gems, 1990, 612-626).
func (f *fitter) cubic(from, to int) (Segment, bool) {
	p0, p3 := f.joints[from].at, f.joints[to].at
	chord := p3.sub(p0).length()
	if chord == 0 {
		return Segment{}, false
	}
	t0, t3 := f.tangents(from, to)
	f.sample(from, to)
	for range rounds {
		a, b := handles(f.samples, p0, p3, t0, t3)
		if !(a > 1e-3*chord && b > 1e-3*chord) || a > 4*chord || b > 4*chord {
			a, b = chord/3, chord/3
		}
		p1, p2 := p0.add(t0.times(a)), p3.sub(t3.times(b))
		f.flatten(p0, p1, p2, p3)
		if f.near(from, to) {
			if max(toEdge(p1, p0, p3), toEdge(p2, p0, p3)) < f.tolerance/4 {
				if f.flat = append(f.flat[:0], p0, p3); f.near(from, to) {
					return Segment{End: p3}, true
				}
			}
			return Segment{C1: p1, C2: p2, End: p3, Curved: true}, true
		}
		if worst := improve(f.samples, p0, p1, p2, p3); worst > 8*f.tolerance {
			return Segment{}, false
		}
	}
	return Segment{}, false
}

// tangents are the directions in which the curve leaves one vertex and reaches the other; at a corner that of the circle
// through the three vertices there.
func (f *fitter) tangents(from, to int) (t0, t3 Point) {
	t0, t3 = f.joints[from].tangent, f.joints[to].tangent
	if f.joints[from].corner {
		t0 = f.pts[from+1].sub(f.pts[from]).unit()
		if to-from > 1 {
			t0 = reflected(circleTangent(f.pts[from], f.pts[from+1], f.pts[from+2]), t0)
		}
	}
	if f.joints[to].corner {
		t3 = f.pts[to].sub(f.pts[to-1]).unit()
		if to-from > 1 {
			t3 = reflected(circleTangent(f.pts[to-2], f.pts[to-1], f.pts[to]), t3)
		}
	}
	return t0, t3
}

// circleTangent is the direction, in the middle one, of the circle through three points.
func circleTangent(a, b, c Point) Point {
	p, q := b.sub(a), c.sub(b)
	return p.times(q.length() / p.length()).add(q.times(p.length() / q.length())).unit()
}

// reflected is t mirrored in the direction d: the tangent at the other end of a chord.
func reflected(t, d Point) Point { return d.times(2 * t.dot(d)).sub(t) }

// sample spreads places over the edges, on few edges more on each, with parameters by length.
func (f *fitter) sample(from, to int) {
	f.samples = f.samples[:0]
	each := min(max(12/(to-from), 2), 6) // middles too, as the result passes between them and the vertices
	length := 0.0
	for v := from; v < to; v++ {
		edge := f.pts[v+1].sub(f.pts[v])
		for k := range each {
			t := float64(k) / float64(each)
			f.samples = append(f.samples, sample{f.pts[v].add(edge.times(t)), length + t*edge.length()})
		}
		length += edge.length()
	}
	for i := range f.samples {
		f.samples[i].t /= length
	}
	f.samples = f.samples[1:]
}

// handles are the lengths along the tangents that bring the curve nearest to the samples.
func handles(samples []sample, p0, p3, t0, t3 Point) (a, b float64) {
	var c00, c01, c11, x0, x1 float64
	for _, s := range samples {
		t, u := s.t, 1-s.t
		b0, b1, b2, b3 := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
		left, right := t0.times(b1), t3.times(-b2)
		rest := s.at.sub(p0.times(b0 + b1)).sub(p3.times(b2 + b3))
		c00 += left.dot(left)
		c01 += left.dot(right)
		c11 += right.dot(right)
		x0 += left.dot(rest)
		x1 += right.dot(rest)
	}
	det := c00*c11 - c01*c01
	return (x0*c11 - x1*c01) / det, (x1*c00 - x0*c01) / det
}

// improve moves each sample's parameter toward the nearest point of the curve and returns the greatest distance that was left.
func improve(samples []sample, p0, p1, p2, p3 Point) (worst float64) {
	d0, d1, d2 := p1.sub(p0).times(3), p2.sub(p1).times(3), p3.sub(p2).times(3)
	e0, e1 := d1.sub(d0).times(2), d2.sub(d1).times(2)
	for i := range samples {
		s := &samples[i]
		t, u := s.t, 1-s.t
		off := bezier(p0, p1, p2, p3, t).sub(s.at)
		first := d0.times(u * u).add(d1.times(2 * u * t)).add(d2.times(t * t))
		second := e0.times(u).add(e1.times(t))
		worst = max(worst, off.length())
		if n := first.dot(first) + off.dot(second); n > 0 {
			s.t = min(max(t-off.dot(first)/n, 0), 1)
		}
	}
	return worst
}

func bezier(p0, p1, p2, p3 Point, t float64) Point {
	u := 1 - t
	return p0.times(u * u * u).add(p1.times(3 * u * u * t)).add(p2.times(3 * u * t * t)).add(p3.times(t * t * t))
}

// flatten puts chords of the curve into f.flat, as many as keep them within slack times the tolerance: a chord over the n-th part of the
// parameter is off by at most an eighth of the second derivative over n squared.
func (f *fitter) flatten(p0, p1, p2, p3 Point) {
	f.flat = Flatten(f.flat[:0], p0, p1, p2, p3, slack*f.tolerance)
}

// Flatten appends points of a cubic Bézier curve to dst, both ends included, so that no point of it is further than tolerance from
// the chords.
func Flatten(dst []Point, p0, p1, p2, p3 Point, tolerance float64) []Point {
	a, b := p0.sub(p1.times(2)).add(p2), p1.sub(p2.times(2)).add(p3)
	second := 6 * max(a.length(), b.length())
	n := 1 + int(math.Sqrt(second/(8*tolerance)))
	for i := range n {
		dst = append(dst, bezier(p0, p1, p2, p3, float64(i)/float64(n)))
	}
	return append(dst, p3)
}
