package box_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/peterstace/simplefeatures/geom"
	gogeom "github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/wkb"

	"example.org/kerfleaf/box"
)

const inch = 25.4

// supper is the box that the measures below are checked with: a 3 in window,
// 1/4 in margins and 1 in walls, in card over watercolour paper.
var supper = box.Spec{
	Width: 3 * inch, Height: 3 * inch, Margin: box.DefaultMargin, Depth: box.DefaultDepth,
	FrontThickness: 0.28, BaseThickness: 0.52,
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.6f, want %.6f", what, got, want)
	}
}

// A face of 3 1/2 in with 1 in walls needs 5 1/2 in of paper, and the base for it
// 5 3/8 in (common practice, no source).
func TestMakersMeasures(t *testing.T) {
	m, err := supper.Measures()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "front face", m.FrontFace.Width, 3.5*inch, 1e-9)
	near(t, "front blank", m.FrontBlank.Height, 5.5*inch, 1e-9)
	near(t, "base face", m.BaseFace.Width, 3.375*inch, 1e-9)
	near(t, "base blank", m.BaseBlank.Height, 5.375*inch, 1e-9)
	near(t, "base less", m.Less.Width, inch/8, 1e-9)
	near(t, "gap at the tabs", m.Gap.Height, 0.9075, 1e-9)
	near(t, "gap at the plain walls", m.Gap.Width, 0.9075+0.28, 1e-9)
	n, err := supper.Base()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "base outline", n.Outline.Bounds().Max(0), 5.375*inch, 1e-9)
}

// Worked gaps for two trays of 0.27 mm card whose scores differ by D: (D-2t)/2 a
// side, and (D-4t)/2 where tabs are glued inside the front's walls. Computed from
// the geometry of folding on the middle of the sheet.
func TestWorkedGaps(t *testing.T) {
	for _, c := range []struct{ d, plain, tabbed float64 }{
		{inch / 16, 0.52375, 0.25375}, {2.5, 0.98, 0.71}, {inch / 8, 1.3175, 1.0475},
	} {
		s := supper
		s.FrontThickness, s.BaseThickness = 0.27, 0.27
		s.Gap = (c.d - 4*0.27) / 2
		m, err := s.Measures()
		if err != nil {
			t.Fatal(err)
		}
		near(t, "less", m.Less.Width, c.d, 1e-9)
		near(t, "plain", m.Gap.Width, c.plain, 1e-9)
		near(t, "tabbed", m.Gap.Height, c.tabbed, 1e-9)
	}
}

// Boxes that makers have described, each lid and base cut from a sheet: sides w x h of
// the base's floor, walls of both, and what the lid is more.
func TestMakersBoxes(t *testing.T) {
	for _, c := range []struct {
		source               string
		w, h, base, lid      float64
		more                 float64
		baseW, baseH         float64
		lidW, lidH, lidFaceW float64
	}{
		{"a scoring-board tutorial", 3 * inch, 4 * inch, 2 * inch, inch, inch / 8, 7 * inch, 8 * inch, 5.125 * inch, 6.125 * inch, 3.125 * inch},
		{"C. Pooler, 1/16 rule, 2013", 8.5 * inch, 9.75 * inch, inch, inch, inch / 16, 10.5 * inch, 11.75 * inch, (10.5 + 1./16) * inch, (11.75 + 1./16) * inch, (8 + 9./16) * inch},
		{"a craft page, cm", 120, 120, 45, 25, 2.5, 210, 210, 172.5, 172.5, 122.5},
	} {
		const t1 = 0.2
		s := box.Spec{
			Width: c.w + c.more - 12, Height: c.h + c.more - 12, Margin: 6, Depth: c.lid, BaseDepth: c.base,
			FrontThickness: t1, BaseThickness: t1, Gap: (c.more - 4*t1) / 2,
		}
		m, err := s.Measures()
		if err != nil {
			t.Fatalf("%s: %v", c.source, err)
		}
		near(t, c.source+" base width", m.BaseBlank.Width, c.baseW, 1e-9)
		near(t, c.source+" base height", m.BaseBlank.Height, c.baseH, 1e-9)
		near(t, c.source+" lid width", m.FrontBlank.Width, c.lidW, 1e-9)
		near(t, c.source+" lid height", m.FrontBlank.Height, c.lidH, 1e-9)
		near(t, c.source+" lid face", m.FrontFace.Width, c.lidFaceW, 1e-9)
	}
}

