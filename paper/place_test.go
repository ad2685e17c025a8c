package paper_test

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/paper"
)

const inch = 25.4

func sheet(t testing.TB, name string) paper.Size {
	t.Helper()
	s, err := paper.ParseSize(name)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func part(w, h float64) *geom.Bounds { return geom.NewBounds(geom.XY).Set(3, -2, 3+w, -2+h) }

// sheets checks by looking at every pair that nothing overlaps or leaves the
// margins, and returns how many sheets were used.
func sheets(t testing.TB, parts []*geom.Bounds, s paper.Size, o *paper.PlaceOptions) int {
	t.Helper()
	ps, err := paper.Place(parts, s, o)
	if err != nil {
		t.Fatal(err)
	}
	if o == nil {
		o = &paper.PlaceOptions{}
	}
	const hair = 2e-6
	boxes := make([][4]float64, len(ps))
	n := 0
	for i, p := range ps {
		if p.Part != i || p.Turned && !o.Turn {
			t.Fatalf("%+v", p)
		}
		move := p.Move(parts[i])
		x0, y0 := move(parts[i].Min(0), parts[i].Min(1))
		x1, y1 := move(parts[i].Max(0), parts[i].Max(1))
		b := [4]float64{min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)}
		near(t, "placed x", b[0], p.X, 1e-9)
		near(t, "placed y", b[1], p.Y, 1e-9)
		if b[0] < o.Margin-hair || b[1] < o.Margin-hair || b[2] > s.Width-o.Margin+hair || b[3] > s.Height-o.Margin+hair {
			t.Fatalf("%+v leaves the sheet: %v", p, b)
		}
		for j, q := range ps[:i] {
			c := boxes[j]
			if q.Sheet == p.Sheet && b[0] < c[2]+o.Spacing-hair && c[0] < b[2]+o.Spacing-hair &&
				b[1] < c[3]+o.Spacing-hair && c[1] < b[3]+o.Spacing-hair {
				t.Fatalf("%+v overlaps %+v", p, q)
			}
		}
		boxes[i] = b
		n = max(n, p.Sheet+1)
	}
	return n
}

// Nets of a 3 1/2 in box on sheets that makers have; the counts and the spare
// room are plain arithmetic.
func TestPracticalSheets(t *testing.T) {
	const lid, base = 5.5 * inch, 5.375 * inch
	one, two := []*geom.Bounds{part(lid, lid)}, []*geom.Bounds{part(lid, lid), part(lid, lid)}
	pair := []*geom.Bounds{part(lid, lid), part(base, base)}
	four := append(slices.Clone(two), two...)
	for _, c := range []struct {
		name   string
		parts  []*geom.Bounds
		margin float64
		want   int
	}{
		{"letter", two, 0, 1}, {"letter", two, 6.35, 2}, {"letter", one, 6.35, 1},
		{"a4", two, 6.35, 1}, {"a4", two, 10, 2},
		{"12x12in", four, 10, 1}, {"a4", pair, 6.35, 1}, {"a4 landscape", pair, 6.35, 1},
		{"letter", pair, 0, 1}, {"letter", pair, 3.175, 2},
	} {
		if got := sheets(t, c.parts, sheet(t, c.name), &paper.PlaceOptions{Margin: c.margin}); got != c.want {
			t.Errorf("%d parts on %s with margin %g: %d sheets, want %d", len(c.parts), c.name, c.margin, got, c.want)
		}
	}
	// lid and base leave 8.075 mm of an A4 sheet's length within 1/4 in margins
	for _, c := range []struct {
		spacing float64
		want    int
	}{{8.075, 1}, {8.08, 2}} {
		if got := sheets(t, pair, sheet(t, "a4"), &paper.PlaceOptions{Margin: 6.35, Spacing: c.spacing}); got != c.want {
			t.Errorf("spacing %g: %d sheets, want %d", c.spacing, got, c.want)
		}
	}
	// and 3.175 mm of a letter sheet's without any margin
	for _, c := range []struct {
		spacing float64
		want    int
	}{{3.175, 1}, {3.18, 2}} {
		if got := sheets(t, pair, sheet(t, "letter"), &paper.PlaceOptions{Spacing: c.spacing}); got != c.want {
			t.Errorf("spacing %g: %d sheets, want %d", c.spacing, got, c.want)
		}
	}
}

