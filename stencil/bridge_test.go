package stencil

import (
	"errors"
	"math"
	"reflect"
	"testing"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/region"
	"example.org/kerfleaf/offset"
)

func bridge(t testing.TB, cut *geom.MultiPolygon, o BridgeOptions) (*geom.MultiPolygon, []Strap) {
	t.Helper()
	out, straps, err := Bridge(cut, &o)
	if err != nil {
		t.Fatal(err)
	}
	valid(t, out)
	return out, straps
}

func TestBridgePictures(t *testing.T) {
	for _, c := range pictures {
		cut, sheet := picture(t, c.rows)
		for _, width := range []float64{0.3, 1, 2} {
			out, straps := bridge(t, cut, BridgeOptions{Width: width, Sheet: sheet})
			if n := len(straps); n < c.parts-1 {
				t.Errorf("%s: %d straps for %d parts", c.name, n, c.parts)
			}
			if got := islands(t, out, sheet); len(got) != 0 {
				t.Errorf("%s, %.1f mm: %v", c.name, width, got[0])
			}
			if n := len(scan(out, sheet, 0.05).parts()); n != 1 && out.Area() > 0 {
				t.Errorf("%s, %.1f mm: %d parts after Bridge", c.name, width, n)
			}
		}
	}
}

// After Bridge, a flood from the frame over cells of 0.05 mm reaches all paper that
// was not itself joined by less before. The cuts only ever get smaller.
func TestBridgeTangles(t *testing.T) {
	const cell = 0.05
	seeds, judged := int64(40), 0
	if testing.Short() {
		seeds = 10
	}
	for seed := range seeds {
		cut, sheet := tangle(t, 400+seed, 4+int(seed))
		before := cut.Clone()
		out, straps := bridge(t, cut, BridgeOptions{Width: 0.8, Sheet: sheet, Flare: seed%2 == 1})
		if !reflect.DeepEqual(before, cut) {
			t.Fatal("Bridge changed its input")
		}
		if got := islands(t, out, sheet); len(got) != 0 {
			t.Errorf("seed %d: %v", seed, got[0])
		}
		if extra, err := region.Difference(out, cut); err != nil || extra.Area() > 1e-6 {
			t.Errorf("seed %d: %.6f mm² more is cut than before (%v)", seed, extra.Area(), err)
		}
		for _, s := range straps {
			if l := s.Length(); !(l < 30) || s.Width != 0.8 {
				t.Errorf("seed %d: strap of %.1f by %.1f mm", seed, l, s.Width)
			}
		}
		if nearWidth(t, cut, sheet, hold, 2*cell) {
			continue
		}
		judged++
		r := scan(out, sheet, cell)
		part, parts := r.label()
		thick := r.thick(part)
		n := 0
		for i := range parts {
			if thick[i] {
				n++
			}
		}
		if n != 1 {
			t.Errorf("seed %d: the paper is in %d parts after Bridge", seed, n)
		}
	}
	if judged < int(seeds)/4 {
		t.Fatalf("only %d of %d cut-outs could be judged", judged, seeds)
	}
}

// Islands wider than the straps are held by their full width: whatever necks there
// are after Bridge are no narrower than the straps.
func TestStrapsHaveFullWidth(t *testing.T) {
	cut, sheet := lace(200, 7)
	for _, o := range []BridgeOptions{
		{Width: 0.5}, {Width: 0.5, Slack: -1}, {Width: 0.5, Flare: true}, {Width: 0.6, Second: 1},
	} {
		o.Sheet = sheet
		out, straps := bridge(t, cut, o)
		got := faults(t, out, sheet, &Options{MinWeb: o.Width - 0.01, Caution: o.Width - 0.01, MinCut: -1})
		for _, f := range got {
			t.Errorf("%+v: %v", o, f)
		}
		if len(straps) < 100 {
			t.Errorf("%d straps, want at least one for each of 100 islands", len(straps))
		}
	}
}

