package fit

import (
	"math"
	"math/rand/v2"
	"testing"
)

// unfold gives points along the arcs.
func unfold(v []Vertex, closed bool) (points []float64) {
	for i, a := range v {
		points = append(points, a.X, a.Y)
		if i+1 == len(v) && !closed {
			break
		}
		b := v[(i+1)%len(v)]
		if a.Bulge != 0 {
			// From the definition: a chord c, a sagitta of bulge c/2 to the right of it in axes with y up for a
			// positive bulge (DXF Reference), three points on the circle.
			dx, dy := b.X-a.X, b.Y-a.Y
			angle := 4 * math.Atan(a.Bulge)
			r := math.Hypot(dx, dy) / 2 / math.Sin(angle/2)
			mx, my := (a.X+b.X)/2, (a.Y+b.Y)/2
			h := r * math.Cos(angle/2)
			l := math.Hypot(dx, dy)
			cx, cy := mx-h*dy/l, my+h*dx/l
			from := math.Atan2(a.Y-cy, a.X-cx)
			const n = 60
			for k := 1; k < n; k++ {
				sin, cos := math.Sincos(from + angle*float64(k)/n)
				points = append(points, cx+math.Abs(r)*cos, cy+math.Abs(r)*sin)
			}
		}
	}
	if closed {
		points = append(points, points[0], points[1])
	}
	return points
}

// Worked numbers: from (1, 0) to (0, 1) the bulge of a quarter of the unit circle is tan(22.5°) = 0.414214.
func TestBulge(t *testing.T) {
	var p []float64
	for i := range 201 {
		sin, cos := math.Sincos(math.Pi / 2 * float64(i) / 200)
		p = append(p, cos, sin)
	}
	p = append(p, 0, 0, 1, 0)
	v := Arcs(nil, p, 0.001)
	if len(v) != 3 || math.Abs(v[0].Bulge-0.414214) > 1e-4 && math.Abs(v[1].Bulge-0.414214) > 1e-4 && math.Abs(v[2].Bulge-0.414214) > 1e-4 {
		t.Errorf("%v", v)
	}
	for _, way := range []float64{1, -1} {
		full := ringOf(200, func(u float64) (x, y float64) {
			sin, cos := math.Sincos(way * 2 * math.Pi * u)
			return 3 + 2*cos, 4 + 2*sin
		})
		v := Arcs(nil, full, 0.01)
		if len(v) != 2 || v[0].Bulge != way || v[1].Bulge != way {
			t.Errorf("a circle is %v", v)
		}
	}
}

func TestArcsKeepThePromise(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 6))
	points, vertices := 0, 0
	for range 20 {
		p := wavy(rnd, 60+rnd.IntN(150))
		tolerance := 0.01 + 0.1*rnd.Float64()
		v := Arcs(nil, p, tolerance)
		got := unfold(v, true)
		if d := max(furthest(got, p), furthest(p, got)); d > tolerance {
			t.Fatalf("%g off, want %g", d, tolerance)
		}
		points, vertices = points+len(p)/2, vertices+len(v)
	}
	t.Logf("%d points, %d vertices", points, vertices)
	if vertices*3 > points {
		t.Errorf("%d points became %d vertices", points, vertices)
	}
}

func TestRandomArcs(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 8))
	for range 150 {
		p, closed := randomLine(rnd)
		tolerance := math.Exp(2 * rnd.NormFloat64())
		got := unfold(Arcs(nil, p, tolerance), closed)
		if d := max(furthest(got, p), furthest(p, got)); d > tolerance {
			t.Fatalf("%v: %g off, want %g", p, d, tolerance)
		}
	}
}
