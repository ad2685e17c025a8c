package proof

import (
	"fmt"
	"math"

	"github.com/twpayne/go-geom"
)

const (
	// slot is the share of its length that the ends of an open cut must be apart to be a slit: those of a half circle are
	// 0.64 apart, those of three sides of a square 0.33.
	slot = 0.6
	// slip is the distance in mm between ends that were meant to meet.
	slip = 0.3
)

// leftOpen claims that no cut is open that was meant to be closed. A slit is open for a reason: its ends are far apart, or
// both on other lines.
func (r *run) leftOpen() {
	var s *segments
	if len(r.open) > 0 {
		s = newSegments(points(r.closed, r.open, r.scores))
	}
	anchored := func(i int, x, y float64) bool {
		return s.touches(x, y, r.kerf/2+grid, len(r.closed)+i)
	}
	ends := map[[2]int64][]int{} // of open cuts by squares of side slip
	square := func(x, y float64) [2]int64 { return [2]int64{int64(math.Floor(x / slip)), int64(math.Floor(y / slip))} }
	end := func(e int) (x, y float64) {
		if t := r.open[e/2]; e%2 == 0 {
			return t.pts[0], t.pts[1]
		}
		return r.open[e/2].end()
	}
	for e := range 2 * len(r.open) {
		q := square(end(e))
		ends[q] = append(ends[q], e)
	}
	var faults []Claim
	for i, t := range r.open {
		x0, y0 := t.pts[0], t.pts[1]
		x1, y1 := t.end()
		a0, a1 := anchored(i, x0, y0), anchored(i, x1, y1)
		gap, length := math.Hypot(x1-x0, y1-y0), t.length()
		if gap < slot*length && !(a0 && a1) {
			faults = append(faults, Claim{Text: fmt.Sprintf("a cut of %.2f mm is open at %s: its ends are %.3f mm apart", length, spot(geom.Coord{x1, y1}), gap), At: geom.Coord{x1, y1}})
			continue
		}
		for e := 2 * i; e < 2*i+2; e++ {
			if e == 2*i && a0 || e == 2*i+1 && a1 {
				continue
			}
			x, y := end(e)
			q := square(x, y)
			for k := range 9 {
				for _, o := range ends[[2]int64{q[0] + int64(k%3) - 1, q[1] + int64(k/3) - 1}] {
					ox, oy := end(o)
					if d := math.Hypot(ox-x, oy-y); o/2 > i && d <= slip {
						faults = append(faults, Claim{Text: fmt.Sprintf("two cuts nearly meet at %s: their ends are %.3f mm apart", spot(geom.Coord{x, y}), d), At: geom.Coord{x, y}})
					}
				}
			}
		}
	}
	r.claims(faults, "no cut is left open; slits: %d", len(r.open))
}
