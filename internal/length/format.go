package length

import (
	"math"
	"strconv"
)

// Rounding says where a length goes that no mark of the ruler meets.
type Rounding int

const (
	Nearest Rounding = iota // to the nearest mark, half-way cases away from zero
	Up                      // to the next mark upward: lids
	Down                    // to the next mark downward: bases
)

// RulerMarks is the division of the inch that craft rulers carry (common
// practice, no source): sixteenths.
const RulerMarks = 16

// slack is the part of one mark by which a length may miss it and still count
// as on it, so that 139.7 mm in binary is 5 1/2 in in whichever way we round.
const slack = 1e-6

// ToMark returns mm moved to a mark of a ruler that divides the inch in
// `marks` parts.
func ToMark(mm float64, marks int, r Rounding) float64 {
	return tidy(float64(markCount(mm, marks, r)) * MMPerInch / float64(marks))
}

func markCount(mm float64, marks int, r Rounding) int64 {
	n := mm / MMPerInch * float64(marks)
	switch r {
	case Up:
		return int64(math.Ceil(n - slack))
	case Down:
		return int64(math.Floor(n + slack))
	default:
		return int64(math.Round(n))
	}
}

// Fraction prints a length as whole inches and a reduced fraction read from a
// ruler of so many marks to the inch: "5 3/8", "15/16", "2", "-1/4".
func Fraction(mm float64, marks int, r Rounding) string {
	n := markCount(mm, marks, r)
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	whole, num, den := n/int64(marks), n%int64(marks), int64(marks)
	for num != 0 && num%2 == 0 && den%2 == 0 {
		num, den = num/2, den/2
	}
	switch {
	case num == 0:
		return sign + strconv.FormatInt(whole, 10)
	case whole == 0:
		return sign + strconv.FormatInt(num, 10) + "/" + strconv.FormatInt(den, 10)
	default:
		return sign + strconv.FormatInt(whole, 10) + " " + strconv.FormatInt(num, 10) + "/" + strconv.FormatInt(den, 10)
	}
}

// Format prints a length as both rulers read it: "5 3/8 in (136.5 mm)".
func Format(mm float64) string {
	return Fraction(mm, RulerMarks, Nearest) + " in (" + MM(mm) + ")"
}

// MM prints millimetres to a tenth, or to a hundredth below 10 mm where the
// tenth would hide it: "136.5 mm", "90 mm", "0.28 mm".
func MM(mm float64) string {
	digits := 1
	if math.Abs(mm) < 10 {
		digits = 2
	}
	v := strconv.FormatFloat(mm, 'f', digits, 64)
	for v[len(v)-1] == '0' {
		v = v[:len(v)-1]
	}
	if v[len(v)-1] == '.' {
		v = v[:len(v)-1]
	}
	if v == "-0" {
		v = "0"
	}
	return v + " mm"
}