// A cutter with a kerf runs half of it inside the cut areas and takes away a disc's
// sweep along that path: the straps keep their full width.
func TestStrapsAfterKerf(t *testing.T) {
	const kerf, width = 0.2, 0.5
	cut, sheet := lace(48, 11)
	out, _ := bridge(t, cut, BridgeOptions{Width: width, Sheet: sheet})
	path, err := offset.Kerf(out, kerf)
	if err != nil {
		t.Fatal(err)
	}
	gone, err := offset.Polygons(path, kerf/2, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range faults(t, gone, sheet, &Options{MinWeb: width - 0.02, Caution: width - 0.02, MinCut: -1}) {
		t.Errorf("after the kerf: %v", f)
	}
}

// The shortest straps sum to the minimum spanning tree; with slack each may be that
// share longer, no more.
func TestSlack(t *testing.T) {
	total := func(straps []Strap) (sum float64) {
		for _, s := range straps {
			sum += s.Length()
		}
		return sum
	}
	for seed := range int64(8) {
		cut, sheet := lace(80, seed)
		s := shoreOf(t, cut, sheet)
		_, least := lengths(s.spanning(newForest(len(s.list)), nil))
		_, shortest := bridge(t, cut, BridgeOptions{Width: 0.5, Sheet: sheet, Slack: -1, Second: -1})
		_, slack := bridge(t, cut, BridgeOptions{Width: 0.5, Sheet: sheet, Second: -1})
		if got := total(shortest); !near(got, least, 1e-9) {
			t.Errorf("seed %d: %.4f mm of straps, want %.4f", seed, got, least)
		}
		if got := total(slack); got < least-1e-9 || got > 1.25*least {
			t.Errorf("seed %d: %.4f mm of straps, want %.4f to %.4f", seed, got, least, 1.25*least)
		}
	}
}

// A bar in a slot: the gap is the same all along, so that the strap lies away from
// the corners; a notch there makes it keep off.
func TestStrapAvoidsDetail(t *testing.T) {
	bar := []xy{{20, 20}, {40, 20}, {40, 24}, {20, 24}}
	notched := []xy{{20, 20}, {28, 20}, {28.5, 21}, {29, 20}, {29.5, 21}, {30, 20}, {30.5, 21}, {31, 20}, {31.5, 21}, {32, 20}, {40, 20}, {40, 24}, {20, 24}}
	for _, paper := range [][]xy{bar, notched} {
		cut := geom.NewMultiPolygon(geom.XY)
		if err := cut.Push(holed([]xy{{15, 18}, {45, 18}, {45, 29}, {15, 29}}, paper)); err != nil {
			t.Fatal(err)
		}
		_, straps := bridge(t, cut, BridgeOptions{Width: 2, Second: -1})
		if len(straps) != 1 {
			t.Fatalf("%d straps, want 1", len(straps))
		}
		s := straps[0]
		x := s.From[0]
		if !near(s.Length(), 2, 1e-9) || !near(s.To[0], x, 1e-6) || x < 22 || x > 38 {
			t.Errorf("strap from %v to %v, want it square and away from corners", s.From, s.To)
		}
		if len(paper) > 4 && x > 26.5 && x < 33.5 {
			t.Errorf("strap at x = %.2f, on the notches from 28 to 32", x)
		}
	}
}

// A long bar held at one end would swing: the second strap is at the other.
func TestSecondStrap(t *testing.T) {
	cut := geom.NewMultiPolygon(geom.XY)
	if err := cut.Push(holed([]xy{{8, 15}, {72, 15}, {72, 29}, {8, 29}}, []xy{{10, 20}, {70, 20}, {70, 24}, {10, 24}})); err != nil {
		t.Fatal(err)
	}
	out, straps := bridge(t, cut, BridgeOptions{Width: 2})
	if len(straps) != 2 || straps[0].Second || !straps[1].Second {
		t.Fatalf("got %v, want a strap and a second", straps)
	}
	if d := math.Abs(straps[0].From[0] - straps[1].From[0]); d < 50 {
		t.Errorf("the straps are %.1f mm apart, want them at the two ends", d)
	}
	for _, n := range necks(t, out, bounds(0, 0, 80, 44)) {
		if n.Single {
			t.Errorf("after the second strap a single neck is left: %+v", n)
		}
	}
	// A round island: the second strap is across from the first.
	cut = geom.NewMultiPolygon(geom.XY)
	if err := cut.Push(holed(circle(xy{40, 40}, 20, 128), circle(xy{40, 40.5}, 16, 128))); err != nil {
		t.Fatal(err)
	}
	_, straps = bridge(t, cut, BridgeOptions{Width: 2})
	if len(straps) != 2 {
		t.Fatalf("%d straps, want 2", len(straps))
	}
	a, b := xy{straps[0].From[0] - 40, straps[0].From[1] - 40}, xy{straps[1].From[0] - 40, straps[1].From[1] - 40}
	if cos := a.dot(b) / a.norm() / b.norm(); cos > -0.95 {
		t.Errorf("straps at %v and %v from the middle, want them across from each other", a, b)
	}
}

func TestPins(t *testing.T) {
	cut := geom.NewMultiPolygon(geom.XY)
	if err := cut.Push(holed([]xy{{10, 10}, {40, 10}, {40, 40}, {10, 40}}, []xy{{12, 15}, {35, 15}, {35, 35}, {12, 35}})); err != nil {
		t.Fatal(err)
	}
	// Given roughly, within the cut area: it goes on to the paper on both sides.
	pin := Pin{geom.Coord{20, 36}, geom.Coord{20, 39}}
	_, straps := bridge(t, cut, BridgeOptions{Width: 2, Second: -1, Pins: []Pin{pin}})
	if len(straps) != 1 || !straps[0].Pinned {
		t.Fatalf("got %v, want the pinned bridge only", straps)
	}
	if s := straps[0]; !near(s.From[1], 35, 1e-6) || !near(s.To[1], 40, 1e-6) || !near(s.From[0], 20, 1e-6) {
		t.Errorf("pinned bridge from %v to %v, want (20, 35) to (20, 40)", s.From, s.To)
	}
	if _, _, err := Bridge(cut, &BridgeOptions{Pins: []Pin{{geom.Coord{20, 20}, geom.Coord{25, 25}}}}); err == nil {
		t.Error("a pin that crosses no cut area was accepted")
	}
	if _, _, err := Bridge(cut, &BridgeOptions{Pins: []Pin{{geom.Coord{20, 20}, geom.Coord{20, 20}}}}); err == nil {
		t.Error("a pin without direction was accepted")
	}
}

func TestAvoid(t *testing.T) {
	cut := geom.NewMultiPolygon(geom.XY)
	if err := cut.Push(holed([]xy{{10, 10}, {60, 10}, {60, 40}, {10, 40}}, []xy{{12, 15}, {55, 15}, {55, 35}, {12, 35}})); err != nil {
		t.Fatal(err)
	}
	at := geom.Coord{11, 25} // in the middle of the narrowest gap
	out, straps := bridge(t, cut, BridgeOptions{Width: 2, Second: -1, Avoid: []geom.Coord{at}, Clear: 4})
	if len(straps) != 1 {
		t.Fatalf("%d straps, want 1", len(straps))
	}
	p := xy{at[0], at[1]}
	a, b := xy{straps[0].From[0], straps[0].From[1]}, xy{straps[0].To[0], straps[0].To[1]}
	if d := nearest(a, b, p).distance(p); d < 4+1 {
		t.Errorf("strap from %v to %v passes %.2f mm from where none may be", a, b, d)
	}
	if got := islands(t, out, bounds(0, 0, 70, 50)); len(got) != 0 {
		t.Errorf("got %v", got)
	}
	_, _, err := Bridge(cut, &BridgeOptions{Avoid: []geom.Coord{{35, 25}}, Clear: 40})
	var f *ForbiddenError
	if !errors.As(err, &f) {
		t.Errorf("got %v, want a ForbiddenError", err)
	}
}

func TestBridgeIsDeterministic(t *testing.T) {
	cut, sheet := lace(60, 9)
	a, as := bridge(t, cut, BridgeOptions{Width: 0.5, Sheet: sheet})
	b, bs := bridge(t, cut, BridgeOptions{Width: 0.5, Sheet: sheet})
	if !reflect.DeepEqual(as, bs) {
		t.Error("the straps of two runs differ")
	}
	if !reflect.DeepEqual(a, b) {
		t.Error("what two runs leave to cut differs")
	}
}

func TestRefusedOptions(t *testing.T) {
	cut, sheet := lace(4, 1)
	for _, o := range []BridgeOptions{{Width: -1}, {Width: math.NaN()}, {Width: 0.001}, {Slack: math.Inf(1)}, {Clear: -2}} {
		if _, _, err := Bridge(cut, &o); err == nil {
			t.Errorf("Bridge took %+v", o)
		}
	}
	for _, o := range []Options{{MinWeb: -1}, {Caution: 0.1}, {Snag: math.NaN()}, {Sag: math.Inf(1)}} {
		if _, err := Check(cut, sheet, &o); err == nil {
			t.Errorf("Check took %+v", o)
		}
	}
	for _, w := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, _, err := Thicken(cut, w); err == nil {
			t.Errorf("Thicken took %g", w)
		}
	}
	if _, err := Check(cut, nil, nil); err == nil {
		t.Error("Check took no sheet")
	}
	if _, err := Check(unite(t, rect(-1, -1, 99, 99)), bounds(0, 0, 9, 9), nil); !errors.Is(err, ErrNoPaper) {
		t.Errorf("got %v, want ErrNoPaper", err)
	}
}

