package length

import (
	"errors"
	"fmt"
	"math"
	"testing"
)

// The inch is 25.4 mm (international yard and pound agreement, 1959); the
// spellings are those of craft instructions (common practice, no source).
func TestParse(t *testing.T) {
	for _, c := range []struct {
		in   string
		want float64
	}{
		{"90mm", 90}, {"90", 90}, {" 90 mm ", 90}, {"9cm", 90}, {"9 cm", 90}, {"13,65 cm", 136.5},
		{"3.5in", 88.9}, {"3 1/2 in", 88.9}, {"3-1/2in", 88.9}, {`5-3/8"`, 136.525}, {`5 3/8"`, 136.525},
		{"5 3/8", 136.525}, {"5-3/8", 136.525}, {"5⅜", 136.525}, {"5 ⅜ in", 136.525}, {"½in", 12.7}, {"½", 12.7},
		{"1/4 in", 6.35}, {"1⁄4 inch", 6.35}, {"5.375 inches", 136.525}, {"5 9/8 in", 155.575},
		{"-0.1mm", -0.1}, {"−2", -2}, {"+1in", 25.4}, {"-1/2 in", -12.7}, {"0", 0}, {"12″", 304.8}, {"136.5MM", 136.5},
	} {
		got, err := Parse(c.in)
		if err != nil || math.Abs(got-c.want) > 1e-9 {
			t.Errorf("Parse(%q) = %v, %v; want %v", c.in, got, err, c.want)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, in := range []string{"", "mm", "5/0", "5 3/0 in", "1.5 1/2 in", "twelve", "3 ft", "1e3", "NaN", "Inf", "1/2/3", "1..2", "--3", "3 1/2 1/4 in", "/", "1/", "0x10", "9999999999"} {
		if v, err := Parse(in); !errors.Is(err, ErrSyntax) {
			t.Errorf("Parse(%q) = %v, %v; want an error", in, v, err)
		}
	}
}

func TestParseArea(t *testing.T) {
	for _, c := range []struct {
		in   string
		want float64
	}{{"0.5", 0.5}, {"2", 2}, {"0.5mm2", 0.5}, {"22", 22}, {"1 cm²", 100}, {"1in2", 645.16}, {"0,2 mm²", 0.2}, {"12mm2", 12}} {
		got, err := ParseArea(c.in)
		if err != nil || math.Abs(got-c.want) > 1e-9 {
			t.Errorf("ParseArea(%q) = %v, %v; want %v", c.in, got, err, c.want)
		}
	}
	for _, in := range []string{"", "1mm", "1 acre", "x", "mm2"} {
		if v, err := ParseArea(in); err == nil {
			t.Errorf("ParseArea(%q) = %v, want an error", in, v)
		}
	}
}

// The sums are those one does with a ruler: exact in binary fractions of the
// inch, so they can be checked by hand.
func TestFraction(t *testing.T) {
	in := func(v float64) float64 { return v * MMPerInch }
	for _, c := range []struct {
		mm    float64
		marks int
		r     Rounding
		want  string
	}{
		{in(3.5 + 2), 16, Nearest, "5 1/2"}, {in(5.5 - 0.125), 16, Nearest, "5 3/8"}, {in(4.5 + 2), 16, Nearest, "6 1/2"},
		{in(3.5 + 1.5), 16, Nearest, "5"}, {in(5.4375 - 0.125), 16, Nearest, "5 5/16"}, {in(8.5 - 5.375), 16, Nearest, "3 1/8"},
		{in(3.375 + 2*0.9375), 16, Nearest, "5 1/4"}, {100, 16, Nearest, "3 15/16"}, {50, 32, Nearest, "1 31/32"}, {50, 16, Nearest, "1 15/16"},
		{10, 32, Nearest, "13/32"}, {10, 16, Nearest, "3/8"}, {25, 32, Nearest, "31/32"}, {25, 16, Nearest, "1"}, {3, 16, Nearest, "1/8"},
		{in(0.9375 + 0.0625), 16, Nearest, "1"}, {in(2), 16, Nearest, "2"}, {0, 16, Nearest, "0"}, {in(-0.25), 16, Nearest, "-1/4"},
		{136.5, 16, Up, "5 3/8"}, {136.6, 16, Up, "5 7/16"}, {136.6, 16, Down, "5 3/8"}, {136.5, 16, Down, "5 5/16"}, {139.7, 16, Up, "5 1/2"}, {139.7, 16, Down, "5 1/2"},
	} {
		if got := Fraction(c.mm, c.marks, c.r); got != c.want {
			t.Errorf("Fraction(%v, %d, %v) = %q, want %q", c.mm, c.marks, c.r, got, c.want)
		}
	}
}

// A mark is never further than half a division (nearest) or one division (up
// and down), and up and down never go the wrong way.
func TestToMarkLaws(t *testing.T) {
	for i := range 4000 {
		mm := float64(i) * 0.0713
		for _, marks := range []int{8, 16, 32, 64} {
			d := MMPerInch / float64(marks)
			near, up, down := ToMark(mm, marks, Nearest), ToMark(mm, marks, Up), ToMark(mm, marks, Down)
			if math.Abs(near-mm) > d/2+1e-9 || up < mm-d*slack*1.01 || up-mm > d || down > mm+d*slack*1.01 || mm-down > d {
				t.Fatalf("%v on 1/%d: nearest %v, up %v, down %v", mm, marks, near, up, down)
			}
		}
	}
}

func TestPrintedLengthsReadBack(t *testing.T) {
	for n := range 400 {
		mm := float64(n) * MMPerInch / 16
		got, err := Parse(Fraction(mm, 16, Nearest) + " in")
		if err != nil || math.Abs(got-mm) > 1e-9 {
			t.Fatalf("%v prints as %q, read back as %v, %v", mm, Fraction(mm, 16, Nearest), got, err)
		}
	}
}

func ExampleParse() {
	for _, s := range []string{"90mm", "3 1/2 in", `5-3/8"`, "½in"} {
		mm, err := Parse(s)
		fmt.Println(mm, err)
	}
	// Output:
	// 90 <nil>
	// 88.9 <nil>
	// 136.525 <nil>
	// 12.7 <nil>
}

func ExampleParseArea() {
	fmt.Println(ParseArea("1 cm2"))
	// Output: 100 <nil>
}

func ExampleFormat() {
	fmt.Println(Format(136.525))
	// Output: 5 3/8 in (136.5 mm)
}

func ExampleFraction() {
	fmt.Println(Fraction(136.6, 16, Up), Fraction(136.6, 16, Down))
	// Output: 5 7/16 5 3/8
}

func ExampleToMark() {
	fmt.Println(ToMark(100, 16, Nearest))
	// Output: 100.0125
}

func ExampleMM() {
	fmt.Println(MM(139.7), MM(127), MM(0.28))
	// Output: 139.7 mm 127 mm 0.28 mm
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"90mm", "5 3/8\"", "5⅜", "13,65 cm", "-1/2in", "1/0", "\u00a0", "½½"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		v, err := Parse(s)
		if err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
			t.Fatalf("Parse(%q) = %v", s, v)
		}
		_, _ = ParseArea(s)
	})
}
