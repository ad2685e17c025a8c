package ring

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/peterstace/simplefeatures/geom"
	gogeom "github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/wkb"
)

func rect(x0, y0, x1, y1 float64) []float64 {
	return []float64{x0, y0, x1, y0, x1, y1, x0, y1, x0, y0}
}

func reversed(r []float64) []float64 {
	var out []float64
	for i := len(r) - 2; i >= 0; i -= 2 {
		out = append(out, r[i], r[i+1])
	}
	return out
}

func TestAreaSign(t *testing.T) {
	if a := Area(rect(0, 0, 3, 2)); a != 6 {
		t.Errorf("area %v, want 6", a)
	}
	if a := Area(reversed(rect(0, 0, 3, 2))); a != -6 {
		t.Errorf("area reversed %v, want -6", a)
	}
	// The sign is go-geom's.
	r := gogeom.NewLinearRingFlat(gogeom.XY, rect(0, 0, 3, 2))
	if r.Area() != 6 {
		t.Errorf("go-geom says %v", r.Area())
	}
	if a := Area(rect(1e9, 1e9, 1e9+1, 1e9+0.5)); a != 0.5 {
		t.Errorf("far from the origin: %v, want 0.5", a)
	}
}

// Pick's theorem, 1899: A = I + B/2 - 1, with the worked polygon of 25.5 units
// (15 lattice points on the border, 19 inside).
func TestLocatePick(t *testing.T) {
	r := []float64{0, 0, 6, 0, 6, 3, 3, 5, 0, 4, 0, 0}
	count := map[Position]int{}
	for x := -1.0; x <= 7; x++ {
		for y := -1.0; y <= 6; y++ {
			p := Locate(r, x, y)
			if q := Locate(reversed(r), x, y); p != q {
				t.Errorf("(%v, %v): %v, reversed %v", x, y, p, q)
			}
			count[p]++
		}
	}
	if count[Boundary] != 15 || count[Inside] != 19 {
		t.Errorf("border %d, inside %d; want 15, 19", count[Boundary], count[Inside])
	}
	if a, want := Area(r), 25.5; a != want || want != float64(count[Inside])+float64(count[Boundary])/2-1 {
		t.Errorf("area %v", a)
	}
}

func TestOrientIsExact(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 20000 {
		// Points within a few units in the last place of one line.
		k := math.Exp2(float64(rng.IntN(60) - 30))
		ax, ay := rng.Float64()*k, rng.Float64()*k
		bx, by := ax+rng.Float64()*k, ay+rng.Float64()*k
		u := rng.Float64()*3 - 1
		cx, cy := ax+u*(bx-ax), ay+u*(by-ay)
		got, want := Orient(ax, ay, bx, by, cx, cy), orientBig(ax, ay, bx, by, cx, cy)
		if got != want || Orient(bx, by, ax, ay, cx, cy) != -want {
			t.Fatalf("Orient(%v %v, %v %v, %v %v) = %d, want %d", ax, ay, bx, by, cx, cy, got, want)
		}
	}
}

func TestTreeFindsWhatALoopFinds(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for _, n := range []int{0, 1, 7, 8, 9, 64, 65, 1000} {
		boxes := make([]Box, n)
		for i := range boxes {
			x, y := rng.Float64()*100, rng.Float64()*100
			boxes[i] = Box{x, y, x + rng.ExpFloat64(), y + rng.ExpFloat64()*5}
		}
		tree := NewTree(boxes)
		for range 50 {
			x, y := rng.Float64()*110-5, rng.Float64()*110-5
			q := Box{x, y, x + rng.Float64()*20, y + rng.Float64()*20}
			var want []int32
			for i, b := range boxes {
				if b.Meets(q) {
					want = append(want, int32(i))
				}
			}
			got := tree.Search(q, nil)
			slices.Sort(got)
			if !slices.Equal(got, want) {
				t.Fatalf("n=%d: got %v, want %v", n, got, want)
			}
			best, brute := math.Inf(-1), math.Inf(-1)
			tree.Left(x, y, func(id int32) float64 {
				best = max(best, boxes[id].MinX)
				return best
			})
			for _, b := range boxes {
				if b.MinX <= x && b.MinY <= y && b.MaxY >= y {
					brute = max(brute, b.MinX)
				}
			}
			if best != brute {
				t.Fatalf("n=%d: leftward ray got %v, want %v", n, best, brute)
			}
		}
	}
}