// The lowest perfect squared square (Duijvestijn 1978, OEIS A014530): 21 squares
// fill one of side 112, and a strip 112 wide cannot be shorter. The 33 x 32 rectangle of nine squares is the smallest of its kind.
func TestSquaredSquare(t *testing.T) {
	for _, c := range []struct {
		sizes         []float64
		width, height float64
	}{
		{[]float64{2, 4, 6, 7, 8, 9, 11, 15, 16, 17, 18, 19, 24, 25, 27, 29, 33, 35, 37, 42, 50}, 112, 112},
		{[]float64{1, 4, 7, 8, 9, 10, 14, 15, 18}, 33, 32},
	} {
		var parts []*geom.Bounds
		area := 0.0
		for _, s := range c.sizes {
			parts = append(parts, part(s, s))
			area += s * s
		}
		near(t, "area", area, c.width*c.height, 0)
		h := c.height - 1
		for sheets(t, parts, paper.Size{Width: c.width, Height: h}, nil) > 1 {
			h++
		}
		t.Logf("%d squares in a strip %g wide: height %g, the perfect one is %g", len(parts), c.width, h, c.height)
		if h != c.height {
			t.Errorf("height %g", h)
		}
		for ; h < c.height+10; h++ { // a longer strip holds them too
			if n := sheets(t, parts, paper.Size{Width: c.width, Height: h}, nil); n != 1 {
				t.Errorf("%d strips of height %g", n, h)
			}
		}
	}
}

// Whatever the parts, none overlap, none are lost, and no more sheets are used than
// twice what the parts' areas fill, and a third: what parts on shelves would take.
func TestPlaceRandom(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 60 {
		var parts []*geom.Bounds
		area := 0.0
		for range 1 + r.IntN(40) {
			w, h := 5+r.Float64()*90, 5+r.Float64()*90
			parts = append(parts, part(w, h))
			area += w * h
		}
		o := &paper.PlaceOptions{Margin: r.Float64() * 8, Spacing: r.Float64() * 5, Turn: r.IntN(2) == 0}
		s := sheet(t, "a4")
		n := sheets(t, parts, s, o)
		room := (s.Width - 2*o.Margin) * (s.Height - 2*o.Margin)
		if filled := area / room; float64(n) > 2*filled*1.35+1 {
			t.Errorf("%d sheets for %.2f sheets of parts", n, filled)
		}
	}
}

func TestPlaceRepeats(t *testing.T) {
	parts := manyParts(60)
	o := &paper.PlaceOptions{Margin: 5, Spacing: 2, Turn: true}
	a, err := paper.Place(parts, sheet(t, "a3"), o)
	if err != nil {
		t.Fatal(err)
	}
	b, err := paper.Place(parts, sheet(t, "a3"), o)
	if err != nil || !slices.Equal(a, b) {
		t.Error("the same parts were placed differently")
	}
}

func TestDoesNotFit(t *testing.T) {
	lid := part(5.5*inch, 10*inch)
	for _, c := range []struct {
		size       string
		margin     float64
		turn       bool
		wide, high float64
	}{
		{"a5", 0, false, 0, 254 - 210},
		{"letter", 15, false, 0, 4.6},
		{"a5 landscape", 0, false, 0, 254 - 148},
		{"a5 landscape", 0, true, 0, 254 - 210},
		{"a6", 5, true, 139.7 + 10 - 105, 254 + 10 - 148},
	} {
		_, err := paper.Place([]*geom.Bounds{part(10, 10), lid}, sheet(t, c.size), &paper.PlaceOptions{Margin: c.margin, Turn: c.turn, Names: []string{"", "front"}})
		var e *paper.FitError
		if !errors.As(err, &e) {
			t.Errorf("%s: got %v", c.size, err)
			continue
		}
		near(t, c.size+" too wide", e.TooWide, c.wide, 1e-9)
		near(t, c.size+" too high", e.TooHigh, c.high, 1e-9)
		if e.Part != 1 || e.Name != "front" {
			t.Errorf("%+v", e)
		}
	}
	for _, o := range []paper.PlaceOptions{{Margin: -1}, {Spacing: -1}, {Margin: 1e9}} {
		if _, err := paper.Place(nil, sheet(t, "a4"), &o); err == nil {
			t.Errorf("%+v accepted", o)
		}
	}
	if _, err := paper.Place([]*geom.Bounds{geom.NewBounds(geom.XY)}, sheet(t, "a4"), nil); err == nil {
		t.Error("a part without size was placed")
	}
	if _, err := paper.Place(nil, paper.Size{}, nil); err == nil {
		t.Error("a sheet without size was used")
	}
	if ps, err := paper.Place(nil, sheet(t, "a4"), nil); err != nil || len(ps) != 0 {
		t.Error(ps, err)
	}
}

