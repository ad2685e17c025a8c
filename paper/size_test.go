package paper_test

import (
	"errors"
	"fmt"
	"testing"

	"example.org/kerfleaf/internal/length"
	"example.org/kerfleaf/paper"
)

// Basis weights in g/m², computed from the basis sizes of the trade's tables
// (1 lb = 453.59237 g, 1 in = 25.4 mm): the packet of watercolour paper says
// 300 for 140 lb, and index and cover of one number are different papers.
func TestBasisWeights(t *testing.T) {
	for _, c := range []struct {
		pounds float64
		basis  paper.Basis
		gsm    float64
	}{
		{20, paper.Bond, 75.19}, {24, paper.Bond, 90.23}, {65, paper.Cover, 175.77}, {80, paper.Cover, 216.33},
		{100, paper.Cover, 270.41}, {110, paper.Cover, 297.45}, {130, paper.Cover, 351.53}, {90, paper.Index, 162.72},
		{110, paper.Index, 198.88}, {140, paper.Index, 253.11}, {67, paper.Bristol, 146.92}, {140, paper.Watercolour, 298.27},
		{90, paper.Watercolour, 191.75}, {300, paper.Watercolour, 639.15}, {80, paper.Text, 118.41}, {1, paper.Tag, 1.62748},
	} {
		near(t, fmt.Sprint(c.pounds, c.basis), paper.GSM(c.pounds, c.basis), c.gsm, 6e-3)
	}
	if paper.GSM(1, "feather") != 0 {
		t.Error("an unknown basis has a weight")
	}
}

func TestParseWeight(t *testing.T) {
	for s, want := range map[string]float64{
		"220": 220, "220gsm": 220, "220 g/m²": 220, "80,5 g": 80.5, "80 lb cover": 216.33, "80# Cover": 216.33,
		"80 lbs text": 118.41, "60lb book": 88.81, "140 lb watercolor": 298.27,
	} {
		got, err := paper.ParseWeight(s)
		if err != nil {
			t.Errorf("%q: %v", s, err)
		}
		near(t, s, got, want, 6e-3)
	}
	for _, s := range []string{"", "heavy", "80 lb", "0", "-80", "80 lb feather", "80 cover", "1e9", "NaN", "999999999999"} {
		if v, err := paper.ParseWeight(s); err == nil {
			t.Errorf("%q: read as %g", s, v)
		}
	}
}

// The sheets of ISO 216:2007, mm.
func TestISO216(t *testing.T) {
	for name, want := range map[string][2]float64{
		"a0": {841, 1189}, "a1": {594, 841}, "a2": {420, 594}, "a3": {297, 420}, "a4": {210, 297},
		"a5": {148, 210}, "a6": {105, 148}, "a7": {74, 105}, "a8": {52, 74},
		"b0": {1000, 1414}, "b1": {707, 1000}, "b2": {500, 707}, "b3": {353, 500}, "b4": {250, 353},
		"b5": {176, 250}, "b6": {125, 176}, "b7": {88, 125},
	} {
		s, err := paper.ParseSize(name)
		if err != nil || s.Width != want[0] || s.Height != want[1] {
			t.Errorf("%s: got %v, %v", name, s, err)
		}
	}
}

func TestParseSize(t *testing.T) {
	for s, want := range map[string][2]float64{
		"Letter": {215.9, 279.4}, "legal": {215.9, 355.6}, "A4 landscape": {297, 210}, "a4-portrait": {210, 297},
		"12x12in": {304.8, 304.8}, "12in x 12in": {304.8, 304.8}, "30×40cm": {300, 400}, "210x297": {210, 297},
		`8 1/2 x 11"`: {215.9, 279.4}, "8½x11in": {215.9, 279.4}, "5 1/2 X 5 1/2": {139.7, 139.7},
		"20cm x 300mm": {200, 300}, "half imperial": {381, 558.8}, "7,5 x 10 cm": {75, 100},
	} {
		got, err := paper.ParseSize(s)
		if err != nil {
			t.Errorf("%q: %v", s, err)
			continue
		}
		near(t, s+" width", got.Width, want[0], 1e-9)
		near(t, s+" height", got.Height, want[1], 1e-9)
	}
	for _, s := range []string{"", "x", "0x10", "-3x4", "12x", "x12", "12x12furlongs", "1e5x3", "axb", "9999999x1"} {
		if got, err := paper.ParseSize(s); err == nil {
			t.Errorf("%q: read as %v", s, got)
		}
	}
	_, err := paper.ParseSize("leter")
	var e *paper.UnknownError
	if !errors.As(err, &e) || e.Nearest() != "letter" {
		t.Errorf("got %v", err)
	}
	if _, err = paper.ParseSize("12x12furlongs"); !errors.Is(err, length.ErrSyntax) {
		t.Errorf("got %v", err)
	}
}

func FuzzParseSize(f *testing.F) {
	for _, s := range []string{"a4", "12x12in", "½x½in", "x", "4x4x4", "5 1/2 x 8½ in"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if got, err := paper.ParseSize(s); err == nil && !(got.Width > 0 && got.Height > 0 && got.Width < 1e7 && got.Height < 1e7) {
			t.Errorf("%q: read as %v", s, got)
		}
	})
}

func ExampleParseSize() {
	for _, name := range []string{"a4", "12x12in", "8 1/2 x 11 in", "a44"} {
		s, err := paper.ParseSize(name)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(s)
	}
	// Output:
	// a4 (210 x 297 mm)
	// 12x12in (304.8 x 304.8 mm)
	// 215.9 x 279.4 mm
	// paper: unknown sheet size "a44": did you mean "a4"?
}

func ExampleSizes() {
	fmt.Println(paper.Sizes()[4])
	// Output:
	// a4 (210 x 297 mm)
}

func ExampleSize_Turned() {
	fmt.Println(paper.Size{Name: "reeds", Width: 20, Height: 30}.Turned())
	// Output:
	// reeds (30 x 20 mm)
}

func ExampleSize_String() {
	fmt.Println(paper.Size{Width: 304.8, Height: 9.5})
	// Output:
	// 304.8 x 9.5 mm
}

func ExampleGSM() {
	fmt.Printf("110 lb cover %.0f, 110 lb index %.0f\n", paper.GSM(110, paper.Cover), paper.GSM(110, paper.Index))
	// Output:
	// 110 lb cover 297, 110 lb index 199
}

func ExampleParseWeight() {
	g, err := paper.ParseWeight("80 lb cover")
	fmt.Printf("%.0f %v\n", g, err)
	_, err = paper.ParseWeight("80 lb")
	fmt.Println(err)
	// Output:
	// 216 <nil>
	// "80 lb" does not say pounds of what: add bond, text, cover, index, tag, bristol or watercolour
}
