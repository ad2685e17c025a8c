package trace

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/twpayne/go-geom"
)

// distanceTo is the distance of a point from a closed ring of flat
// coordinates, by brute force.
func distanceTo(flat []float64, x, y float64) float64 {
	best := math.Inf(1)
	for i := 2; i < len(flat); i += 2 {
		best = min(best, segmentDistance2(x, y, flat[i-2], flat[i-1], flat[i], flat[i+1]))
	}
	return math.Sqrt(best)
}

// farthest is the greatest distance of points along ring a from ring b.
func farthest(a, b []float64) float64 {
	worst := 0.0
	for i := 2; i < len(a); i += 2 {
		for k := range 8 {
			u := float64(k) / 8
			worst = max(worst, distanceTo(b, a[i-2]+u*(a[i]-a[i-2]), a[i-1]+u*(a[i+1]-a[i-1])))
		}
	}
	return worst
}

func mustKeepPromise(t *testing.T, m, s *geom.MultiPolygon, tolerance float64) {
	t.Helper()
	mustBeValid(t, s)
	if m.NumPolygons() != s.NumPolygons() {
		t.Fatalf("%d polygons became %d", m.NumPolygons(), s.NumPolygons())
	}
	for i := range m.NumPolygons() {
		p, q := m.Polygon(i), s.Polygon(i)
		if p.NumLinearRings() != q.NumLinearRings() {
			t.Fatalf("polygon %d: %d rings became %d", i, p.NumLinearRings(), q.NumLinearRings())
		}
		for j := range p.NumLinearRings() {
			a, b := p.LinearRing(j).FlatCoords(), q.LinearRing(j).FlatCoords()
			if d := max(farthest(a, b), farthest(b, a)); d > tolerance*(1+1e-9) {
				t.Fatalf("polygon %d ring %d departs by %g, promised %g", i, j, d, tolerance)
			}
		}
	}
}

func TestSimplifyKeepsItsPromise(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 7))
	for n := range 40 {
		m := tracedWhole(t, randomPicture(rnd, 30, 20, []int{2, 3, 256}[n%3]), Options{Threshold: 0.4})
		for _, tolerance := range []float64{0.01, 0.3, 0.71, 2} {
			before := append([]float64(nil), m.FlatCoords()...)
			s := Simplify(m, tolerance)
			mustKeepPromise(t, m, s, tolerance)
			mustKeepPromise(t, m, simplified(m, tolerance, true), tolerance)
			for i, v := range before {
				if m.FlatCoords()[i] != v {
					t.Fatal("Simplify changed its input")
				}
			}
		}
	}
}

func nodesOf(m *geom.MultiPolygon) int {
	n := len(m.FlatCoords()) / 2
	for _, ends := range m.Endss() {
		n -= len(ends)
	}
	return n
}

// On a circle of radius r the arc between neighbouring vertices may bulge by
// the tolerance: at least ceil(π/acos(1-tolerance/r)) are needed.
func TestSimplifyCircle(t *testing.T) {
	for _, c := range []struct {
		r, tolerance float64
		chords       int
	}{{10, 0.05, 32}, {50, 0.05, 71}, {10, 0.1, 23}} {
		var flat []float64
		const n = 5000
		for i := range n + 1 {
			s, k := math.Sincos(2 * math.Pi * float64(i%n) / n)
			flat = append(flat, c.r*k, c.r*s)
		}
		m := geom.NewMultiPolygonFlat(geom.XY, flat, [][]int{{len(flat)}})
		s := Simplify(m, c.tolerance)
		if got := nodesOf(s); got < c.chords || got > c.chords+1 {
			t.Errorf("radius %g, tolerance %g: %d nodes, want %d", c.r, c.tolerance, got, c.chords)
		}
		mustKeepPromise(t, m, s, c.tolerance)
	}
}
