// Package ring holds what several stages need to know about closed rings of
// plane coordinates: their area, what lies inside them, how they nest, and
// whether they are valid.
//
// A ring is a flat slice x0, y0, x1, y1, … whose last point repeats its first.
// Areas and orientations are algebraic: a ring is positive when it runs
// counter-clockwise with y up, which on a page with y down looks clockwise.
// An outer ring is positive, a hole negative, so that the inside of a polygon
// is always on the same (algebraically left) hand. Nothing here changes its
// input. Predicates are exact; lengths and areas are rounded as usual.
package ring

import "github.com/twpayne/go-geom"

// Area returns the signed area of a closed ring: positive for outer rings.
// Coordinates are taken relative to the first point, so that a small ring far
// from the origin keeps its digits.
func Area(r []float64) float64 {
	if len(r) < 8 {
		return 0
	}
	x0, y0 := r[0], r[1]
	sum := 0.0
	px, py := 0.0, 0.0
	for i := 2; i < len(r); i += 2 {
		x, y := r[i]-x0, r[i+1]-y0
		sum += px*y - x*py
		px, py = x, y
	}
	return sum / 2
}

// Position says where a point lies relative to a ring.
type Position int

// The three positions.
const (
	Outside  Position = -1
	Boundary Position = 0
	Inside   Position = 1
)

// Locate says exactly where (x, y) lies relative to a closed ring of either
// orientation, by the even-odd rule.
func Locate(r []float64, x, y float64) Position {
	in := Outside
	for i := 0; i+3 < len(r); i += 2 {
		ax, ay, bx, by := r[i], r[i+1], r[i+2], r[i+3]
		if ay > y && by > y || ay < y && by < y || ax < x && bx < x {
			continue
		}
		if ay == by { // level with the point
			if x >= min(ax, bx) && x <= max(ax, bx) {
				return Boundary
			}
			continue
		}
		o := Orient(ax, ay, bx, by, x, y)
		if o == 0 {
			return Boundary
		}
		// Half-open in y, so that a vertex on the ray counts once.
		if (ay <= y) != (by <= y) && (o > 0) == (by > ay) {
			in = -in
		}
	}
	return in
}

// Rings returns views of all the rings of mp, polygon by polygon.
func Rings(mp *geom.MultiPolygon) [][]float64 {
	flat, from := mp.FlatCoords(), 0
	n := 0
	for _, ends := range mp.Endss() {
		n += len(ends)
	}
	rs := make([][]float64, 0, n)
	for _, ends := range mp.Endss() {
		for _, end := range ends {
			rs = append(rs, flat[from:end:end])
			from = end
		}
	}
	return rs
}