// A 3 1/2 in face with 1 in walls: 30.25 in² of blank, a face of 12.25, four
// corners of 4 together, 4 in of snips, 18 in of scores (arithmetic of the net).
func TestNetAreasAndLengths(t *testing.T) {
	n, err := supper.Front()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "blank", n.Outline.Area()/inch/inch, 30.25, 1e-9)
	near(t, "snips", n.Slits.Length()/inch, 4, 1e-9)
	near(t, "scores", n.Mountain.Length()/inch, 18, 1e-9)
	near(t, "face", (n.Face.Max(0)-n.Face.Min(0))*(n.Face.Max(1)-n.Face.Min(1))/inch/inch, 12.25, 1e-9)
	near(t, "window", n.Window.Min(0), 1.25*inch, 1e-9)
	if n.Slits.NumLineStrings() != 4 || n.Valley.NumLineStrings() != 0 {
		t.Errorf("slits %d, valley scores %d", n.Slits.NumLineStrings(), n.Valley.NumLineStrings())
	}
}

// An independent reader of geometry finds every outline valid, and its signed
// area says that it runs the agreed way round.
func TestOutlinesAreValid(t *testing.T) {
	for i := range 200 {
		s := random(uint64(i))
		for _, make := range []func() (*box.Net, error){s.Front, s.Base} {
			n, err := make()
			if err != nil {
				t.Fatalf("%+v: %v", s, err)
			}
			if n.Outline.LinearRing(0).Area() <= 0 {
				t.Fatalf("%+v: outline runs the wrong way", s)
			}
			raw, err := wkb.Marshal(n.Outline, wkb.NDR)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := geom.UnmarshalWKB(raw); err != nil {
				t.Fatalf("%+v: %v", s, err)
			}
		}
	}
}

func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		change  func(*box.Spec)
		measure string
		limit   float64
	}{
		{func(s *box.Spec) { s.Gap = 0.19 }, "gap", 0.2},
		{func(s *box.Spec) { s.MinWeb = 6.5 }, "margin", 6.5},
		{func(s *box.Spec) { s.TabLength = 26 }, "front tab", 25.4},
		{func(s *box.Spec) { s.Depth = 60; s.TabLength = 50 }, "front tab", 3.5*inch/2 - 0.28},
		{func(s *box.Spec) { s.Tab = box.Mitred; s.TabLength = 20 }, "front tab", 25.4 * 0.375 * math.Sqrt(3)},
		{func(s *box.Spec) { s.BaseDepth = 10; s.TabLength = 12 }, "base tab", 10},
		{func(s *box.Spec) { s.Width = 0 }, "window width", 0},
		{func(s *box.Spec) { s.Height = -1 }, "window height", 0},
		{func(s *box.Spec) { s.Margin = 0 }, "margin", 0},
		{func(s *box.Spec) { s.Depth = math.NaN() }, "depth", 1e6},
		{func(s *box.Spec) { s.BaseThickness = math.Inf(1) }, "base thickness", 1e6},
		{func(s *box.Spec) { s.Depth = 1 }, "front depth", 4 * 0.28},
		{func(s *box.Spec) { s.Width, s.Height, s.Margin = 1, 1, 1 }, "base face", 4 * 0.52},
	} {
		s := supper
		c.change(&s)
		_, err := s.Front()
		var e *box.Error
		if !errors.As(err, &e) {
			t.Errorf("%s: got %v", c.measure, err)
			continue
		}
		if e.Measure != c.measure || math.Abs(e.Limit-c.limit) > 1e-9 {
			t.Errorf("got %+v, want %s with limit %g", e, c.measure, c.limit)
		}
	}
	for _, s := range []box.Spec{{Tab: 9}, {Ruler: -1}} {
		s2 := supper
		s2.Tab, s2.Ruler = s.Tab, s.Ruler
		if _, err := s2.Base(); err == nil {
			t.Errorf("%+v accepted", s)
		}
	}
}

