package paper

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// Basis is the size of the sheets, 500 of which weigh what a paper's basis
// weight says. The trade's names do not agree, so "110 lb" alone means little.
type Basis string

// The basis sizes in inches of the trade's tables of basis weights.
const (
	Bond        Basis = "bond"        // 17 x 22
	Text        Basis = "text"        // 25 x 38, also book
	Cover       Basis = "cover"       // 20 x 26
	Index       Basis = "index"       // 25.5 x 30.5
	Tag         Basis = "tag"         // 24 x 36
	Bristol     Basis = "bristol"     // 22.5 x 28.5
	Watercolour Basis = "watercolour" // 22 x 30
)

var basisSizes = []struct {
	basis         Basis
	width, height float64
}{
	{Bond, 17, 22}, {Text, 25, 38}, {Cover, 20, 26}, {Index, 25.5, 30.5},
	{Tag, 24, 36}, {Bristol, 22.5, 28.5}, {Watercolour, 22, 30},
}

// GSM converts a basis weight in pounds to grams per square metre. It returns 0
// for an unknown basis.
func GSM(pounds float64, b Basis) float64 {
	const gramsPerPound, sheets, squareMetresPerSquareInch = 453.59237, 500, 0.00064516
	for _, s := range basisSizes {
		if s.basis == b {
			return pounds * gramsPerPound / (sheets * s.width * s.height * squareMetresPerSquareInch)
		}
	}
	return 0
}

var weight = regexp.MustCompile(`^([0-9]+(?:[.,][0-9]+)?)\s*(gsm|g/m2|g/m²|g|lbs?|#)?\s*([a-z]*)$`)

// ParseWeight reads a paper's weight and returns grams per square metre: "220",
// "220 gsm", "220 g/m²", or a basis weight with its basis, "80 lb cover".
func ParseWeight(s string) (float64, error) {
	m := weight.FindStringSubmatch(strings.ToLower(strings.TrimSpace(s)))
	if m == nil {
		return 0, fmt.Errorf("%q is not a weight (write 220 or \"80 lb cover\")", s)
	}
	v, err := strconv.ParseFloat(strings.Replace(m[1], ",", ".", 1), 64)
	if err != nil || v == 0 || v > 1e5 {
		return 0, fmt.Errorf("%q is not a weight", s)
	}
	pounds := m[2] == "#" || strings.HasPrefix(m[2], "lb")
	switch {
	case !pounds && m[3] == "":
		return v, nil
	case !pounds:
		return 0, fmt.Errorf("%q is not a weight: only pounds have a basis", s)
	}
	b := Basis(m[3])
	switch b { // other spellings of the trade
	case "book", "offset":
		b = Text
	case "watercolor":
		b = Watercolour
	}
	if g := GSM(v, b); g > 0 {
		return g, nil
	}
	return 0, fmt.Errorf("%q does not say pounds of what: add bond, text, cover, index, tag, bristol or watercolour", s)
}
