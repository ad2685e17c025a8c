package stencil

import (
	"math"
	"testing"

	"example.org/kerfleaf/internal/region"
)

func TestThickenDiscs(t *testing.T) {
	cut := unite(t, polygon(circle(xy{20, 20}, 8, 256)), polygon(circle(xy{36.3, 20}, 8, 256)))
	out, left, err := Thicken(cut, 0.8)
	if err != nil || len(left) != 0 {
		t.Fatalf("%v, %v", left, err)
	}
	valid(t, out)
	if got := faults(t, out, bounds(0, 0, 60, 40), &Options{Caution: 0.8}); len(got) == 1 && got[0].Width < 0.799 || len(got) > 1 {
		t.Errorf("after Thicken: %v", got)
	}
	// Where the circles are 0.8 apart is where growing ends: 2·acos(1 - 0.25/8) wide.
	// The segments cut off there are all that may change, but for a tenth more where
	// the strip goes over smoothly into the circles.
	half := math.Acos(1 - 0.25/8)
	segment := 64 * (half - math.Sin(half)*math.Cos(half))
	if less := cut.Area() - out.Area(); less <= 0 || less > 2.2*segment {
		t.Errorf("%.3f mm² less to cut, want between 0 and %.3f", less, 2.2*segment)
	}
	// Edges stay smooth: no corner sharper than 12 degrees where there were 1.4.
	for i := range out.NumPolygons() {
		flat := out.Polygon(i).LinearRing(0).FlatCoords()
		n := len(flat)/2 - 1
		for k := range n {
			p := func(j int) xy { return xy{flat[2*(j%n)], flat[2*(j%n)+1]} }
			u, v := p(k+1).sub(p(k)), p(k+2).sub(p(k+1))
			if u.norm() < 0.005 || v.norm() < 0.005 {
				continue
			}
			if turn := math.Abs(math.Atan2(u.cross(v), u.dot(v))); turn > 12*math.Pi/180 {
				t.Errorf("corner of %.1f° at %v", turn*180/math.Pi, p(k+1))
			}
		}
	}
}

func TestThickenTangles(t *testing.T) {
	const cell = 0.05
	seeds := int64(16)
	if testing.Short() {
		seeds = 3
	}
	for seed := range seeds {
		cut, sheet := tangle(t, 200+seed, 8+2*int(seed))
		out, left, err := Thicken(cut, 0.8)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		valid(t, out)
		if out.NumPolygons() != cut.NumPolygons() {
			t.Errorf("seed %d: %d cut areas became %d", seed, cut.NumPolygons(), out.NumPolygons())
		}
		if extra, err := region.Difference(out, cut); err != nil || extra.Area() > 1e-6 {
			t.Errorf("seed %d: %.6f mm² more is cut than before (%v)", seed, extra.Area(), err)
		}
		accounted(t, seed, scan(out, sheet, cell), sheet, cell, 0.4-cell, left)
	}
}

// Two slits with a hair between them: growing it would close both.
func TestThickenReportsWhatCannotGrow(t *testing.T) {
	cut := unite(t, rect(10, 10, 40, 10.2), rect(10, 10.3, 40, 10.5))
	out, left, err := Thicken(cut, 0.8)
	if err != nil {
		t.Fatal(err)
	}
	f := one(t, left, ThinWeb)
	if !near(f.Width, 0.1, 1e-6) || out.Area() != cut.Area() {
		t.Errorf("got %v and %.3f mm², want the web of 0.10 and all %.3f", f, out.Area(), cut.Area())
	}
}

func TestThickenLeavesSoundAlone(t *testing.T) {
	cut, _ := lace(100, 5)
	out, left, err := Thicken(cut, 0.5)
	if err != nil || len(left) != 0 {
		t.Fatal(left, err)
	}
	if len(out.FlatCoords()) != len(cut.FlatCoords()) || out.Area() != cut.Area() {
		t.Error("a sound cut-out was changed")
	}
}
