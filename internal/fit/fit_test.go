package fit

import (
	"math"
	"math/rand/v2"
	"testing"
)

// ringOf closes a ring given by a function of the way round from 0 to 1.
func ringOf(n int, at func(t float64) (x, y float64)) []float64 {
	var p []float64
	for i := range n {
		x, y := at(float64(i) / float64(n))
		p = append(p, x, y)
	}
	return append(p, p[0], p[1])
}

func circleOf(n int, r float64) []float64 {
	return ringOf(n, func(t float64) (x, y float64) {
		sin, cos := math.Sincos(2 * math.Pi * (t + 0.013))
		return 40 + r*cos, 30 + r*sin
	})
}

// flatten gives points along the segments, 60 to a curve.
func flatten(s []Segment) (points []float64) {
	var x, y float64
	for _, g := range s {
		switch g.Kind {
		case Curve:
			const n = 60
			for i := 1; i <= n; i++ {
				t := float64(i) / n
				u := 1 - t
				a, b, c, d := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
				points = append(points, a*x+b*g.X1+c*g.X2+d*g.X, a*y+b*g.Y1+c*g.Y2+d*g.Y)
			}
		default:
			points = append(points, g.X, g.Y)
		}
		x, y = g.X, g.Y
	}
	return points
}

// furthest is the greatest distance from the line a, looked at on up to 9 points of each edge, to the line b.
func furthest(a, b []float64) float64 {
	if len(a) == 2 {
		a = append(a[:2:2], a...)
	}
	if len(b) == 2 {
		b = append(b[:2:2], b...)
	}
	worst := 0.0
	for i := 0; i+3 < len(a); i += 2 {
		steps := min(8, 1+int(40*math.Hypot(a[i+2]-a[i], a[i+3]-a[i+1])))
		for k := range steps + 1 {
			f := float64(k) / float64(steps)
			x, y := a[i]+f*(a[i+2]-a[i]), a[i+1]+f*(a[i+3]-a[i+1])
			best := math.Inf(1)
			for j := 0; j+3 < len(b); j += 2 {
				dx, dy := b[j+2]-b[j], b[j+3]-b[j+1]
				t := 0.0
				if l2 := dx*dx + dy*dy; l2 > 0 {
					t = min(1, max(0, ((x-b[j])*dx+(y-b[j+1])*dy)/l2))
				}
				best = min(best, math.Hypot(x-b[j]-t*dx, y-b[j+1]-t*dy))
			}
			worst = max(worst, best)
		}
	}
	return worst
}

func count(s []Segment, k Kind) (n int) {
	for _, g := range s {
		if g.Kind == k {
			n++
		}
	}
	return n
}

// keepsPromise looks at the shape of the result and at its distance from the points, both ways.
func keepsPromise(t *testing.T, points []float64, s []Segment, tolerance float64) {
	t.Helper()
	if len(s) == 0 || s[0].Kind != Move || count(s, Move) != 1 {
		t.Fatalf("%d segments, %d moves", len(s), count(s, Move))
	}
	last := s[len(s)-1]
	n := len(points)
	if points[0] == points[n-2] && points[1] == points[n-1] {
		if math.Hypot(last.X-s[0].X, last.Y-s[0].Y) > 1e-9 {
			t.Fatalf("open: from (%g, %g) to (%g, %g)", s[0].X, s[0].Y, last.X, last.Y)
		}
	} else if s[0].X != points[0] || s[0].Y != points[1] || last.X != points[n-2] || last.Y != points[n-1] {
		t.Fatal("an end has moved")
	}
	got := flatten(s)
	if d := furthest(got, points); d > tolerance {
		t.Errorf("the result is %g off, want %g", d, tolerance)
	}
	if d := furthest(points, got); d > tolerance {
		t.Errorf("the outline is %g off, want %g", d, tolerance)
	}
}

func TestCircleIsFourCurves(t *testing.T) {
	for _, n := range []int{16, 24, 100, 1000} {
		const r = 10
		tolerance := 1.6 * r * (1 - math.Cos(math.Pi/float64(n)))
		tolerance = max(tolerance, 0.02)
		p := circleOf(n, r)
		s := Curves(nil, p, tolerance)
		keepsPromise(t, p, s, tolerance)
		if len(s) != 5 || count(s, Curve) != 4 {
			t.Errorf("%d points: %d segments, want a move and 4 curves", n, len(s))
		}
	}
}