func TestNestDepths(t *testing.T) {
	// Rings within rings, in any order and either way round, two of them
	// touching their parents.
	rings := [][]float64{
		rect(40, 40, 60, 60),             // 0: island in the hole: shell
		reversed(rect(10, 10, 90, 90)),   // 1: its parent: hole of 2
		reversed(rect(0, 0, 100, 100)),   // 2: shell
		rect(110, 0, 120, 10),            // 3: shell
		{112, 0, 118, 4, 114, 8, 112, 0}, // 4: hole of 3, touching its edge
		{40, 50, 50, 45, 50, 55, 40, 50}, // 5: hole of 0, touching its left edge
		{1, 2, 3, 4, 1, 2},               // not a ring
	}
	mp := Nest(rings)
	if got := mp.Endss(); !slices.EqualFunc(got, [][]int{{10, 18}, {28, 38}, {48, 56}}, slices.Equal[[]int]) {
		t.Errorf("ends %v", got)
	}
	if a := mp.Area(); a != (400-50)+(10000-6400)+(100-20) {
		t.Errorf("area %v", a)
	}
	if err := Check(mp); err != nil {
		t.Error(err)
	}
}

func TestNestRandomSquares(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	var rings [][]float64
	var fill func(x, y, s float64)
	fill = func(x, y, s float64) {
		if s < 1 {
			return
		}
		r := rect(x, y, x+s, y+s)
		if rng.IntN(2) == 0 {
			r = reversed(r)
		}
		rings = append(rings, r)
		// Four cells with a gap of a tenth around, each full with some chance.
		for i := range 4 {
			if rng.Float64() < 0.8 {
				fill(x+s*(0.05+0.5*float64(i%2)), y+s*(0.05+0.5*float64(i/2)), s*0.4)
			}
		}
	}
	fill(0, 0, 1000)
	rng.Shuffle(len(rings), func(i, j int) { rings[i], rings[j] = rings[j], rings[i] })
	ix := NewIndex(rings)
	parent := ix.parents(ix.areas())
	for k, r := range rings {
		want := -1
		for m, o := range rings {
			if m != k && Locate(o, r[0], r[1]) == Inside && (want < 0 || math.Abs(Area(o)) < math.Abs(Area(rings[want]))) {
				want = m
			}
		}
		if parent[k] != want {
			t.Fatalf("ring %d: parent %d, want %d", k, parent[k], want)
		}
	}
	mp := Nest(rings)
	if err := Check(mp); err != nil {
		t.Error(err)
	}
	if err := judge(t, mp); err != nil {
		t.Errorf("simplefeatures v0.59.0: %v", err)
	}
}

// judge asks another library's validator.
func judge(t *testing.T, mp *gogeom.MultiPolygon) error {
	t.Helper()
	b, err := wkb.Marshal(mp, wkb.NDR)
	if err != nil {
		t.Fatal(err)
	}
	g, err := geom.UnmarshalWKB(b, geom.NoValidate{})
	if err != nil {
		t.Fatal(err)
	}
	return g.Validate()
}