// Sheets that were cut into parts at random, edge to edge, are put together again
// with at most one sheet more, and more often with none.
func TestPlaceCutSheets(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 1))
	const side = 200.0
	more, runs := 0, 30
	for range runs {
		var parts []*geom.Bounds
		var split func(w, h float64, left int)
		split = func(w, h float64, left int) {
			f := 0.25 + 0.5*r.Float64()
			switch {
			case left == 0:
				parts = append(parts, part(w, h))
			case w > h:
				split(w*f, h, left-1)
				split(w-w*f, h, left-1)
			default:
				split(w, h*f, left-1)
				split(w, h-h*f, left-1)
			}
		}
		n := 1 + r.IntN(4)
		for range n {
			split(side, side, 1+r.IntN(3))
		}
		got := sheets(t, parts, paper.Size{Width: side, Height: side}, nil)
		if got < n || got > n+1 {
			t.Errorf("%d sheets were put together from %d parts as %d", n, len(parts), got)
		}
		more += got - n
	}
	t.Logf("%d of %d sets took one sheet more", more, runs)
	if more > runs/2 {
		t.Error("too many")
	}
}

// A quarter turn is a turn and no mirror image: it keeps the sense of a triangle.
func TestMoveKeepsHandedness(t *testing.T) {
	b := part(30, 20)
	for _, turned := range []bool{false, true} {
		move := paper.Placement{X: 7, Y: 9, Turned: turned}.Move(b)
		x0, y0 := move(3, -2)
		x1, y1 := move(33, -2)
		x2, y2 := move(3, 18)
		near(t, "area", (x1-x0)*(y2-y0)-(x2-x0)*(y1-y0), 600, 1e-9)
	}
}

func manyParts(n int) []*geom.Bounds {
	r := rand.New(rand.NewPCG(1, 2))
	var parts []*geom.Bounds
	for range n {
		parts = append(parts, part(10+r.Float64()*100, 10+r.Float64()*100))
	}
	return parts
}

// FuzzPlace: whatever the sizes, what is placed neither overlaps nor leaves the
// sheet, and no fewer sheets are used than the areas fill.
func FuzzPlace(f *testing.F) {
	f.Add([]byte{50, 50, 100, 20, 20, 100}, 5.0, 2.0, true)
	f.Add([]byte{0, 0, 0, 10, 10, 0, 200, 255}, 0.0, 0.0, false)
	f.Fuzz(func(t *testing.T, sizes []byte, margin, spacing float64, turn bool) {
		var parts []*geom.Bounds
		area := 0.0
		for i := 0; i+1 < min(len(sizes), 60); i += 2 {
			w, h := float64(sizes[i])*1.1, float64(sizes[i+1])*0.9
			parts = append(parts, part(w, h))
			area += w * h
		}
		s, o := paper.Size{Width: 210, Height: 297}, &paper.PlaceOptions{Margin: margin, Spacing: spacing, Turn: turn}
		if _, err := paper.Place(parts, s, o); err != nil {
			return
		}
		n := sheets(t, parts, s, o)
		if filled := area / (s.Width * s.Height); float64(n) < filled-1e-6 {
			t.Errorf("%.3f sheets of parts on %d", filled, n)
		}
	})
}

func ExamplePlace() {
	front := geom.NewBounds(geom.XY).Set(0, 0, 139.7, 139.7)
	base := geom.NewBounds(geom.XY).Set(0, 0, 136.525, 136.525)
	a4, err := paper.ParseSize("a4")
	if err != nil {
		fmt.Println(err)
		return
	}
	ps, err := paper.Place([]*geom.Bounds{front, base}, a4, &paper.PlaceOptions{Margin: 6.35, Spacing: 3})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range ps {
		fmt.Printf("part %d on sheet %d at %.2f, %.2f\n", p.Part+1, p.Sheet+1, p.X, p.Y)
	}
	_, err = paper.Place([]*geom.Bounds{front}, paper.Size{Name: "a6", Width: 105, Height: 148}, &paper.PlaceOptions{Names: []string{"front"}})
	fmt.Println(err)
	// Output:
	// part 1 on sheet 1 at 6.35, 6.35
	// part 2 on sheet 1 at 6.35, 149.05
	// paper: front, 139.7 x 139.7 mm, does not fit on a6 (105 x 148 mm): 34.7 mm too wide; it would fit on a5
}

func ExamplePlacement_Move() {
	base := geom.NewBounds(geom.XY).Set(0, 0, 60, 40)
	p := paper.Placement{X: 10, Y: 10, Turned: true}
	fmt.Println(p.Move(base)(0, 0)) // the base's top-left corner is now at the top right
	// Output:
	// 50 10
}

func BenchmarkPlace(b *testing.B) {
	for _, n := range []int{10, 100, 1000} {
		parts := manyParts(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			used := 0
			for b.Loop() {
				used = sheets(b, parts, sheet(b, "a3"), &paper.PlaceOptions{Margin: 5, Spacing: 3, Turn: true})
			}
			b.ReportMetric(float64(used), "sheets")
		})
	}
}
