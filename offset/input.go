package offset

import (
	"math"
	"slices"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/ring"
)

// nearest is the distance in mm up to which points count as one, and up to which
// moving an edge leaves it where it is.
const nearest = 1e-9

// farthest bounds coordinates and distances, in mm: beyond it the digits of a
// float64 no longer reach down to nearest times a hundred.
const farthest = 1e9

// read returns the rings of mp without points that repeat their predecessor and
// without rings of fewer than three points.
func read(mp *geom.MultiPolygon) ([][]float64, error) {
	if mp == nil || mp.Empty() {
		return nil, nil
	}
	if mp.Layout() != geom.XY {
		return nil, &InputError{Reason: "coordinates are not of layout XY"}
	}
	flat := mp.FlatCoords()
	var rings [][]float64
	count := 0
	from := 0
	for _, ends := range mp.Endss() {
		for i, end := range ends {
			r := flat[from:end:end]
			from = end
			s, err := readRing(r)
			if err != nil {
				err.Ring = count
				return nil, err
			}
			count++
			if len(s) < 8 {
				continue
			}
			rings = append(rings, s)
			switch a := ring.Area(s); {
			case i == 0 && a < 0:
				return nil, &InputError{count - 1, s[0], s[1], "outer ring has a negative area"}
			case i > 0 && a > 0:
				return nil, &InputError{count - 1, s[0], s[1], "hole has a positive area"}
			}
		}
	}
	return rings, nil
}

// uncross returns rings around what rings, which may cross and overlap, wind
// around more than zero times.
func uncross(rings [][]float64) ([][]float64, error) {
	clean, err := repair(slices.Clone(rings), 0)
	if err != nil {
		return nil, err
	}
	return ring.Rings(clean), nil
}

// readRing returns r, or where it has points that repeat their predecessor a
// copy without those; nil if fewer than three are left.
func readRing(r []float64) ([]float64, *InputError) {
	n := len(r)
	if n == 0 {
		return nil, nil
	}
	for i := range r {
		if !(math.Abs(r[i]) <= farthest) {
			reason := "coordinate is not finite"
			if math.Abs(r[i]) < math.Inf(1) {
				reason = "coordinate lies further out than 1e9 mm"
			}
			return nil, &InputError{X: r[i&^1], Y: r[i|1], Reason: reason}
		}
	}
	if r[0] != r[n-2] || r[1] != r[n-1] {
		return nil, &InputError{X: r[n-2], Y: r[n-1], Reason: "ring is not closed"}
	}
	repeats := func(i, j int) bool {
		return math.Abs(r[i]-r[j]) <= nearest && math.Abs(r[i+1]-r[j+1]) <= nearest
	}
	i := 2
	for i < n && !repeats(i, i-2) {
		i += 2
	}
	if i >= n {
		if n < 8 {
			return nil, nil
		}
		return r, nil
	}
	s := append([]float64(nil), r[:2]...)
	last := 0
	for i := 2; i < n-2; i += 2 {
		if !repeats(i, last) && !repeats(i, 0) {
			s = append(s, r[i], r[i+1])
			last = i
		}
	}
	if s = append(s, r[0], r[1]); len(s) < 8 {
		return nil, nil
	}
	return s, nil
}
