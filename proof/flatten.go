package proof

import (
	"errors"
	"math"
)

// outline is a line under construction, its points in mm.
type outline struct {
	m    matrix // from the units of the file to mm
	flat []float64
}

var errCurve = errors.New("a curve is too large to be followed")

// to goes straight to (x, y), given in the file's units.
func (o *outline) to(x, y float64) {
	x, y = o.m.apply(x, y)
	o.flat = append(o.flat, x, y)
}

// pieces is how many straight lines a curve needs, which at most maxPoints may be.
func pieces(n float64) (int, error) {
	if !(n <= maxPoints/8) {
		return 0, errCurve
	}
	return max(1, int(math.Ceil(n))), nil
}

// cubic follows a Bézier curve from (x0, y0), where the line is, with n even steps. The chords of a curve of degree d are
// within d(d-1)/(8n²) of the greatest second difference of its control points (Wang 1984; bound from memory).
func (o *outline) cubic(x0, y0, x1, y1, x2, y2, x3, y3 float64) error {
	x0, y0 = o.m.apply(x0, y0)
	x1, y1 = o.m.apply(x1, y1)
	x2, y2 = o.m.apply(x2, y2)
	x3, y3 = o.m.apply(x3, y3)
	second := max(math.Hypot(x0-2*x1+x2, y0-2*y1+y2), math.Hypot(x1-2*x2+x3, y1-2*y2+y3))
	n, err := pieces(math.Sqrt(6.0 / 8 * second / Flatness))
	if err != nil {
		return err
	}
	for i := 1; i < n; i++ {
		t := float64(i) / float64(n)
		u := 1 - t
		a, b, c, d := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
		o.flat = append(o.flat, a*x0+b*x1+c*x2+d*x3, a*y0+b*y1+c*y2+d*y3)
	}
	o.flat = append(o.flat, x3, y3)
	return nil
}

// quadratic follows a Bézier curve of degree two, which is also one of degree three.
func (o *outline) quadratic(x0, y0, x1, y1, x2, y2 float64) error {
	return o.cubic(x0, y0, x0+2*(x1-x0)/3, y0+2*(y1-y0)/3, x2+2*(x1-x2)/3, y2+2*(y1-y2)/3, x2, y2)
}

// ellipse follows the arc centre + u cos t + v sin t from the angle t0, exclusive, over the angle sweep, both in radians.
// The end is left to the caller, who knows it exactly.
func (o *outline) ellipse(cx, cy, ux, uy, vx, vy, t0, sweep float64) error {
	// The longer half axis of the mapped ellipse bounds its radii.
	m := o.m.mul(matrix{ux, uy, vx, vy, cx, cy})
	r := m.stretch()
	if math.IsNaN(r) || math.IsInf(r, 0) {
		return errCurve
	}
	// A chord over the angle a departs from a circle by r(1 - cos(a/2)).
	step := math.Pi / 2
	if r > Flatness {
		step = min(step, 2*math.Acos(1-Flatness/r))
	}
	n, err := pieces(math.Abs(sweep) / step)
	if err != nil {
		return err
	}
	for i := 1; i < n; i++ {
		s, c := math.Sincos(t0 + sweep*float64(i)/float64(n))
		x, y := m.apply(c, s)
		o.flat = append(o.flat, x, y)
	}
	return nil
}

// arc follows an elliptical arc as SVG gives it: from (x0, y0), where the line is, to (x, y) with the half axes rx and ry, the first turned by
// an angle in degrees. The steps to its centre are those of SVG 2, B.2.4 and B.2.5 (radii that are too small grow).
func (o *outline) arc(x0, y0, rx, ry, turn float64, large, sweep bool, x, y float64) error {
	if x0 == x && y0 == y {
		return nil
	}
	rx, ry = math.Abs(rx), math.Abs(ry)
	if rx == 0 || ry == 0 {
		o.to(x, y)
		return nil
	}
	sin, cos := sincos(turn)
	dx, dy := (x0-x)/2, (y0-y)/2
	px, py := (cos*dx+sin*dy)/rx, (cos*dy-sin*dx)/ry // half the chord on the unit circle
	h := math.Hypot(px, py)
	if h > 1 {
		rx, ry = rx*h, ry*h
		px, py = px/h, py/h
		h = 1
	}
	k := math.Sqrt(max(0, 1-h*h)) / h
	if large == sweep {
		k = -k
	}
	qx, qy := k*py, -k*px // the centre on the unit circle, from the middle of the chord
	t0, t1 := math.Atan2(py-qy, px-qx), math.Atan2(-py-qy, -px-qx)
	a := t1 - t0
	switch {
	case sweep && a < 0:
		a += 2 * math.Pi
	case !sweep && a > 0:
		a -= 2 * math.Pi
	}
	ux, uy, vx, vy := rx*cos, rx*sin, -ry*sin, ry*cos
	err := o.ellipse(qx*ux+qy*vx+(x0+x)/2, qx*uy+qy*vy+(y0+y)/2, ux, uy, vx, vy, t0, a)
	o.to(x, y)
	return err
}