func TestCheckFindsFaults(t *testing.T) {
	sq := rect(0, 0, 10, 10)
	for _, c := range []struct {
		name  string
		polys [][][]float64
		want  Kind
	}{
		{"square", [][][]float64{{sq}}, 0},
		{"hole touches shell once", [][][]float64{{sq, {0, 5, 4, 7, 4, 3, 0, 5}}}, 0},
		{"corners touch", [][][]float64{{sq}, {rect(10, 10, 12, 12)}}, 0},
		{"open", [][][]float64{{{0, 0, 1, 0, 1, 1, 0, 1}}}, Open},
		{"short", [][][]float64{{{0, 0, 1, 0, 0, 0}}}, Short},
		{"nan", [][][]float64{{{0, 0, 1, math.NaN(), 1, 1, 0, 0}}}, Infinite},
		{"repeated", [][][]float64{{{0, 0, 1, 0, 1, 0, 1, 1, 0, 0}}}, Repeated},
		{"turned", [][][]float64{{reversed(sq)}}, Turned},
		{"bow tie", [][][]float64{{{0, 0, 6, 0, 1, 5, 4, 5, 0, 0}}}, Cross},
		{"spike", [][][]float64{{{0, 0, 6, 0, 4, 0, 4, 4, 0, 4, 0, 0}}}, Overlap},
		{"pinch", [][][]float64{{{0, 0, 4, 0, 2, 2, 4, 4, 0, 4, 2, 2, 0, 0}}}, Touch},
		{"shared edge", [][][]float64{{sq}, {rect(10, 2, 14, 8)}}, Overlap},
		{"crossing shells", [][][]float64{{sq}, {rect(5, 5, 14, 14)}}, Cross},
		{"shell in shell", [][][]float64{{sq}, {rect(2, 2, 4, 4)}}, Misplaced},
		{"hole outside", [][][]float64{{sq, reversed(rect(12, 2, 14, 4))}}, Misplaced},
	} {
		mp := gogeom.NewMultiPolygon(gogeom.XY)
		for _, p := range c.polys {
			poly := gogeom.NewPolygon(gogeom.XY)
			for _, r := range p {
				if err := poly.Push(gogeom.NewLinearRingFlat(gogeom.XY, r)); err != nil {
					t.Fatal(err)
				}
			}
			if err := mp.Push(poly); err != nil {
				t.Fatal(err)
			}
		}
		err := Check(mp)
		got := Kind(0)
		if f, ok := err.(*Fault); ok {
			got = f.Kind
		}
		if got != c.want {
			t.Errorf("%s: got %v, want kind %d", c.name, err, c.want)
		}
	}
}

// A hole may touch its shell at the shell's leftmost point, or along a level
// edge from either side: it is a hole all the same.
func TestNestTouching(t *testing.T) {
	for _, rings := range [][][]float64{
		{{0, 75, 17, 33, 32, 70, 0, 75}, {0, 75, 18.75, 56.25, 23, 61, 0, 75}},
		{{0, 0, 10, 0, 10, 10, 0, 10, 0, 0}, {2, 0, 6, 4, 3, 6, 2, 0}},
		{{0, 0, 10, 0, 10, 10, 0, 10, 0, 0}, {2, 10, 3, 4, 6, 6, 2, 10}},
		{{0, 0, 10, 0, 10, 10, 0, 10, 0, 0}, {0, 5, 4, 3, 4, 7, 0, 5}},
	} {
		mp := Nest(rings)
		if mp.NumPolygons() != 1 || mp.Polygon(0).NumLinearRings() != 2 {
			t.Errorf("%v: %d polygons", rings, mp.NumPolygons())
			continue
		}
		if err := Check(mp); err != nil {
			t.Errorf("%v: %v", rings, err)
		}
	}
}

// Rings of few points on a small lattice, and long ones in the same places, against Check of a polygon with that ring.
func TestSoundAgainstCheck(t *testing.T) {
	rnd := rand.New(rand.NewPCG(8, 4))
	sound := 0
	for k := range 3000 {
		n := 3 + rnd.IntN(6)
		var r []float64
		turn := 2 * math.Pi * rnd.Float64()
		for i := range n { // a star, its corners rounded to the lattice
			s, c := math.Sincos(turn + 2*math.Pi*float64(i)/float64(n))
			d := 6 * rnd.Float64()
			r = append(r, math.Round(d*c), math.Round(d*s))
		}
		r = append(r, r[0], r[1])
		if k%3 == 0 { // the same with many points on each edge
			var long []float64
			for i := 0; i+3 < len(r); i += 2 {
				for j := range 200 {
					f := float64(j) / 256
					long = append(long, r[i]+f*(r[i+2]-r[i]), r[i+1]+f*(r[i+3]-r[i+1]))
				}
			}
			r = append(long, long[0], long[1])
		}
		want := Check(gogeom.NewMultiPolygonFlat(gogeom.XY, r, [][]int{{len(r)}})) == nil
		if got := Sound(r); got != want {
			t.Fatalf("%v is sound: %v, want %v", r, got, want)
		}
		if want {
			sound++
		}
	}
	if sound < 200 || sound > 2800 {
		t.Errorf("%d of 3000 are sound, want more of both", sound)
	}
}
