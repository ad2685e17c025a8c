package trace

import (
	"image"
	"math"
	"math/rand"
	"slices"
	"testing"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/ring"
)

// polygonOf makes one shell of a function of the way round from 0 to 1.
func polygonOf(n int, at func(t float64) (x, y float64)) *geom.MultiPolygon {
	var flat []float64
	for i := range n {
		x, y := at(float64(i) / float64(n))
		flat = append(flat, x, y)
	}
	flat = append(flat, flat[0], flat[1])
	return geom.NewMultiPolygonFlat(geom.XY, flat, [][]int{{len(flat)}})
}

func circleOf(n int, r float64) *geom.MultiPolygon {
	return polygonOf(n, func(t float64) (x, y float64) {
		sin, cos := math.Sincos(2 * math.Pi * t)
		return 50 + r*cos, 40 + r*sin
	})
}

func TestSmoothKernelKeepsCubics(t *testing.T) {
	for m, k := range smoothKernels {
		var s0, s2 float64
		for j, w := range k {
			if j > 0 {
				w *= 2
			}
			s0 += w
			s2 += w * float64(j*j)
		}
		if math.Abs(s0-1) > 1e-12 || math.Abs(s2) > 1e-10 {
			t.Errorf("reach %d: sum %g, want 1; second moment %g, want 0", m, s0, s2)
		}
	}
}

// What swings on the length of a wobble keeps less than a sixth, what is four times as long nearly all.
func TestSmoothKernelResponse(t *testing.T) {
	response := func(length float64) float64 {
		sum := 0.0
		for j, w := range smoothKernels[smoothReach] {
			if j > 0 {
				w *= 2
			}
			sum += w * math.Cos(2*math.Pi*float64(j)/length)
		}
		return sum
	}
	for l := 3.0; l <= smoothSteps; l += 0.25 {
		if r := math.Abs(response(l)); r > 1.0/6 {
			t.Errorf("a swing of %g samples keeps %.3f", l, r)
		}
	}
	if r := response(4 * smoothSteps); r < 0.95 {
		t.Errorf("a swing of four wobbles keeps %.3f, want 0.95", r)
	}
}

func TestSmoothKeepsCircles(t *testing.T) {
	for _, n := range []int{24, 100, 1000, 6000} {
		for _, wobble := range []float64{0.01, 0.1, 1, 5, 20, 62, 1000} {
			cut := circleOf(n, 10)
			got := Smooth(cut, wobble)
			if got, want := math.Sqrt(got.Area()/cut.Area()), 1.0; math.Abs(got-want) > 0.002 {
				t.Errorf("%d points, wobble %g mm: radius changes by %.3f %%", n, wobble, 100*(got-want))
			}
			// A polygon of 24 sides is no circle: its corners may come in by what its sides lie inside.
			slack := 10 * (1 - math.Cos(math.Pi/float64(n)))
			for i := 0; i < len(got.FlatCoords()); i += 2 {
				r := math.Hypot(got.FlatCoords()[i]-50, got.FlatCoords()[i+1]-40)
				if r > 10.02 || r < 9.98-slack {
					t.Fatalf("%d points, wobble %g mm: a point at radius %.4f mm", n, wobble, r)
				}
			}
		}
	}
}

func TestSmoothEvensOutWobble(t *testing.T) {
	// A circle of 20 mm whose edge swings 0.1 mm on every 1 mm.
	swings := math.Round(2 * math.Pi * 20)
	cut := polygonOf(5000, func(t float64) (x, y float64) {
		r := 20 + 0.1*math.Sin(2*math.Pi*swings*t)
		sin, cos := math.Sincos(2 * math.Pi * t)
		return 50 + r*cos, 50 + r*sin
	})
	got := Smooth(cut, 1.1)
	for i := 0; i < len(got.FlatCoords()); i += 2 {
		if r := math.Hypot(got.FlatCoords()[i]-50, got.FlatCoords()[i+1]-50); math.Abs(r-20) > 0.025 {
			t.Fatalf("radius %.3f mm, want 20", r)
		}
	}
	if math.Abs(math.Sqrt(got.Area()/math.Pi)-20) > 0.01 {
		t.Errorf("mean radius %.4f mm, want 20", math.Sqrt(got.Area()/math.Pi))
	}
}

