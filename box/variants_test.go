package box_test

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/box"
)

// A heron's window with an island, in the front's frame.
func cutOut() *geom.MultiPolygon {
	return geom.NewMultiPolygonFlat(geom.XY,
		[]float64{40, 40, 90, 40, 90, 80, 40, 40, 60, 45, 70, 50, 70, 45, 60, 45}, [][]int{{8, 16}})
}

// The mirror law: distances, lengths and areas stay, every x becomes blank - x,
// what folded away folds toward, and twice mirrored is as before.
func TestFaceDown(t *testing.T) {
	for seed := range uint64(50) {
		s := random(seed)
		n, err := s.Front()
		if err != nil {
			t.Fatal(err)
		}
		cut := cutOut()
		before := slices.Clone(cut.FlatCoords())
		m, mirrored := n.FaceDown(cut)
		if !slices.Equal(before, cut.FlatCoords()) {
			t.Fatal("the cut-out given has changed")
		}
		w := n.Outline.Bounds().Max(0)
		near(t, "outline", m.Outline.Area(), n.Outline.Area(), 1e-6)
		near(t, "cut", mirrored.Area(), cut.Area(), 1e-9)
		if m.Mountain.NumLineStrings() != 0 || m.Valley.NumLineStrings() != n.Mountain.NumLineStrings() {
			t.Error("folds were not exchanged")
		}
		near(t, "face", m.Face.Min(0), w-n.Face.Max(0), 1e-9)
		near(t, "window", m.Window.Max(0), w-n.Window.Min(0), 1e-9)
		near(t, "cut left", mirrored.Bounds().Min(0), w-90, 1e-9)
		for i := 0; i < len(n.Mountain.FlatCoords()); i += 2 {
			near(t, "score", m.Valley.FlatCoords()[i], w-n.Mountain.FlatCoords()[i], 1e-9)
		}
		back, again := m.FaceDown(mirrored)
		for i, v := range again.FlatCoords() {
			near(t, "twice", v, before[i], 1e-9)
		}
		for i, v := range back.Outline.FlatCoords() {
			near(t, "twice", v, n.Outline.FlatCoords()[i], 1e-9)
		}
	}
	n, err := supper.Base()
	if err != nil {
		t.Fatal(err)
	}
	if m, cut := n.FaceDown(nil); cut != nil || m.Window != nil {
		t.Error("a base has no cut-out")
	}
}

// Perforations have cuts of the length asked, gaps no shorter than asked, and
// keep clear of edges and crossings.
func TestPerforate(t *testing.T) {
	n, err := supper.Front()
	if err != nil {
		t.Fatal(err)
	}
	const cut, gap = 3.0, 2.0
	p, err := box.Perforate(n.Mountain, cut, gap)
	if err != nil {
		t.Fatal(err)
	}
	// 88.9 mm between crossings: 17 cuts; 25.4 mm beyond them: 4
	if got, want := p.NumLineStrings(), 4*17+4*4; got != want {
		t.Errorf("%d cuts, want %d", got, want)
	}
	for i := range p.NumLineStrings() {
		l := p.LineString(i)
		near(t, "cut", l.Length(), cut, 1e-9)
		c := l.FlatCoords()
		for _, x := range []float64{0, 25.4, 25.4 + 88.9, 139.7} {
			for _, axis := range []int{0, 1} {
				if c[axis] == c[2+axis] {
					continue // runs along this line
				}
				if lo, hi := min(c[axis], c[2+axis]), max(c[axis], c[2+axis]); x > lo-gap+1e-9 && x < hi+gap-1e-9 {
					t.Errorf("cut %v comes within the gap of %g", c, x)
				}
			}
		}
		if i > 0 {
			q := p.LineString(i - 1).FlatCoords()
			if c[1] == q[1] && math.Abs(c[0]-q[2]) < gap-1e-9 {
				t.Errorf("gap between %v and %v", q, c)
			}
		}
	}
	for _, bad := range [][2]float64{{0, 1}, {1, 0}, {-1, 1}, {1, math.NaN()}, {math.Inf(1), 1}} {
		var e *box.Error
		if _, err := box.Perforate(n.Mountain, bad[0], bad[1]); !errors.As(err, &e) {
			t.Errorf("%v: got %v", bad, err)
		}
	}
}

func TestEndMarks(t *testing.T) {
	n, err := supper.Front()
	if err != nil {
		t.Fatal(err)
	}
	m, err := box.EndMarks(n.Mountain, 3)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "marks", m.Length(), 8*3, 1e-9)
	near(t, "first from the edge", m.LineString(0).FlatCoords()[0], 0, 0)
	near(t, "second from the other", m.LineString(1).FlatCoords()[0], 139.7, 0)
	if m, err = box.EndMarks(n.Mountain, 70); err != nil || m.Length() != n.Mountain.Length() {
		t.Errorf("marks longer than half the score: %v, %v", m.Length(), err)
	}
	if _, err := box.EndMarks(n.Mountain, 0); err == nil {
		t.Error("marks without length")
	}
}