func TestCornersStay(t *testing.T) {
	p := []float64{0, 0, 30, 0, 30, 20, 0, 20, 0, 0}
	s := Curves(nil, p, 0.1)
	keepsPromise(t, p, s, 1e-9)
	if len(s) != 5 || count(s, Curve) != 0 {
		t.Errorf("a rectangle is %v", s)
	}
	star := ringOf(10, func(u float64) (x, y float64) {
		r := 10.0
		if int(math.Round(u*10))%2 == 1 {
			r = 6
		}
		sin, cos := math.Sincos(2 * math.Pi * u)
		return r * cos, r * sin
	})
	keepsPromise(t, star, Curves(nil, star, 0.1), 1e-9)
}

// A stadium: two straight sides, two half circles that join them smoothly.
func TestStadium(t *testing.T) {
	var p []float64
	for i := range 25 {
		sin, cos := math.Sincos(math.Pi * float64(i) / 24)
		p = append(p, 40+10*sin, 10-10*cos)
	}
	for i := range 25 {
		sin, cos := math.Sincos(math.Pi * float64(i) / 24)
		p = append(p, 10-10*sin, 10+10*cos)
	}
	p = append(p, p[0], p[1])
	s := Curves(nil, p, 0.05)
	keepsPromise(t, p, s, 0.05)
	if count(s, Line) != 2 || count(s, Curve) > 4 {
		t.Errorf("%d lines, %d curves: want 2 and 4", count(s, Line), count(s, Curve))
	}
}

func TestOpenLine(t *testing.T) {
	var p []float64
	for i := range 60 {
		x := float64(i) / 4
		p = append(p, x, 2*math.Sin(x))
	}
	s := Curves(nil, p, 0.05)
	keepsPromise(t, p, s, 0.05)
	if len(s) > 14 {
		t.Errorf("60 points became %d segments", len(s))
	}
	for _, p := range [][]float64{{1, 2, 3, 4}, {1, 2, 3, 4, 3, 4}, {1, 2, 1, 2}, {1, 2}} {
		if s := Curves(nil, p, 0.1); len(s) == 0 || s[0].Kind != Move || len(s) > 2 {
			t.Errorf("%v: %v", p, s)
		}
	}
}

// Hand-drawn rings: a few waves round a circle, some of them with corners.
func wavy(rnd *rand.Rand, n int) []float64 {
	type wave struct{ k, a, p float64 }
	var waves []wave
	for range 1 + rnd.IntN(4) {
		k := float64(1 + rnd.IntN(6))
		waves = append(waves, wave{k, 6 * rnd.Float64() / k / k, rnd.Float64() * 7})
	}
	corner := rnd.IntN(3) == 0
	return ringOf(n, func(t float64) (x, y float64) {
		r := 10.0
		for _, w := range waves {
			v := math.Sin(2*math.Pi*w.k*t + w.p)
			if corner {
				v = math.Abs(v)
			}
			r += w.a * v
		}
		sin, cos := math.Sincos(2 * math.Pi * t)
		return r * cos, r * sin
	})
}

func TestCurvesKeepThePromise(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	points, segments := 0, 0
	for range 25 {
		p := wavy(rnd, 60+rnd.IntN(200))
		tolerance := 0.005 + 0.1*rnd.Float64()
		s := Curves(nil, p, tolerance)
		keepsPromise(t, p, s, tolerance)
		if t.Failed() {
			t.FailNow()
		}
		points, segments = points+len(p)/2, segments+len(s)
	}
	t.Logf("%d points, %d segments", points, segments)
	if segments*5 > points {
		t.Errorf("%d points became %d segments", points, segments)
	}
}

func randomLine(rnd *rand.Rand) (p []float64, closed bool) {
	x, y := 0.0, 0.0
	for range 3 + rnd.IntN(30) {
		p = append(p, x, y)
		l := math.Exp(3 * rnd.NormFloat64())
		x, y = x+l*rnd.NormFloat64(), y+l*rnd.NormFloat64()
	}
	if closed = rnd.IntN(2) == 0; closed {
		p = append(p, p[0], p[1])
	}
	return p, closed
}

func TestRandomLines(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	for range 150 {
		p, _ := randomLine(rnd)
		tolerance := math.Exp(2 * rnd.NormFloat64())
		keepsPromise(t, p, Curves(nil, p, tolerance), tolerance)
		if t.Failed() {
			t.Fatal(p, tolerance)
		}
	}
}
