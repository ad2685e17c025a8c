package stencil

import (
	"image/png"
	"math"
	"os"
	"testing"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/region"
	"example.org/kerfleaf/offset"
	"example.org/kerfleaf/trace"
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

func necks(t testing.TB, cut *geom.MultiPolygon, sheet *geom.Bounds) []Neck {
	t.Helper()
	n, err := Necks(cut, sheet)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

func near(a, b, by float64) bool { return math.Abs(a-b) <= by }

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

// faults are those of Check with the default limits.
func faults(t testing.TB, cut *geom.MultiPolygon, sheet *geom.Bounds, opts *Options) []Fault {
	t.Helper()
	f, err := Check(cut, sheet, opts)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// one fails the test unless there is exactly one fault, of the given kind.
func one(t *testing.T, got []Fault, kind Kind) Fault {
	t.Helper()
	if len(got) != 1 || got[0].Kind != kind {
		t.Fatalf("got %v, want one %v", got, kind)
	}
	return got[0]
}

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

func TestTongues(t *testing.T) {
	sheet := bounds(0, 0, 120, 60)
	tongue := func(length, width float64) *geom.MultiPolygon {
		cut, err := region.Difference(unite(t, rect(10, 10, 110, 50)), unite(t, rect(9, 30-width/2, 10+length, 30+width/2)))
		if err != nil {
			t.Fatal(err)
		}
		return cut
	}
	f := one(t, faults(t, tongue(70, 8), sheet, nil), Tongue)
	if !near(f.Reach, 70, 2) || !near(f.Width, 8, 1e-6) {
		t.Errorf("got %#v, want 70 mm by 8", f)
	}
	if got := faults(t, tongue(50, 8), sheet, nil); len(got) != 0 {
		t.Errorf("50 mm by 8: %v, want nothing", got)
	}
	f = one(t, faults(t, tongue(12, 0.5), sheet, nil), Tongue)
	if !near(f.Reach, 12, 0.4) || !near(f.Width, 0.5, 1e-6) {
		t.Errorf("got %#v, want a hair of 12 mm by 0.5", f)
	}
}

func TestSmallCuts(t *testing.T) {
	cut := unite(t, polygon(circle(xy{10, 10}, 0.6, 32)), polygon(circle(xy{20, 10}, 0.8, 32)))
	f := one(t, faults(t, cut, bounds(0, 0, 40, 40), nil), SmallCut)
	if !near(f.At[0], 10, 1e-9) || !near(f.Area, math.Pi*0.36, 0.01) {
		t.Errorf("got %#v, want the disc at (10, 10)", f)
	}
	if got := faults(t, cut, bounds(0, 0, 40, 40), &Options{MinCut: -1}); len(got) != 0 {
		t.Errorf("got %v, want nothing", got)
	}
}

func TestFoldWebs(t *testing.T) {
	cut := unite(t, rect(12, 20, 20, 30), rect(30, 14, 40, 20), rect(55, 10, 65, 20))
	got := faults(t, cut, bounds(0, 0, 80, 80), &Options{Fold: bounds(10, 10, 70, 70)})
	want := []struct {
		width, length float64
		caution       bool
	}{{0, 10, false}, {2, 10, true}}
	if len(got) != len(want) {
		t.Fatalf("got %v, want %d webs to the fold", got, len(want))
	}
	for i, w := range want {
		if got[i].Kind != FoldWeb || !near(got[i].Width, w.width, 1e-9) || !near(got[i].Length, w.length, 1e-9) || got[i].Caution != w.caution {
			t.Errorf("got %#v, want %v", got[i], w)
		}
	}
}

// Sound designs: nothing to report.
func TestNoFalseAlarms(t *testing.T) {
	star := func(c xy, r float64, n int) *geom.Polygon {
		ring := circle(c, r, 2*n)
		for i := 1; i < len(ring); i += 2 {
			ring[i] = middle(ring[i], c)
		}
		return polygon(ring)
	}
	sheet := bounds(0, 0, 100, 100)
	for name, cut := range map[string]*geom.MultiPolygon{
		"nothing":        geom.NewMultiPolygon(geom.XY),
		"disc":           unite(t, polygon(circle(xy{50, 50}, 30, 400))),
		"stars":          unite(t, star(xy{30, 30}, 15, 5), star(xy{65, 35}, 15, 9), star(xy{50, 70}, 18, 7)),
		"paper star":     inverse(t, bounds(10, 10, 90, 90), star(xy{50, 50}, 45, 4)),
		"two that touch": unite(t, rect(20, 20, 40, 40), rect(40, 40, 60, 60)),
		"bars":           unite(t, rect(20, 20, 80, 22), rect(20, 24, 80, 26), rect(20, 28, 80, 30), rect(20, 32, 80, 34)),
	} {
		if got := faults(t, cut, sheet, nil); len(got) != 0 {
			t.Errorf("%s: %v", name, got)
		}
	}
	cut, laceSheet := lace(400, 3)
	held, _, err := Bridge(cut, &BridgeOptions{Sheet: laceSheet})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range faults(t, held, laceSheet, &Options{MinWeb: 0.55}) {
		t.Errorf("lace: %v", f)
		break
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

// Turned, mirrored and shifted, a cut-out has the same faults.
func TestFaultsMoveWithTheCut(t *testing.T) {
	moves := map[string]func(xy) xy{
		"shifted":  func(p xy) xy { return xy{p.x + 1234.5, p.y - 77.25} },
		"mirrored": func(p xy) xy { return xy{60 - p.x, p.y} },
		"turned":   func(p xy) xy { return xy{60 - p.y, p.x} },
		"larger":   func(p xy) xy { return p.times(4) },
	}
	sum := func(cut *geom.MultiPolygon, sheet *geom.Bounds, o *Options, scale float64) (out []Fault) {
		for _, f := range faults(t, cut, sheet, o) {
			f.Width /= scale
			f.Area /= scale * scale
			f.Reach /= scale
			out = append(out, f)
		}
		return out
	}
	for seed := range int64(6) {
		cut, _ := tangle(t, 500+seed, 24)
		want := sum(cut, bounds(-10, -10, 70, 70), nil, 1)
		for name, move := range moves {
			var moved []*geom.Polygon
			for i := range cut.NumPolygons() {
				p := cut.Polygon(i)
				rings := make([][]xy, p.NumLinearRings())
				for j := range rings {
					flat := p.LinearRing(j).FlatCoords()
					for k := 0; k < len(flat)-2; k += 2 {
						rings[j] = append(rings[j], move(xy{flat[k], flat[k+1]}))
					}
				}
				moved = append(moved, holed(rings[0], rings[1:]...))
			}
			mp := geom.NewMultiPolygon(geom.XY)
			for _, p := range moved {
				if err := mp.Push(p); err != nil {
					t.Fatal(err)
				}
			}
			a, b := move(xy{-10, -10}), move(xy{70, 70})
			scale, o := 1.0, &Options{}
			if name == "larger" { // the force that it bears grows with the width
				scale, o = 4, &Options{MinWeb: 3.2, Sag: 240, MinCut: 6, Snag: 0.2}
			}
			sheet := geom.NewBounds(geom.XY).Set(math.Min(a.x, b.x), math.Min(a.y, b.y), math.Max(a.x, b.x), math.Max(a.y, b.y))
			got := sum(mp, sheet, o, scale)
			if len(got) != len(want) {
				t.Errorf("seed %d %s: %d faults, want %d", seed, name, len(got), len(want))
				continue
			}
			for i, g := range got {
				if w := want[i]; g.Kind != w.Kind || !near(g.Width, w.Width, 1e-6) || !near(g.Area, w.Area, 1e-3+0.02*w.Area) {
					t.Errorf("seed %d %s: fault %d is %#v, want %#v", seed, name, i, g, w)
				}
			}
		}
	}
}

// What falls out comes first, then what will tear by reach × area ÷ width², then what
// wants care.
func TestRank(t *testing.T) {
	at := geom.Coord{0, 0}
	got := []Fault{
		{Kind: SmallCut, At: at, Area: 1, Caution: true},
		{Kind: ThinWeb, At: at, Width: 0.9, Caution: true, Length: 3},
		{Kind: ThinWeb, At: at, Width: 0.4, Single: true, Reach: 10, Area: 20},  // 1250
		{Kind: ThinWeb, At: at, Width: 0.7, Single: true, Reach: 30, Area: 100}, // 6122
		{Kind: ThinWeb, At: at, Width: 0.7, Single: true, Reach: 30, Area: 10},  // 612
		{Kind: Island, At: at, Area: 3},
		{Kind: Island, At: at, Area: 30},
	}
	rank(got)
	want := []float64{30, 3, 100, 20, 10, 0, 1}
	for i, a := range want {
		if got[i].Area != a {
			t.Errorf("place %d: %#v, want area %g", i, got[i], a)
		}
	}
}

// A scene that was drawn to hold has nothing wrong; with every opening grown by half a
// millimetre it has thin webs, and none is missed.
func TestHeron(t *testing.T) {
	const width, height = 101.6, 127
	f, err := os.Open("../testdata/heron.png")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	cut, err := trace.Image(img, width/float64(img.Bounds().Dx()), &trace.Options{MinArea: 0.5})
	if err != nil {
		t.Fatal(err)
	}
	sheet := bounds(0, 0, width, height)
	for _, f := range faults(t, cut, sheet, nil) {
		t.Errorf("as drawn: %v", f)
	}
	grown, err := offset.Polygons(cut, 0.5, nil)
	if err != nil {
		t.Fatal(err)
	}
	const cell = 0.05
	got := faults(t, grown, sheet, nil)
	accounted(t, "grown", scan(grown, sheet, cell), sheet, cell, 0.4-cell, got)
	if len(got) == 0 {
		t.Error("grown by half a millimetre it still holds, so that this tests nothing")
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
