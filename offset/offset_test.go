package offset

import (
	"math"
	"testing"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/ring"
)

// area makes polygons of rings, outer and holes told by their nesting.
func area(rings ...[]float64) *geom.MultiPolygon { return ring.Nest(rings) }

func rect(x0, y0, x1, y1 float64) []float64 {
	return []float64{x0, y0, x1, y0, x1, y1, x0, y1, x0, y0}
}

func mustOffset(t *testing.T, mp *geom.MultiPolygon, d float64, o *Options) *geom.MultiPolygon {
	t.Helper()
	out, err := Polygons(mp, d, o)
	if err != nil {
		t.Fatal(err)
	}
	if err := ring.Check(out); err != nil {
		t.Fatalf("offset by %v: %v", d, err)
	}
	return out
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.6f, want %.6f within %g", what, got, want, tol)
	}
}

// Steiner's formulas, 1840: the parallel body at r of a convex area A of
// perimeter P has area A + P r + pi r^2 and perimeter P + 2 pi r; inside, A - P r
// + r^2 times the sum of cot(half angle). Worked: a 10 by 20 rectangle, an L, an
// equilateral triangle.
func TestSteiner(t *testing.T) {
	r := area(rect(0, 0, 10, 20))
	exact := &Options{Tolerance: 1e-6}
	out := mustOffset(t, r, 2, exact)
	near(t, "area", out.Area(), 332.5664, 1e-3)
	near(t, "perimeter", out.Length(), 72.5664, 1e-3)
	near(t, "mitred area", mustOffset(t, r, 2, &Options{Join: Miter}).Area(), 336, 1e-9)
	near(t, "beveled area", mustOffset(t, r, 2, &Options{Join: Bevel}).Area(), 328, 1e-9)
	near(t, "inner area", mustOffset(t, r, -2, nil).Area(), 96, 1e-9)

	l := area([]float64{0, 0, 2, 0, 2, 1, 1, 1, 1, 2, 0, 2, 0, 0})
	near(t, "L", mustOffset(t, l, 0.1, exact).Area(), 3.82927, 1e-5)

	h := math.Sqrt(75)
	tri := area([]float64{0, 0, 10, 0, 5, h, 0, 0})
	near(t, "triangle", mustOffset(t, tri, -1, nil).Area(), 18.4974, 1e-4)
	if out := mustOffset(t, tri, -2.8868, nil); out.NumPolygons() != 0 {
		t.Errorf("triangle shrunk past its inradius 2.88675 has area %v", out.Area())
	}
	if out := mustOffset(t, tri, -2.8866, exact); out.NumPolygons() != 1 {
		t.Errorf("triangle shrunk by just less than its inradius vanished")
	}
}

// A tool that removes 0.2 mm: a 2 by 4 mm opening needs a path of 1.8 by 3.8; the
// piece of the same drawing a path of 2.2 by 4.2. (Common practice; the worked
// numbers are a laser bureau's.)
func TestKerf(t *testing.T) {
	win := area(rect(10, 10, 12, 14))
	in, err := Kerf(win, 0.2)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "opening", in.Area(), 1.8*3.8, 1e-9)
	out, err := Outline(win, 0.2)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "piece", out.Area(), 2.2*4.2, 1e-9)
	same, err := Kerf(win, 0)
	if err != nil || same.Area() != 8 || same == win {
		t.Errorf("no kerf: %v, %v", same, err)
	}
	if _, err := Kerf(win, -1); err == nil {
		t.Error("a negative kerf was accepted")
	}
}