// Two islands whose shortest ways out lead to the same tip, as in a letter B: the
// straps do not lie on one another.
func TestStrapsKeepApart(t *testing.T) {
	cut := geom.NewMultiPolygon(geom.XY)
	outer := []xy{{10, 3}, {40, 3}, {40, 17}, {30, 20}, {40, 23}, {40, 37}, {10, 37}}
	if err := cut.Push(holed(outer, []xy{{15, 8}, {27, 8}, {27, 17.9}, {15, 17.9}}, []xy{{15, 22.1}, {27, 22.1}, {27, 32}, {15, 32}})); err != nil {
		t.Fatal(err)
	}
	axis := func(s Strap) edge {
		return edge{a: xy{s.From[0], s.From[1]}, b: xy{s.To[0], s.To[1]}}
	}
	_, straps := bridge(t, cut, BridgeOptions{Width: 2, Second: -1, Slack: -1})
	if len(straps) != 2 {
		t.Fatalf("%d straps, want 2", len(straps))
	}
	if _, _, d := closest(axis(straps[0]), axis(straps[1])); d > 0.1 {
		t.Fatalf("the shortest straps are %.2f mm apart, so that this tests nothing", d)
	}
	_, straps = bridge(t, cut, BridgeOptions{Width: 2, Second: -1})
	if _, _, d := closest(axis(straps[0]), axis(straps[1])); len(straps) != 2 || d < 3 {
		t.Errorf("%d straps, %.2f mm from middle to middle, want 2 at least 3 mm apart", len(straps), d)
	}
}
