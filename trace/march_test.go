package trace

import (
	"context"
	"image"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/wkb"
)

// drawn makes a picture of rows of characters: # black, . white, digits the
// greys 0 to 9 times 25.
func drawn(rows ...string) *image.Gray {
	g := image.NewGray(image.Rect(0, 0, len(rows[0]), len(rows)))
	for y, row := range rows {
		for x, c := range []byte(row) {
			switch {
			case c == '.':
				g.Pix[y*g.Stride+x] = 255
			case c != '#':
				g.Pix[y*g.Stride+x] = (c - '0') * 25
			}
		}
	}
	return g
}

// tracedWhole traces with every vertex kept and a pixel of 1 mm.
func tracedWhole(t testing.TB, g image.Image, opts Options) *geom.MultiPolygon {
	t.Helper()
	opts.Tolerance = -1
	m, err := Image(g, 1, &opts)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// mustBeValid lets simplefeatures judge: simple rings, none crossing, holes
// inside their shells; and looks at the sense of the rings.
func mustBeValid(t testing.TB, m *geom.MultiPolygon) {
	t.Helper()
	b, err := wkb.Marshal(m, wkb.NDR)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := sf.UnmarshalWKB(b); err != nil {
		t.Fatalf("not valid: %v", err)
	}
	for i := range m.NumPolygons() {
		p := m.Polygon(i)
		for j := range p.NumLinearRings() {
			r := p.LinearRing(j)
			if (r.Area() > 0) != (j == 0) {
				t.Fatalf("polygon %d ring %d: area %g", i, j, r.Area())
			}
			if f := r.FlatCoords(); f[0] != f[len(f)-2] || f[1] != f[len(f)-1] {
				t.Fatalf("polygon %d ring %d is open", i, j)
			}
		}
	}
}

func shellsAndHoles(m *geom.MultiPolygon) (shells, holes int) {
	for _, ends := range m.Endss() {
		holes += len(ends) - 1
	}
	return m.NumPolygons(), holes
}

func randomPicture(rnd *rand.Rand, w, h, values int) *image.Gray {
	g := image.NewGray(image.Rect(0, 0, w, h))
	for i := range g.Pix {
		g.Pix[i] = uint8(rnd.IntN(values) * 255 / (values - 1))
	}
	return g
}

// The table of cases as Lorensen and Cline's cubes have it in the plane, by
// edges, numbered as is usual there: top left 8, top right 4, bottom right 2,
// bottom left 1.
func TestCases(t *testing.T) {
	want := [16]string{
		"", "LB", "BR", "LR", "TR", "", "TB", "LT", "LT", "TB", "", "TR", "LR", "BR", "LB", "",
	}
	const names = "TRBL"
	sorted := func(s string) string {
		b := []byte(s)
		slices.Sort(b)
		return string(b)
	}
	for usual, edges := range want {
		i := usual>>3&1 | usual>>2&1<<1 | usual&1<<2 | usual>>1&1<<3
		c := cases[i]
		if (c.saddle == 1) != (usual == 5 || usual == 10) {
			t.Errorf("case %d is a saddle: %d", usual, c.saddle)
		}
		if c.saddle == 1 {
			continue
		}
		got := ""
		if c.from != c.to {
			got = string(names[c.from]) + string(names[c.to])
		}
		if sorted(got) != sorted(edges) {
			t.Errorf("case %d: %s, want %s", usual, got, edges)
		}
		for e, has := range map[string]uint8{"T": c.hasTop, "R": c.hasRight, "B": c.hasBottom} {
			if (has == 1) != strings.Contains(edges, e) {
				t.Errorf("case %d: edge %s", usual, e)
			}
		}
	}
	for i, edges := range map[int][2]string{
		splitRising: {"TR", "LB"}, splitRising + 1: {"TL", "BR"}, // usual 5
		splitFalling: {"LT", "BR"}, splitFalling + 1: {"TR", "LB"}, // usual 10
	} {
		for k, w := range saddleSteps[i] {
			got := string(names[w.from]) + string(names[w.to])
			if sorted(got) != sorted(edges[0]) && sorted(got) != sorted(edges[1]) {
				t.Errorf("saddle %d: step %d is %s, want of %v", i, k, got, edges)
			}
		}
	}
}

// Two sets of corner values with their saddle values computed by hand from
// the formula of Nielson and Hamann 1991. Values count as dark when high, as
// with flip.
func TestAsymptoticDecider(t *testing.T) {
	// S = (1*0.9 - 0*0.2)/(1 + 0.9 - 0 - 0.2) = 0.5294: joined at 0.5.
	if !joins(10, 0, 9, 2, 10, true) {
		t.Error("(1, 0, 0.9, 0.2) at 0.5 is split")
	}
	// S = 4.8476: split at 5, where the mean of the corners, 5.55, would join.
	if joins(100, 35, 52, 35, 100, true) {
		t.Error("(10, 3.5, 5.2, 3.5) at 5 is joined")
	}
	for _, level2 := range []int{96, 97} { // on both sides of twice 48.476
		if got, want := joins(100, 35, 52, 35, level2, true), level2 == 96; got != want {
			t.Errorf("at %g: joined %v", float64(level2)/2, got)
		}
	}
}

// A block of w by h hard pixels has the area w*h - 0.5 and the perimeter
// 2(w+h) - 4 + 2√2: its corners are cut off by half a pixel.
func TestHardBlocks(t *testing.T) {
	for _, size := range [][2]int{{1, 1}, {10, 10}, {3, 7}, {64, 1}, {130, 66}} {
		for _, inset := range []int{0, 1, 5} {
			w, h := size[0], size[1]
			g := image.NewGray(image.Rect(0, 0, w+2*inset, h+2*inset))
			for i := range g.Pix {
				x, y := i%g.Stride-inset, i/g.Stride-inset
				if x < 0 || y < 0 || x >= w || y >= h {
					g.Pix[i] = 255
				}
			}
			m := tracedWhole(t, g, Options{Threshold: 0.5})
			if got, want := m.Area(), float64(w*h)-0.5; math.Abs(got-want) > 1e-9 {
				t.Errorf("%dx%d: area %g, want %g", w, h, got, want)
			}
			if got, want := m.Length(), float64(2*(w+h)-4)+2*math.Sqrt2; math.Abs(got-want) > 1e-9 {
				t.Errorf("%dx%d: length %g, want %g", w, h, got, want)
			}
			mustBeValid(t, m)
		}
	}
}

// The number of shells less that of holes is the Euler number of the cut
// pixels with eight neighbours, counted by Gray's bit quads (S. B. Gray, Local
// properties of binary images in two dimensions, 1971).
func TestEulerNumber(t *testing.T) {
	euler := func(g *image.Gray) int {
		w, h := g.Rect.Dx(), g.Rect.Dy()
		at := func(x, y int) int {
			if x < 0 || y < 0 || x >= w || y >= h || g.Pix[y*g.Stride+x] > 127 {
				return 0
			}
			return 1
		}
		q1, q3, qd := 0, 0, 0
		for y := 0; y <= h; y++ {
			for x := 0; x <= w; x++ {
				a, b, c, d := at(x-1, y-1), at(x, y-1), at(x-1, y), at(x, y)
				switch n := a + b + c + d; {
				case n == 1:
					q1++
				case n == 3:
					q3++
				case n == 2 && a == d:
					qd++
				}
			}
		}
		return (q1 - q3 - 2*qd) / 4
	}
	check := func(g *image.Gray) {
		t.Helper()
		m := tracedWhole(t, g, Options{Threshold: 0.5})
		shells, holes := shellsAndHoles(m)
		if want := euler(g); shells-holes != want {
			t.Errorf("%d shells, %d holes, Euler number %d", shells, holes, want)
		}
		mustBeValid(t, m)
	}
	// The worked examples: a ring has 0, a B -1, a plus without its middle 0,
	// two pixels by their corners 1.
	for _, c := range []struct {
		rows []string
		want int
	}{
		{[]string{"###", "#.#", "###"}, 0},
		{[]string{"###", "#.#", "###", "#.#", "###"}, -1},
		{[]string{".#.", "#.#", ".#."}, 0},
		{[]string{"#.", ".#"}, 1},
	} {
		g := drawn(c.rows...)
		if got := euler(g); got != c.want {
			t.Errorf("bit quads of %v: %d, want %d", c.rows, got, c.want)
		}
		check(g)
	}
	rnd := rand.New(rand.NewPCG(1, 1))
	for range 60 {
		check(randomPicture(rnd, 1+rnd.IntN(140), 1+rnd.IntN(40), 2))
	}
}

func TestWorstTopology(t *testing.T) {
	checkers := image.NewGray(image.Rect(0, 0, 70, 9))
	for i := range checkers.Pix {
		if (i%70+i/70)%2 == 1 {
			checkers.Pix[i] = 255
		}
	}
	m := tracedWhole(t, checkers, Options{})
	// All black pixels hang together by their corners, and every white one
	// inside is a hole: of the 315 white ones 7 rows of 34 are not on the edge.
	if shells, holes := shellsAndHoles(m); shells != 1 || holes != 68*7/2 {
		t.Errorf("checkers: %d shells, %d holes", shells, holes)
	}
	mustBeValid(t, m)

	diagonal := image.NewGray(image.Rect(0, 0, 65, 65))
	for i := range diagonal.Pix {
		if i%65 != i/65 {
			diagonal.Pix[i] = 255
		}
	}
	m = tracedWhole(t, diagonal, Options{})
	if shells, holes := shellsAndHoles(m); shells != 1 || holes != 0 {
		t.Errorf("diagonal: %d shells, %d holes", shells, holes)
	}
	mustBeValid(t, m)

	nested := image.NewGray(image.Rect(0, 0, 67, 67))
	for i := range nested.Pix {
		x, y := i%67, i/67
		if d := min(x, y, 66-x, 66-y); d%2 == 0 || d > 17 {
			nested.Pix[i] = 255
		}
	}
	m = tracedWhole(t, nested, Options{})
	if shells, holes := shellsAndHoles(m); shells != 9 || holes != 9 {
		t.Errorf("nested: %d shells, %d holes", shells, holes)
	}
	mustBeValid(t, m)

	white, black := image.NewGray(image.Rect(0, 0, 5, 4)), image.NewGray(image.Rect(0, 0, 5, 4))
	for i := range white.Pix {
		white.Pix[i] = 255
	}
	if m := tracedWhole(t, white, Options{}); m.NumPolygons() != 0 {
		t.Error("white is cut")
	}
	if m := tracedWhole(t, black, Options{}); m.NumPolygons() != 1 || m.Area() != 19.5 {
		t.Error("black is not cut")
	}
	if m := tracedWhole(t, white, Options{Invert: true}); m.NumPolygons() != 1 || m.Area() != 19.5 {
		t.Error("white is not cut with Invert")
	}
}

// The result must not know how the rows were dealt out to bands.
func TestBandsChangeNothing(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 3))
	for n := range 80 {
		w, h := 1+rnd.IntN(90), 1+rnd.IntN(60)
		g := randomPicture(rnd, w, h, []int{2, 3, 256}[n%3])
		r := newRaster(g, 255, n%2 == 0, 1)
		one, err := inBands(context.Background(), r, h+1)
		if err != nil {
			t.Fatal(err)
		}
		for _, rows := range []int{1, 2, 7} {
			many, err := inBands(context.Background(), r, rows)
			if err != nil {
				t.Fatal(err)
			}
			if !sameRings(one, many) {
				t.Fatalf("%dx%d in bands of %d rows differs", w, h, rows)
			}
		}
	}
}

func inBands(ctx context.Context, r *raster, rows int) ([]loop, error) {
	t, err := outlines(ctx, r, rows, nil)
	if err != nil {
		return nil, err
	}
	return t.loops, nil
}

func sameRings(a, b []loop) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].parent != b[i].parent || a[i].hole != b[i].hole || len(a[i].xy) != len(b[i].xy) {
			return false
		}
		for k := range a[i].xy {
			if a[i].xy[k] != b[i].xy[k] {
				return false
			}
		}
	}
	return true
}
