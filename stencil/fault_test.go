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
