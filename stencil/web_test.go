package stencil

import (
	"math"
	"testing"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/region"
)

// inverse is the cut-out that leaves the given paper of the sheet.
func inverse(t testing.TB, sheet *geom.Bounds, paper ...*geom.Polygon) *geom.MultiPolygon {
	t.Helper()
	mp, err := region.Difference(unite(t, rect(sheet.Min(0), sheet.Min(1), sheet.Max(0), sheet.Max(1))), unite(t, paper...))
	if err != nil {
		t.Fatal(err)
	}
	return mp
}

func near(a, b, by float64) bool { return math.Abs(a-b) <= by }

func TestThinWebBetweenDiscs(t *testing.T) {
	// Corners face each other, so the gap is the distance of the circles.
	cut := unite(t, polygon(circle(xy{20, 20}, 8, 64)), polygon(circle(xy{36.31, 20}, 8, 64)))
	f := one(t, faults(t, cut, bounds(0, 0, 60, 40), nil), ThinWeb)
	if !near(f.Width, 0.31, 1e-6) || !near(f.At[0], 28.155, 1e-6) || !near(f.At[1], 20, 1e-6) || f.Single || f.Caution {
		t.Errorf("got %#v, want 0.31 mm at (28.155, 20)", f)
	}
	// Circles of radius r at distance w are less than n apart over 2·sqrt(r(n-w)), nearly.
	if want := 2 * math.Sqrt(8*(1-0.31)); !near(f.Length, want, 0.9) {
		t.Errorf("length %.2f, want about %.2f", f.Length, want)
	}
	if got, want := f.String(), "web 0.31 mm wide at (28.2, 20.0), need 0.80"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// A corner against the middle of a long side: the web's end lies on no vertex.
func TestThinWebAtSide(t *testing.T) {
	cut := unite(t, rect(5, 20, 55, 30), polygon([]xy{{30, 19.5}, {20, 10}, {40, 10}}))
	f := one(t, faults(t, cut, bounds(0, 0, 60, 40), nil), ThinWeb)
	if !near(f.Width, 0.5, 1e-6) || !near(f.At[0], 30, 1e-6) || !near(f.At[1], 19.75, 1e-6) {
		t.Errorf("got %#v, want 0.5 mm at (30, 19.75)", f)
	}
}

// A web of one width all along, wavy by less than a hundredth, is one place.
func TestThinWebIsOnePlace(t *testing.T) {
	var upper, lower []xy
	for i := range 201 {
		x := 10 + 0.2*float64(i)
		upper = append(upper, xy{x, 20 + 3*math.Sin(x/6) + 0.004*math.Sin(9*x)})
		lower = append(lower, xy{x, 20.6 + 3*math.Sin(x/6) + 0.004*math.Sin(7*x)})
	}
	upper = append(upper, xy{50, 5}, xy{10, 5})
	lower = append(lower, xy{50, 40}, xy{10, 40})
	f := one(t, faults(t, unite(t, polygon(upper), polygon(lower)), bounds(0, 0, 60, 45), nil), ThinWeb)
	if !near(f.Width, 0.6*math.Cos(math.Atan(0.5)), 0.03) || !near(f.Length, 44.5, 4) {
		t.Errorf("got %#v, want about 0.54 mm wide and 44 long", f)
	}
}

// A stalk that alone holds a flower head: thin, and all of the head hangs on it.
func TestThinStalkIsSingle(t *testing.T) {
	sheet := bounds(0, 0, 60, 60)
	cut, err := region.Difference(unite(t, rect(10, 10, 50, 50)),
		unite(t, polygon(circle(xy{30, 25}, 6, 48)), rect(29.7, 25, 30.3, 55)))
	if err != nil {
		t.Fatal(err)
	}
	f := one(t, faults(t, cut, sheet, nil), ThinWeb)
	// It will tear at the root, where the head's 113 mm² and the stalk's 12 hang, and
	// reach 31 mm: to the top of the head at (30, 19).
	if !near(f.At[1], 50, 1e-6) || !near(f.Width, 0.6, 1e-6) || !f.Single ||
		!near(f.Area, math.Pi*36+0.6*19, 1) || !near(f.Reach, 31, 0.6) || !near(f.Length, 19, 0.2) {
		t.Errorf("got %#v, want a single web 0.60 wide and 19 long that holds about 124 mm²", f)
	}
	if f.Shape == nil || !near(f.Shape.Area(), f.Area, 1e-9) {
		t.Errorf("shape %v, want the flower head", f.Shape)
	}
}

// A finely wavy side along the straight edge of the sheet: one place, though the
// sheet's edge has corners at its ends only.
func TestThinWebAlongTheSheet(t *testing.T) {
	var ring []xy
	for i := range 2000 {
		ring = append(ring, xy{10 + 0.095*float64(i), 0.7 + 0.01*math.Sin(float64(i))})
	}
	ring = append(ring, xy{200, 100}, xy{10, 100})
	f := one(t, faults(t, unite(t, polygon(ring)), bounds(0, 0, 210, 140), nil), ThinWeb)
	if !near(f.Width, 0.69, 1e-4) || !near(f.Length, 190, 2) {
		t.Errorf("got %#v, want 0.69 mm wide and 190 long", f)
	}
}
