// Package length reads and prints the lengths and areas that people type at a
// work table: "90mm", "9 cm", "3 1/2 in", `5-3/8"`, "½in", "13,65 cm".
//
// Every value inside the program is a float64 in millimetres (areas: mm²);
// 1 in = 25.4 mm exactly (international inch).
package length

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// MMPerInch is the international inch in millimetres.
const MMPerInch = 25.4

// ErrSyntax is wrapped by every error of Parse and ParseArea.
var ErrSyntax = errors.New("not a length")

// units maps each accepted spelling to millimetres. The longest match wins, so
// order does not matter.
var units = map[string]float64{
	"mm": 1, "millimetre": 1, "millimetres": 1, "millimeter": 1, "millimeters": 1,
	"cm": 10, "centimetre": 10, "centimetres": 10, "centimeter": 10, "centimeters": 10,
	"in": MMPerInch, "inch": MMPerInch, "inches": MMPerInch, "in.": MMPerInch,
	`"`: MMPerInch, "″": MMPerInch, "”": MMPerInch, "''": MMPerInch, "′′": MMPerInch,
}

// vulgar maps the single-character fractions of Unicode to their terms.
var vulgar = map[rune][2]int{
	'½': {1, 2}, '⅓': {1, 3}, '⅔': {2, 3}, '¼': {1, 4}, '¾': {3, 4},
	'⅕': {1, 5}, '⅖': {2, 5}, '⅗': {3, 5}, '⅘': {4, 5}, '⅙': {1, 6}, '⅚': {5, 6},
	'⅛': {1, 8}, '⅜': {3, 8}, '⅝': {5, 8}, '⅞': {7, 8}, '⅒': {1, 10},
}

// Parse reads a length and returns millimetres. A bare number is millimetres;
// a number with a fraction and no unit ("5 3/8") is inches, the only ruler
// that has fractions. A decimal comma is read as a point. A sign is allowed:
// whether a negative length makes sense is for the caller to say.
func Parse(s string) (float64, error) {
	number, unit := split(s)
	v, fraction, err := value(number)
	if err != nil {
		return 0, fmt.Errorf("%q is %w: %v (write 90mm, 9cm, 3.5in or \"3 1/2 in\")", s, ErrSyntax, err)
	}
	if unit == "" {
		if fraction {
			return tidy(v * MMPerInch), nil
		}
		return v, nil
	}
	f, ok := units[unit]
	if !ok {
		return 0, fmt.Errorf("%q is %w: unit %q is not known (write mm, cm or in)", s, ErrSyntax, unit)
	}
	return tidy(v * f), nil
}

// tidy drops what binary arithmetic leaves beyond a picometre, so that 3.5 in is
// 88.9 mm and not 88.89999999999999.
func tidy(mm float64) float64 { return math.Round(mm*1e9) / 1e9 }

// ParseArea reads an area and returns mm²: a bare number or one followed by
// mm2, mm², cm2, cm², in2 or in².
func ParseArea(s string) (float64, error) {
	number, unit := split(strings.TrimRight(strings.TrimSpace(s), "²2"))
	if unit == "" { // a bare number may itself end in 2
		number = s
	}
	v, _, err := value(strings.TrimSpace(number))
	if err != nil {
		return 0, fmt.Errorf("%q is not an area: %v (write 0.5 or 0.5mm2)", s, err)
	}
	if unit == "" {
		return v, nil
	}
	f, ok := units[unit]
	if !ok || !strings.HasSuffix(strings.TrimSpace(s), "2") && !strings.HasSuffix(strings.TrimSpace(s), "²") {
		return 0, fmt.Errorf("%q is not an area: write mm2, cm2 or in2", s)
	}
	return v * f * f, nil
}

// split cuts the text into its number and its unit, both trimmed; the unit is
// lower case.
func split(s string) (number, unit string) {
	s = strings.TrimSpace(s)
	i := len(s)
	for i > 0 && !numeric(s[i-1]) && !endsVulgar(s[:i]) {
		i--
	}
	return strings.TrimSpace(s[:i]), strings.ToLower(strings.TrimSpace(s[i:]))
}

func numeric(b byte) bool { return b >= '0' && b <= '9' }

func endsVulgar(s string) bool {
	for r := range vulgar {
		if strings.HasSuffix(s, string(r)) {
			return true
		}
	}
	return false
}

// value reads "5", "5.375", "5,375", "3/8", "5 3/8", "5-3/8", "5⅜", "-2".
func value(s string) (v float64, fraction bool, err error) {
	s = strings.ReplaceAll(strings.TrimSpace(s), "⁄", "/")
	if s == "" {
		return 0, false, errors.New("no number")
	}
	sign := 1.0
	switch {
	case s[0] == '-':
		sign, s = -1, s[1:]
	case s[0] == '+':
		s = s[1:]
	case strings.HasPrefix(s, "−"):
		sign, s = -1, strings.TrimPrefix(s, "−")
	}
	for r, q := range vulgar {
		if rest, ok := strings.CutSuffix(s, string(r)); ok {
			s = strings.TrimSpace(rest) + " " + strconv.Itoa(q[0]) + "/" + strconv.Itoa(q[1])
			break
		}
	}
	whole, frac := s, ""
	if strings.Contains(s, "/") {
		if i := strings.LastIndexAny(s, " -\u00a0"); i >= 0 {
			whole, frac = strings.TrimRight(s[:i], " -\u00a0"), strings.TrimLeft(s[i:], " -\u00a0")
		} else {
			whole, frac = "", s
		}
	}
	if whole != "" {
		if v, err = decimal(whole, frac != ""); err != nil {
			return 0, false, err
		}
	}
	if frac != "" {
		num, den, _ := strings.Cut(frac, "/")
		n, err1 := strconv.ParseUint(strings.TrimSpace(num), 10, 16)
		d, err2 := strconv.ParseUint(strings.TrimSpace(den), 10, 16)
		switch {
		case err1 != nil || err2 != nil:
			return 0, false, fmt.Errorf("%q is not a fraction", frac)
		case d == 0:
			return 0, false, fmt.Errorf("%q divides by zero", frac)
		}
		v += float64(n) / float64(d)
	}
	return sign * v, frac != "", nil
}

// decimal reads an unsigned plain number without exponent.
func decimal(s string, integer bool) (float64, error) {
	t := strings.Replace(s, ",", ".", 1)
	for _, r := range t {
		if (r < '0' || r > '9') && (r != '.' || integer) {
			return 0, fmt.Errorf("%q is not a number", s)
		}
	}
	v, err := strconv.ParseFloat(t, 64)
	if err != nil || math.IsInf(v, 0) || v > 1e9 {
		return 0, fmt.Errorf("%q is not a number", s)
	}
	return v, nil
}