// Turning the window a quarter turns the net, nothing else.
func TestQuarterTurn(t *testing.T) {
	s := supper
	s.Width, s.Height = 120, 70
	turned := s
	turned.Width, turned.Height = s.Height, s.Width
	a, err := s.Front()
	if err != nil {
		t.Fatal(err)
	}
	b, err := turned.Front()
	if err != nil {
		t.Fatal(err)
	}
	for _, pair := range [][2]*gogeom.MultiLineString{{a.Slits, b.Slits}, {a.Mountain, b.Mountain}} {
		for i := range pair[0].NumLineStrings() {
			p, q := pair[0].LineString(i).FlatCoords(), pair[1].LineString(i).FlatCoords()
			for j := 0; j < len(p); j += 2 {
				if p[j] != q[j+1] || p[j+1] != q[j] {
					t.Fatalf("line %d: %v against %v", i, p, q)
				}
			}
		}
	}
}

// All measures of the front lie on the ruler's marks, none below what was asked;
// the base's lie on marks, none above.
func TestRuler(t *testing.T) {
	for i := range 300 {
		s := random(uint64(i))
		plain, err := s.Measures()
		if err != nil {
			t.Fatal(err)
		}
		s.Ruler = 16
		m, err := s.Measures()
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range []float64{m.FrontFace.Width, m.FrontFace.Height, m.FrontBlank.Width, m.BaseFace.Width, m.BaseFace.Height, m.BaseBlank.Height} {
			marks := v / inch * 16
			near(t, "mark", marks, math.Round(marks), 1e-6)
		}
		const slack = 1e-4 // a mark is met within a millionth part of its width
		if m.FrontFace.Width < plain.FrontFace.Width-slack || m.FrontFace.Width > plain.FrontFace.Width+inch/16 {
			t.Errorf("front %v from %v", m.FrontFace, plain.FrontFace)
		}
		if m.Gap.Width < plain.Gap.Width-slack || m.Gap.Height < plain.Gap.Height-slack {
			t.Errorf("%+v: the gap shrank from %v to %v", s, plain.Gap, m.Gap)
		}
	}
}

// Card of 88.9, 140 and 200 mm grows by 0.62, 0.98 and 1.40 mm across its grain
// at 0.70 %; trays whose grain runs alike need no room for it.
func TestDamp(t *testing.T) {
	for _, c := range []struct{ face, growth float64 }{{88.9, 0.62}, {140, 0.98}, {200, 1.40}} {
		s := supper
		s.Width, s.Height = c.face-2*s.Margin, c.face-2*s.Margin
		s.Damp = true
		for _, g := range []struct {
			front, base box.Grain
			growth      float64
		}{
			{box.Unknown, box.Unknown, c.growth},
			{box.AlongWidth, box.AlongHeight, c.growth},
			{box.AlongWidth, box.Unknown, c.growth},
			{box.AlongHeight, box.AlongHeight, 0},
		} {
			s.FrontGrain, s.BaseGrain = g.front, g.base
			m, err := s.Measures()
			if err != nil {
				t.Fatal(err)
			}
			near(t, "width", m.Less.Width-inch/8, g.growth, 5e-3)
			near(t, "height", m.Less.Height-inch/8, g.growth, 5e-3)
		}
	}
}