// Liner and spacer lie within the base's walls and tabs with room on every
// side, and the frame's bars stay behind the margin.
func TestInlays(t *testing.T) {
	for seed := range uint64(200) {
		s := random(seed)
		liner, err := s.Liner()
		if err != nil {
			t.Fatalf("%+v: %v", s, err)
		}
		base, err := s.Base()
		if err != nil {
			t.Fatal(err)
		}
		w, h := liner.Bounds().Max(0), liner.Bounds().Max(1)
		fw, fh := base.Face.Max(0)-base.Face.Min(0), base.Face.Max(1)-base.Face.Min(1)
		at := slab{
			lo: [3]float64{base.Face.Min(0) + (fw-w)/2 - 0.24, base.Face.Min(1) + (fh-h)/2 - 0.24, 0},
			hi: [3]float64{base.Face.Max(0) - (fw-w)/2 + 0.24, base.Face.Max(1) - (fh-h)/2 + 0.24, 0.1},
		}
		for _, wall := range folded(base, s.BaseThickness) {
			if overlap(at, wall) {
				t.Errorf("seed %d: the liner %g x %g touches a wall", seed, w, h)
			}
		}
		if trim := fw - w; trim < 1-1e-9 || trim > 1+3*s.BaseThickness {
			t.Errorf("liner is %g mm less than the face", trim)
		}
		spacer, err := s.Spacer()
		if err != nil {
			var e *box.Error
			if !errors.As(err, &e) || e.Measure != "spacer bar" || e.Got >= 2 {
				t.Errorf("seed %d: %v", seed, err)
			}
			continue
		}
		near(t, "spacer", spacer.Area(), w*h-(s.Width+1)*(s.Height+1), 1e-6)
		if spacer.LinearRing(1).Area() >= 0 {
			t.Error("the hole runs the wrong way")
		}
	}
	small := box.Spec{Width: 1, Height: 1, Margin: 0.75, Depth: 5, FrontThickness: 0.1, BaseThickness: 0.3, Gap: 0.3}
	var e *box.Error
	if _, err := small.Liner(); !errors.As(err, &e) || e.Measure != "liner" {
		t.Errorf("a floor of 1.3 mm between walls and tabs: %v", err)
	}
}

func ExampleNet_FaceDown() {
	n, err := box.Spec{Width: 60, Height: 40, Margin: 6, Depth: 20, FrontThickness: 0.28, BaseThickness: 0.28}.Front()
	if err != nil {
		fmt.Println(err)
		return
	}
	moth := geom.NewMultiPolygonFlat(geom.XY, []float64{30, 30, 40, 30, 30, 40, 30, 30}, [][]int{{8}})
	m, cut := n.FaceDown(moth)
	fmt.Println(cut.FlatCoords(), m.Valley.NumLineStrings(), "valley folds")
	// Output:
	// [82 30 82 40 72 30 82 30] 4 valley folds
}

func ExamplePerforate() {
	score := geom.NewMultiLineStringFlat(geom.XY, []float64{0, 0, 12, 0}, []int{4})
	p, err := box.Perforate(score, 3, 1)
	fmt.Println(p.FlatCoords(), err)
	// Output:
	// [2 0 5 0 7 0 10 0] <nil>
}

func ExampleEndMarks() {
	score := geom.NewMultiLineStringFlat(geom.XY, []float64{0, 0, 12, 0}, []int{4})
	p, err := box.EndMarks(score, 3)
	fmt.Println(p.FlatCoords(), err)
	// Output:
	// [0 0 3 0 12 0 9 0] <nil>
}

func ExampleSpec_Liner() {
	s := box.Spec{Width: 60, Height: 40, Margin: 6, Depth: 20, FrontThickness: 0.3, BaseThickness: 0.3, Gap: 0.9}
	l, err := s.Liner()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f x %.1f mm\n", l.Bounds().Max(0), l.Bounds().Max(1))
	// Output:
	// 67.6 x 47.6 mm
}

func ExampleSpec_Spacer() {
	s := box.Spec{Width: 60, Height: 40, Margin: 6, Depth: 20, FrontThickness: 0.3, BaseThickness: 0.3, Gap: 0.9}
	f, err := s.Spacer()
	if err != nil {
		fmt.Println(err)
		return
	}
	hole := f.LinearRing(1).Bounds()
	fmt.Printf("bars %.1f mm, opening %.1f x %.1f mm\n", hole.Min(0), hole.Max(0)-hole.Min(0), hole.Max(1)-hole.Min(1))
	s.Margin = 3
	_, err = s.Spacer()
	fmt.Println(err)
	// Output:
	// bars 3.3 mm, opening 61.0 x 41.0 mm
	// box: spacer bar 0.3 mm, need 2 mm: the margin does not hide a wider one; widen the margin
}