func TestSmoothKeepsCorners(t *testing.T) {
	rnd := rand.New(rand.NewSource(3))
	for _, points := range []int{3, 4, 5, 6} {
		// A polygon whose sides shake by 0.05 mm on every 0.3 mm.
		corner := func(k int) (x, y float64) {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(points))
			return 30 * cos, 30 * sin
		}
		const per = 200
		cut := polygonOf(points*per, func(t float64) (x, y float64) {
			i := int(math.Round(t * float64(points*per)))
			ax, ay := corner(i / per)
			bx, by := corner(i/per + 1)
			f := float64(i%per) / per
			x, y = ax+f*(bx-ax), ay+f*(by-ay)
			if i%per != 0 {
				x, y = x+0.05*rnd.NormFloat64(), y+0.05*rnd.NormFloat64()
			}
			return x, y
		})
		got := Smooth(cut, 2)
		for k := range points {
			x, y := corner(k)
			best := math.Inf(1)
			for i := 0; i < len(got.FlatCoords()); i += 2 {
				best = min(best, math.Hypot(got.FlatCoords()[i]-x, got.FlatCoords()[i+1]-y))
			}
			if best > 0.1 {
				t.Errorf("%d points: corner %d is %.3f mm off", points, k, best)
			}
		}
		if err := ring.Check(got); err != nil {
			t.Error(err)
		}
	}
}

func TestSmoothLeavesItsInput(t *testing.T) {
	cut := circleOf(100, 3)
	want := append([]float64(nil), cut.FlatCoords()...)
	for _, wobble := range []float64{0, -1, math.NaN(), math.Inf(1), 2} {
		got := Smooth(cut, wobble)
		if len(got.FlatCoords()) > 0 {
			got.FlatCoords()[0] = 99
		}
		for i, v := range cut.FlatCoords() {
			if v != want[i] {
				t.Fatalf("wobble %g: the input changed", wobble)
			}
		}
	}
	if got := Smooth(geom.NewMultiPolygon(geom.XY), 1); got.NumPolygons() != 0 {
		t.Errorf("nothing became %d polygons", got.NumPolygons())
	}
}

// FuzzSmooth: whatever the rings, the result is as valid as they were.
func FuzzSmooth(f *testing.F) {
	f.Add(int64(1), 3.0)
	f.Add(int64(2), 0.2)
	f.Add(int64(3), 40.0)
	f.Fuzz(func(t *testing.T, seed int64, wobble float64) {
		if wobble > 0 && wobble < 0.01 {
			return // as many samples as would take minutes
		}
		cut := randomPolygons(seed)
		got := Smooth(cut, wobble)
		if err := ring.Check(got); err != nil {
			t.Fatal(err)
		}
		if got.NumPolygons() != cut.NumPolygons() || len(ring.Rings(got)) != len(ring.Rings(cut)) {
			t.Fatal("rings were lost")
		}
	})
}

// randomPolygons traces a random picture of few pixels: thin, nested, touching by corners.
func randomPolygons(seed int64) *geom.MultiPolygon {
	rnd := rand.New(rand.NewSource(seed))
	f := &oracleField{w: 24, h: 24, level: 0.5, hard: rnd.Intn(2) == 0}
	ink := rnd.Float64()
	for range f.w * f.h {
		v := rnd.Float64()
		if f.hard {
			v = 0
			if rnd.Float64() < ink {
				v = 1
			}
		}
		f.darkness = append(f.darkness, v)
	}
	rings := f.rings()
	parent := oracleNest(rings)
	out := geom.NewMultiPolygon(geom.XY)
	for i, r := range rings {
		if oracleArea(r) <= 0 {
			continue
		}
		var flat []float64
		var ends []int
		add := func(r []oraclePoint) {
			for _, p := range append(r[:len(r):len(r)], r[0]) {
				flat = append(flat, p.x, p.y)
			}
			ends = append(ends, len(flat))
		}
		add(r)
		for j, hole := range rings {
			if parent[j] == i {
				add(hole)
			}
		}
		if err := out.Push(geom.NewPolygonFlat(geom.XY, flat, ends)); err != nil {
			panic(err)
		}
	}
	return out
}

