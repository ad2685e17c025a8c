package paper

import (
	"fmt"
	"strings"
	"unicode"

	"example.org/kerfleaf/internal/length"
)

// Size is a sheet of paper, Width by Height in mm. Named sizes stand upright.
type Size struct {
	Name          string
	Width, Height float64
}

// String gives the name, if there is one, and both sides in mm.
func (s Size) String() string {
	mm := trimMM(s.Width) + " x " + length.MM(s.Height)
	if s.Name == "" {
		return mm
	}
	return s.Name + " (" + mm + ")"
}

func trimMM(v float64) string { return strings.TrimSuffix(length.MM(v), " mm") }

// Turned returns the sheet lying on its other side.
func (s Size) Turned() Size { return Size{s.Name, s.Height, s.Width} }

// isoA0 and isoB0 are the largest sizes of ISO 216's two series; the next size
// halves the long side and drops the fraction of a millimetre.
var isoA0, isoB0 = [2]int{841, 1189}, [2]int{1000, 1414}

// smallestISO is the last size that ISO 216 names in each series.
const smallestISO = 10

// Sizes lists the named sheets: the A and B series of ISO 216, the sizes that
// North American offices use (ASME Y14.1 and trade, from memory), and those of
// craft and watercolour paper (common practice, no source).
func Sizes() []Size {
	var out []Size
	for _, series := range []struct {
		letter string
		size   [2]int
	}{{"a", isoA0}, {"b", isoB0}} {
		w, h := series.size[0], series.size[1]
		for n := range smallestISO + 1 {
			out = append(out, Size{fmt.Sprint(series.letter, n), float64(w), float64(h)})
			w, h = h/2, w
		}
	}
	for _, s := range []struct {
		name string
		w, h float64
	}{
		{"letter", 8.5, 11}, {"legal", 8.5, 14}, {"tabloid", 11, 17},
		{"6x6in", 6, 6}, {"12x12in", 12, 12}, {"12x24in", 12, 24},
		{"imperial", 22, 30}, {"half-imperial", 15, 22}, {"quarter-imperial", 11, 15},
	} {
		out = append(out, Size{s.name, s.w * length.MMPerInch, s.h * length.MMPerInch})
	}
	return out
}

// ParseSize reads the name of a sheet ("a4", "letter", "A4 landscape") or its
// width and height ("12x12in", "30 x 40 cm", "210x297"); a unit after the second
// number holds for both, and bare numbers are mm. It fails with an
// *[UnknownError] for a name that it does not know.
func ParseSize(s string) (Size, error) {
	name, turned := tidyName(s), false
	if n, ok := strings.CutSuffix(name, "-landscape"); ok {
		name, turned = n, true
	}
	name = strings.TrimSuffix(name, "-portrait")
	unknown := &UnknownError{What: "sheet size", Name: s}
	for _, k := range Sizes() {
		if k.Name == name {
			if turned {
				k = k.Turned()
			}
			return k, nil
		}
		unknown.Known = append(unknown.Known, k.Name)
	}
	first, second, ok := strings.Cut(strings.NewReplacer("×", "x", "X", "x").Replace(s), "x")
	if !ok || !strings.ContainsFunc(first, unicode.IsNumber) {
		return Size{}, unknown
	}
	h, err := length.Parse(second)
	if err != nil {
		return Size{}, fmt.Errorf("paper: sheet size %q: %w", s, err)
	}
	if unit(first) == "" {
		first += unit(second)
	}
	w, err := length.Parse(first)
	if err != nil {
		return Size{}, fmt.Errorf("paper: sheet size %q: %w", s, err)
	}
	if w <= 0 || h <= 0 || w > longest || h > longest {
		return Size{}, fmt.Errorf("paper: sheet size %q: both sides must be more than zero and at most %s", s, length.MM(longest))
	}
	return Size{Width: w, Height: h}, nil
}

// longest is more than any roll of paper is long, in mm.
const longest = 1e6

// unit returns what follows the last digit or fraction.
func unit(s string) string {
	i := strings.LastIndexFunc(s, unicode.IsNumber)
	if i < 0 {
		return ""
	}
	r := []rune(s[i:])
	return strings.TrimSpace(string(r[1:]))
}
