package fit

import (
	"math"
	"slices"
)

// sample is a point of the outline and where on a curve it is thought to be.
type sample struct{ x, y, t float64 }

// collect takes samples of each edge between a and b: two to a part, at the places of Gauss's rule, so that a mean over
// them is the mean along the outline, and the part's middle and end, where a curve is furthest away. Few edges have more parts, so that a curve does not stray
// between samples.
func (c *curves) collect(a node, i, j int, b node) {
	o := c.o
	n := len(o.x)
	parts := 1 + 4/(j-i+1)
	c.samples = slices.Grow(c.samples[:0], 4*parts*(j-i+1))
	share := 1 / float64(parts)
	px, py := a.x, a.y
	way := 0.0
	for k := i; k <= j; k++ {
		qx, qy := b.x, b.y
		if k < j {
			p := (k + 1) % n
			qx, qy = o.x[p], o.y[p]
		}
		dx, dy := qx-px, qy-py
		l := math.Sqrt(dx*dx + dy*dy)
		for m := range parts {
			for _, f := range [4]float64{0.2113, 0.5, 0.7887, 1} {
				f = (float64(m) + f) * share
				c.samples = append(c.samples, sample{px + f*dx, py + f*dy, way + f*l})
			}
		}
		way += l
		px, py = qx, qy
	}
	for k := range c.samples {
		c.samples[k].t /= way
	}
}

// fit gives the best curve from a to b, and whether it keeps the tolerance.
func (c *curves) fit(a node, i, j int, b node) (Segment, bool) {
	c.collect(a, i, j, b)
	bow := bow{a: a, b: b}
	limit := 0.85 * c.o.tol
	for range 3 {
		if !bow.solve(c.samples) {
			return Segment{}, false
		}
		ok, hopeless := bow.keeps(c.samples, limit*limit)
		if ok {
			return bow.segment(), true
		}
		if hopeless {
			break
		}
	}
	return Segment{}, false
}

// bow is a cubic Bezier curve from a to b in their directions, with handles of lengths p and q.
type bow struct {
	a, b node
	p, q float64
}

func (w *bow) segment() Segment {
	a, b := w.a, w.b
	return Segment{Curve, a.x + w.p*a.dx, a.y + w.p*a.dy, b.x - w.q*b.dx, b.y - w.q*b.dy, b.x, b.y}
}

// solve finds the handles by least squares. Handles that are too short or long for a plain bend make no curve.
func (w *bow) solve(samples []sample) bool {
	a, b := w.a, w.b
	var aa, ab, bb, ra, rb float64
	dot := -(a.dx*b.dx + a.dy*b.dy)
	for k := range samples {
		if k%2 == 1 {
			continue // these only test
		}
		s := &samples[k]
		t := s.t
		u := 1 - t
		b0, b1, b2, b3 := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
		rx := s.x - (b0+b1)*a.x - (b2+b3)*b.x
		ry := s.y - (b0+b1)*a.y - (b2+b3)*b.y
		aa += b1 * b1
		bb += b2 * b2
		ab += b1 * b2 * dot
		ra += b1 * (rx*a.dx + ry*a.dy)
		rb -= b2 * (rx*b.dx + ry*b.dy)
	}
	det := aa*bb - ab*ab
	chord := math.Hypot(b.x-a.x, b.y-a.y)
	if det > 1e-9*aa*bb {
		w.p, w.q = (ra*bb-rb*ab)/det, (aa*rb-ab*ra)/det
	} else {
		w.p, w.q = chord/3, chord/3
	}
	least, most := 0.05*chord, 1.5*chord
	return w.p > least && w.q > least && w.p < most && w.q < most
}

// keeps says whether every sample is within the root of limit of its place on the curve. If not, the places are moved by
// a step of Newton's method toward the nearest ones and looked at again; hopeless says that one is five times as far.
func (w *bow) keeps(samples []sample, limit float64) (ok, hopeless bool) {
	s := w.segment()
	ax, ay := w.a.x, w.a.y
	// Polynomial: ((c3 t + c2) t + c1) t + a.
	c1x, c1y := 3*(s.X1-ax), 3*(s.Y1-ay)
	c2x, c2y := 3*(s.X2-s.X1)-c1x, 3*(s.Y2-s.Y1)-c1y
	c3x, c3y := s.X-ax-c1x-c2x, s.Y-ay-c1y-c2y
	ok = true
	for k := range samples {
		m := &samples[k]
		t := m.t
		ex, ey := ((c3x*t+c2x)*t+c1x)*t+ax-m.x, ((c3y*t+c2y)*t+c1y)*t+ay-m.y
		if ex*ex+ey*ey > limit {
			ok = false
			break
		}
	}
	if ok {
		return true, false
	}
	ok = true
	for k := range samples {
		m := &samples[k]
		t := m.t
		ex, ey := ((c3x*t+c2x)*t+c1x)*t+ax-m.x, ((c3y*t+c2y)*t+c1y)*t+ay-m.y
		vx, vy := (3*c3x*t+2*c2x)*t+c1x, (3*c3y*t+2*c2y)*t+c1y
		gx, gy := 6*c3x*t+2*c2x, 6*c3y*t+2*c2y
		if den := vx*vx + vy*vy + ex*gx + ey*gy; den > 0 {
			t = min(1, max(0, t-(ex*vx+ey*vy)/den))
			nx, ny := ((c3x*t+c2x)*t+c1x)*t+ax-m.x, ((c3y*t+c2y)*t+c1y)*t+ay-m.y
			if nx*nx+ny*ny < ex*ex+ey*ey {
				ex, ey, m.t = nx, ny, t
			}
		}
		d := ex*ex + ey*ey
		if d > 25*limit {
			return false, true
		}
		ok = ok && d <= limit
	}
	return ok, false
}