// A disc traced and evened out keeps its radius within 0.2 %, as its area tells: the mean over places between the pixels.
func TestSmoothTracedDiscs(t *testing.T) {
	for _, hard := range []bool{false, true} {
		for _, want := range []float64{25, 60, 200} {
			for _, smooth := range []float64{2, 6, 20} {
				rnd := rand.New(rand.NewSource(4))
				mean := 0.0
				const places = 12
				for range places {
					disc := circleRing(want, 1)
					cx, cy := want+4+rnd.Float64(), want+4+rnd.Float64()
					for i := range disc {
						disc[i].x += cx
						disc[i].y += cy
					}
					mp, err := Image(truth{rings: [][]oraclePoint{disc}}.render(hard), 1, &Options{Smooth: smooth})
					if err != nil {
						t.Fatal(err)
					}
					mean += math.Sqrt(mp.Area()/math.Pi) / places
				}
				if off := 100 * (mean/want - 1); math.Abs(off) > 0.2 {
					t.Errorf("hard %v, wobble %g px: radius %g comes out as %.3f, %.3f %% off", hard, smooth, want, mean, off)
				}
			}
		}
	}
}

// TestSmoothOptionKeepsCorners: a rectangle keeps its corners' places, however much the lines may be off.
func TestSmoothOptionKeepsCorners(t *testing.T) {
	g := image.NewGray(image.Rect(0, 0, 60, 90))
	for i := range g.Pix {
		if x, y := i%60, i/60; x < 10 || x >= 40 || y < 20 || y >= 80 {
			g.Pix[i] = 255
		}
	}
	for _, tolerance := range []float64{0.1, 0.5, 2} {
		for _, smooth := range []float64{0.5, 2, 6} {
			mp, err := Image(g, 1, &Options{Tolerance: tolerance, Smooth: smooth})
			if err != nil {
				t.Fatal(err)
			}
			for _, want := range [][2]float64{{10, 20}, {40, 20}, {40, 80}, {10, 80}} {
				near := math.Inf(1)
				for i, flat := 0, mp.FlatCoords(); i < len(flat); i += 2 {
					near = min(near, math.Hypot(flat[i]-want[0], flat[i+1]-want[1]))
				}
				if near > 1e-9 {
					t.Errorf("tolerance %g, smooth %g: corner %v is %.3g px off", tolerance, smooth, want, near)
				}
			}
		}
	}
}

// plainSmooth is Smooth with the simplest search for rings in each other's way: all together, from the start each time.
func plainSmooth(cut *geom.MultiPolygon, wobble float64) *geom.MultiPolygon {
	before := ring.Rings(cut)
	after := make([][]float64, len(before))
	for i, r := range before {
		if after[i] = new(smoother).ring(nil, r, wobble); (ring.Area(after[i]) > 0) != (ring.Area(r) > 0) {
			after[i] = r
		}
	}
	for {
		m := assemble(nil, cut, after)
		back := false
		put := func(i int) {
			if &after[i][0] != &before[i][0] {
				after[i], back = before[i], true
			}
		}
		ix := ring.NewIndex(ring.Rings(m))
		ix.Meetings(0, len(ix.Blocks), func(g ring.Meeting) bool {
			put(g.RingA)
			put(g.RingB)
			return true
		})
		if fault, ok := ring.Check(m).(*ring.Fault); ok && !back {
			at := ring.EmptyBox().Add(fault.X, fault.Y)
			for i := range after {
				if boxOf(before[i]).Join(boxOf(after[i])).Meets(at) {
					put(i)
				}
			}
		}
		if !back {
			return m
		}
	}
}

func TestSmoothAgainstPlainSearch(t *testing.T) {
	changed := 0
	for seed := range int64(300) {
		cut := randomPolygons(seed)
		for _, wobble := range []float64{1, 3, 10} {
			got, want := Smooth(cut, wobble), plainSmooth(cut, wobble)
			if !slices.Equal(got.FlatCoords(), want.FlatCoords()) {
				t.Fatalf("seed %d, wobble %g: other rings were put back", seed, wobble)
			}
			for i, r := range ring.Rings(cut) {
				if s := new(smoother).ring(nil, r, wobble); &s[0] != &r[0] && slices.Equal(ring.Rings(got)[i], r) {
					changed++
				}
			}
		}
	}
	if changed < 20 {
		t.Errorf("only %d rings were put back", changed)
	}
}

// BenchmarkSmooth evens out the page of the other benchmarks, traced with straight lines.
func BenchmarkSmooth(b *testing.B) {
	m, err := Image(a4(), 25.4/600, &Options{Tolerance: 0.3 * 25.4 / 600})
	if err != nil {
		b.Fatal(err)
	}
	var n int
	for b.Loop() {
		n = nodesOf(Smooth(m, 0.3))
	}
	b.ReportMetric(float64(nodesOf(m)), "nodes")
	b.ReportMetric(float64(n), "points")
}