// FuzzSpec: no measures make the nets panic, and what is accepted can be folded and
// slides.
func FuzzSpec(f *testing.F) {
	f.Add(76.2, 76.2, 6.35, 25.4, 0.28, 0.52, 0.0, 0.0, 0.8, 0.0, false, 0)
	f.Add(60.0, 40.0, 6.0, 20.0, 0.3, 0.3, 10.0, 0.5, 0.0, 8.0, true, 16)
	f.Add(1e-300, 1e6, 1.0, 1e6, 1e-9, 1.0, 0.0, 0.2, 0.0, 1e5, true, -1)
	f.Fuzz(func(t *testing.T, w, h, margin, depth, ft, bt, baseDepth, gap, web, tab float64, mitred bool, ruler int) {
		s := box.Spec{
			Width: w, Height: h, Margin: margin, Depth: depth, FrontThickness: ft, BaseThickness: bt,
			BaseDepth: baseDepth, Gap: gap, MinWeb: web, TabLength: tab, Ruler: ruler, Damp: mitred,
		}
		if mitred {
			s.Tab = box.Mitred
		}
		m, err := s.Measures()
		front, frontErr := s.Front()
		if (err == nil) != (frontErr == nil) {
			t.Fatalf("%v, but %v", err, frontErr)
		}
		if err != nil {
			return
		}
		if g := min(m.Gap.Width, m.Gap.Height); !(g >= box.MinGap-1e-3) {
			t.Errorf("%+v: accepted a gap of %g mm", s, g)
		}
		if a := front.Outline.Area(); !(a > 0) || a > m.FrontBlank.Width*m.FrontBlank.Height*(1+1e-9) {
			t.Errorf("%+v: outline of %g mm²", s, a)
		}
	})
}

func Example() {
	s := box.Spec{
		Width: 76.2, Height: 76.2, // a heron among reeds, 3 in square
		Margin: box.DefaultMargin, Depth: box.DefaultDepth,
		FrontThickness: 0.28, BaseThickness: 0.52,
	}
	m, err := s.Measures()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(m)
	s.Gap = 0.1
	_, err = s.Measures()
	fmt.Println(err)
	// Output:
	// front: face 3 1/2 in (88.9 mm) square, blank 5 1/2 in (139.7 mm) square
	// base:  face 3 3/8 in (85.7 mm) square, blank 5 3/8 in (136.5 mm) square
	// the base slides in with 0.9 mm a side
	// box: gap 0.1 mm, need 0.2 mm: the base would jam in the front
}

func ExampleSpec_Front() {
	s := box.Spec{Width: 60, Height: 40, Margin: 6, Depth: 20, FrontThickness: 0.28, BaseThickness: 0.28}
	n, err := s.Front()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("outline", n.Outline.FlatCoords())
	fmt.Println("first slit", n.Slits.LineString(0).FlatCoords())
	fmt.Println("window from", n.Window.Min(0), n.Window.Min(1), "to", n.Window.Max(0), n.Window.Max(1))
	// Output:
	// outline [0 0 112 0 112 92 0 92 0 0]
	// first slit [20 0 20 20]
	// window from 26 26 to 86 66
}

func ExampleSpec_Base() {
	s := box.Spec{Width: 60, Height: 40, Margin: 6, Depth: 20, FrontThickness: 0.3, BaseThickness: 0.3, Gap: 0.5, Tab: box.Mitred}
	n, err := s.Base()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("blank %.1f x %.1f mm, %d slits\n", n.Outline.Bounds().Max(0), n.Outline.Bounds().Max(1), n.Slits.NumLineStrings())
	// Output:
	// blank 109.8 x 89.8 mm, 0 slits
}

func ExampleSpec_Measures() {
	s := box.Spec{Width: 60, Height: 40, Margin: 6, Depth: 20, FrontThickness: 0.28, BaseThickness: 0.28, Gap: 0.5}
	m, err := s.Measures()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("less %.2f mm, gap %.2f and %.2f mm\n", m.Less.Width, m.Gap.Width, m.Gap.Height)
	// Output:
	// less 2.12 mm, gap 0.78 and 0.50 mm
}

func ExampleMeasures_SlidesIn() {
	m := box.Measures{Gap: box.Extent{Width: 0.92, Height: 0.66}}
	fmt.Println(m.SlidesIn())
	// Output:
	// the base slides in with 0.6 mm a side
}

func ExampleExtent_String() {
	fmt.Println(box.Extent{Width: 139.7, Height: 88.9})
	// Output:
	// 5 1/2 in (139.7 mm) x 3 1/2 in (88.9 mm)
}

func BenchmarkFrontAndBase(b *testing.B) {
	for b.Loop() {
		if _, err := supper.Front(); err != nil {
			b.Fatal(err)
		}
		if _, err := supper.Base(); err != nil {
			b.Fatal(err)
		}
	}
}
