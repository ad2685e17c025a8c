package proof

import (
	"errors"
	"math"
)

// spline follows a SPLINE: a rational B-spline of any degree up to ten. It reports whether the curve is closed.
func (o *outline) spline(v *values) (closed bool, err error) {
	degree, flags := v.integer(71), v.integer(70)
	knots, xs, ys, weights := v.list(40), v.list(10), v.list(20), v.list(41)
	n := len(xs)
	switch {
	case v.err != nil:
		return false, v.err
	case n == 0 && len(v.list(11)) > 0:
		return false, errors.New("it has fit points only; save it with control points")
	case degree < 1 || degree > 10:
		return false, errors.New("its degree is not between 1 and 10")
	case n <= degree || len(ys) != n || len(knots) != n+degree+1 || len(weights) != 0 && len(weights) != n:
		return false, errors.New("the numbers of its knots and control points do not agree")
	}
	for i := 1; i < len(knots); i++ {
		if knots[i] < knots[i-1] {
			return false, errors.New("its knots fall")
		}
	}
	c := &bspline{degree: degree, knots: knots, points: make([][3]float64, n)}
	heavy, light := 1.0, 1.0
	for i := range n {
		w := 1.0
		if len(weights) > 0 {
			if w = weights[i]; !(w > 0) {
				return false, errors.New("a weight is not above 0")
			}
		}
		x, y := o.m.apply(xs[i], ys[i])
		c.points[i] = [3]float64{x * w, y * w, w}
		heavy, light = max(heavy, w), min(light, w)
	}
	first := true
	for i := degree; i < n; i++ {
		t0, t1 := knots[i], knots[i+1]
		if t0 == t1 {
			continue
		}
		if first {
			o.flat = append(o.flat, c.at(t0, i)...)
			first = false
		}
		steps, err := pieces(c.steps(i, heavy/light))
		if err != nil {
			return false, err
		}
		for k := 1; k <= steps; k++ {
			o.flat = append(o.flat, c.at(t0+(t1-t0)*float64(k)/float64(steps), i)...)
		}
		if len(o.flat) > 2*maxPoints {
			return false, errTooMany
		}
	}
	m := len(o.flat)
	closed = flags&1 == 1 && m > 4 && math.Hypot(o.flat[0]-o.flat[m-2], o.flat[1]-o.flat[m-1]) < Flatness
	return closed, nil
}

// bspline is a B-spline in mm, its points times their weights, with the weights.
type bspline struct {
	degree int
	knots  []float64
	points [][3]float64
}

// at is the point at t in knots[i] to knots[i+1], by de Boor's algorithm.
func (c *bspline) at(t float64, i int) []float64 {
	var d [11][3]float64
	p := c.degree
	copy(d[:p+1], c.points[i-p:i+1])
	for r := 1; r <= p; r++ {
		for j := p; j >= r; j-- {
			lo, hi := c.knots[j+i-p], c.knots[j+1+i-r]
			a := 0.0
			if hi > lo {
				a = (t - lo) / (hi - lo)
			}
			for k := range 3 {
				d[j][k] = (1-a)*d[j-1][k] + a*d[j][k]
			}
		}
	}
	return []float64{d[p][0] / d[p][2], d[p][1] / d[p][2]}
}

// steps is how many chords the piece from knots[i] needs. The second derivative of a B-spline is again one, whose control points bound it; a
// chord over the step h departs by h²/8 of that. Weights bend the curve more: the bound grows with their ratio (generously).
func (c *bspline) steps(i int, ratio float64) float64 {
	p := c.degree
	span := c.knots[i+1] - c.knots[i]
	first := func(j int) (x, y float64) { // the control points of the derivative
		w := c.knots[j+p] - c.knots[j]
		if w == 0 {
			return 0, 0
		}
		a, b := c.points[j-1], c.points[j]
		return float64(p) * (b[0]/b[2] - a[0]/a[2]) / w, float64(p) * (b[1]/b[2] - a[1]/a[2]) / w
	}
	second := 0.0
	for j := i - p + 2; j <= i; j++ {
		w := c.knots[j+p-1] - c.knots[j]
		if w == 0 {
			continue
		}
		ax, ay := first(j - 1)
		bx, by := first(j)
		second = max(second, float64(p-1)*math.Hypot(bx-ax, by-ay)/w)
	}
	n := math.Sqrt(span * span * second / 8 / Flatness)
	if ratio > 1 {
		// A rational piece has no second derivative that small; each control leg turns by half a circle at most.
		n = max(n*ratio*ratio, 8*float64(p))
	}
	return n
}
