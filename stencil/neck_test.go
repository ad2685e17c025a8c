package stencil

import (
	"math"
	"testing"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/region"
)

func necks(t testing.TB, cut *geom.MultiPolygon, sheet *geom.Bounds) []Neck {
	t.Helper()
	n, err := Necks(cut, sheet)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// Two squares of 20 by 20 mm joined by a web 10 mm long and 2 mm wide.
func TestDumbbell(t *testing.T) {
	sheet := bounds(0, 0, 50, 20)
	cut := inverse(t, sheet, rect(0, 0, 20, 20), rect(20, 9, 30, 11), rect(30, 0, 50, 20))
	got := necks(t, cut, sheet)
	if len(got) != 1 {
		t.Fatalf("%d necks, want 1: %v", len(got), got)
	}
	n := got[0]
	if !near(n.Width, 2, 0.02) || !n.Single || !near(n.Area, 410, 11) || !near(n.Reach, math.Hypot(25, 10), 6) {
		t.Errorf("got %#v, want 2.0 mm wide, single, about 410 mm² that reach about 27 mm", n)
	}
	if !near(n.At[0], 25, 5.01) || !near(n.At[1], 10, 0.01) {
		t.Errorf("neck at %v, want on the web from (20, 10) to (30, 10)", n.At)
	}
}

// Squares A, B, C, D joined by webs AB 5, BC 2, AC 3 and CD 4 mm wide. The widest way
// from D to A leads over C and is 3 mm wide (a worked example of Hu's theorem, 1961).
func TestWidestPath(t *testing.T) {
	sheet := bounds(-5, -5, 75, 75)
	a, b, c, d := rect(0, 0, 16, 16), rect(24, 0, 36, 12), rect(0, 24, 12, 36), rect(0, 44, 10, 54)
	cut := inverse(t, sheet,
		a, b, c, d,
		rect(15, 4, 25, 9), // AB
		polygon([]xy{{24, 10.5}, {26, 12}, {12, 33}, {10, 31}}), // BC, about 2
		rect(4, 15, 7, 25), // AC
		rect(3, 35, 7, 45), // CD
		rect(-5, 0, 2, 16), // A is the one at the sheet's edge
	)
	got := necks(t, cut, sheet)
	want := []struct {
		width  float64
		single bool
		at     xy
	}{{3, false, xy{5.5, 20}}, {4, true, xy{5, 40}}, {5, false, xy{20, 6.5}}}
	if len(got) != len(want) {
		t.Fatalf("%d necks, want %d: %+v", len(got), len(want), got)
	}
	for i, w := range want {
		n := got[i]
		if !near(n.Width, w.width, 0.02) || n.Single != w.single || math.Hypot(n.At[0]-w.at.x, n.At[1]-w.at.y) > 6 {
			t.Errorf("neck %d is %+v, want %g mm wide near %v, single %v", i, n, w.width, w.at, w.single)
		}
	}
	if n := got[1]; !near(n.Area, 100, 45) {
		t.Errorf("on the neck of D hang %.0f mm², want 100 and some of the web", n.Area)
	}
}

// The narrowest place on the way from left to right is from the spike to the middle of
// the long side above, 10 mm; the tips beside it are farther from the spike, but nearer
// to one another than the side is long, so that a triangle lies between them.
func TestNeckBeyondTriangle(t *testing.T) {
	cut := unite(t,
		polygon([]xy{{50, 30}, {65, 100}, {35, 100}}),
		rect(20, 0, 80, 20),
		polygon([]xy{{44, 21}, {25, 24}, {25, 20.6}}),
		polygon([]xy{{56, 21}, {75, 20.6}, {75, 24}}),
	)
	for _, n := range necks(t, cut, bounds(0, 0, 100, 100)) {
		if n.Area > 1000 {
			if !near(n.Width, 10, 1e-5) || !n.Single || !near(n.At[1], 25, 1e-5) {
				t.Errorf("got %+v, want 10 mm at (50, 25)", n)
			}
			return
		}
	}
	t.Error("no neck between the two halves")
}

func TestWeakNeck(t *testing.T) {
	// 1.5 mm holds a leaf that reaches 50 mm: sqrt(6·0.05·50/5.5) = 1.65 mm.
	cut, err := region.Difference(unite(t, rect(10, 10, 90, 50)),
		unite(t, rect(15, 20, 60, 40), rect(55, 29.25, 91, 30.75)))
	if err != nil {
		t.Fatal(err)
	}
	sheet := bounds(0, 0, 100, 60)
	got := faults(t, cut, sheet, &Options{Sag: 90})
	f := one(t, got, WeakNeck)
	if !near(f.Width, 1.5, 1e-6) || !near(f.Need, math.Sqrt(6*0.05*f.Reach/5.5), 1e-9) || f.Reach < 45 || !near(f.Area, 900, 50) {
		t.Errorf("got %#v", f)
	}
	if got := faults(t, cut, sheet, &Options{Sag: 90, Snag: 0.02}); len(got) != 0 {
		t.Errorf("a smaller snag is borne, but got %v", got)
	}
}

// Five squares in a row hang on one another: each web between them holds all beyond
// it. In a ring that meets the frame twice none does (cut edges, Tarjan 1974: a path
// of n nodes has n-1, a cycle none).
func TestSingleNecksOfChainAndRing(t *testing.T) {
	for _, c := range []struct {
		end    float64
		single int
	}{{62, 5}, {70, 0}} {
		paper := []*geom.Polygon{rect(5, 19, c.end, 21)}
		for i := range 5 {
			x := 14 + 10*float64(i)
			paper = append(paper, rect(x, 17, x+6, 23))
		}
		cut, err := region.Difference(unite(t, rect(10, 10, 66, 30)), unite(t, paper...))
		if err != nil {
			t.Fatal(err)
		}
		n, last := 0, math.Inf(1)
		for _, k := range necks(t, cut, bounds(0, 0, 76, 40)) {
			if k.Single && near(k.Width, 2, 1e-6) {
				n++
				last = math.Min(last, k.Area)
			}
		}
		if n != c.single || n > 0 && !near(last, 36, 10) {
			t.Errorf("up to %.0f mm: %d single necks, the last holds %.0f mm², want %d and 36", c.end, n, last, c.single)
		}
	}
}
