package offset

import (
	"math"
	"testing"

	"example.org/kerfleaf/internal/ring"
)

// disc is a regular polygon of many corners.
func disc(x, y, r float64) []float64 {
	const n = 2000
	var out []float64
	for k := range n {
		t := 2 * math.Pi * float64(k) / n
		out = append(out, x+r*math.Cos(t), y+r*math.Sin(t))
	}
	return append(out, out[0], out[1])
}

// Shapes whose rings part, meet and vanish at a distance known beforehand.
func TestGallery(t *testing.T) {
	dumbbell := [][]float64{{0, 0, 20, 0, 20, 9, 30, 9, 30, 0, 50, 0, 50, 20, 30, 20, 30, 11, 20, 11, 20, 20, 0, 20, 0, 0}}
	lagoon := [][]float64{{0, 0, 20, 0, 20, 9, 18, 9, 18, 2, 2, 2, 2, 18, 18, 18, 18, 11, 20, 11, 20, 20, 0, 20, 0, 0}}
	for _, c := range []struct {
		name            string
		rings           [][]float64
		d               float64
		polygons, holes int
	}{
		{"dumbbell, neck 2 wide", dumbbell, -0.999, 1, 0},
		{"its neck has closed", dumbbell, -1.001, 2, 0},
		{"squares about to vanish", dumbbell, -9.99, 2, 0},
		{"vanished", dumbbell, -10.01, 0, 0},
		{"discs 4 apart", [][]float64{disc(0, 0, 5), disc(14, 0, 5)}, 1.998, 2, 0},
		{"merged", [][]float64{disc(0, 0, 5), disc(14, 0, 5)}, 2.002, 1, 0},
		{"a hole of radius 3", [][]float64{disc(0, 0, 10), disc(0, 0, 3)}, 2.98, 1, 1},
		{"filled", [][]float64{disc(0, 0, 10), disc(0, 0, 3)}, 3.01, 1, 0},
		{"a band 7 wide", [][]float64{disc(0, 0, 10), disc(0, 0, 3)}, -3.49, 1, 1},
		{"gone", [][]float64{disc(0, 0, 10), disc(0, 0, 3)}, -3.51, 0, 0},
		{"lagoon with a mouth 2 wide", lagoon, 0.999, 1, 0},
		{"its mouth has closed", lagoon, 1.001, 1, 1},
		{"and it has filled", lagoon, 8.01, 1, 0},
		{"grown far beyond its size", [][]float64{disc(3, 4, 0.5)}, 500, 1, 0},
	} {
		out := mustOffset(t, area(c.rings...), c.d, nil)
		rings := len(ring.Rings(out))
		if out.NumPolygons() != c.polygons || rings-out.NumPolygons() != c.holes {
			t.Errorf("%s: by %v: %d polygons with %d holes, want %d with %d", c.name, c.d, out.NumPolygons(), rings-out.NumPolygons(), c.polygons, c.holes)
		}
	}
}

// A notched panel with a hole, mitred: every coordinate is known.
func TestPanel(t *testing.T) {
	panel := area([]float64{0, 0, 120, 0, 120, 80, 70, 80, 70, 72, 50, 72, 50, 80, 0, 80, 0, 0}, rect(20, 20, 100, 60))
	for _, d := range []float64{0.05, -0.05} {
		out := mustOffset(t, panel, d, &Options{Join: Miter})
		want := area(
			[]float64{-d, -d, 120 + d, -d, 120 + d, 80 + d, 70 - d, 80 + d, 70 - d, 72 + d, 50 + d, 72 + d, 50 + d, 80 + d, -d, 80 + d, -d, -d},
			rect(20+d, 20+d, 100-d, 60-d))
		a, b := ring.Rings(out), ring.Rings(want)
		if len(a) != 2 || len(a[0]) != len(b[0]) || len(a[1]) != len(b[1]) {
			t.Fatalf("by %v: %v", d, out.FlatCoords())
		}
		for _, r := range b {
			for i := 0; i < len(r); i += 2 {
				if dist, _ := distance(a, r[i], r[i+1]); dist > 1e-12 {
					t.Errorf("by %v: corner (%v, %v) is off by %v", d, r[i], r[i+1], dist)
				}
			}
		}
	}
}

// The tip of a mitre: 60 degrees reach twice the distance; sharper corners are
// cut off at the limit, square to the bisector.
func TestMiterLimit(t *testing.T) {
	h := math.Sqrt(75)
	tri := area([]float64{0, 0, 10, 0, 5, h, 0, 0})
	// Similar triangle of inradius 2.88675 + 1 and area 3·√3·r².
	r := 5/math.Sqrt(3) + 1
	near(t, "whole", mustOffset(t, tri, 1, &Options{Join: Miter, MiterLimit: 2.0001}).Area(), 3*math.Sqrt(3)*r*r, 1e-9)
	// At a limit of 1.5 each tip loses a triangle of height 0.5 and half angle 30°.
	near(t, "cut", mustOffset(t, tri, 1, &Options{Join: Miter, MiterLimit: 1.5}).Area(), 3*math.Sqrt(3)*r*r-3*0.25/math.Sqrt(3), 1e-9)
}
