package trace

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.org/kerfleaf/internal/ring"
)

// polygonTruth is a regular polygon's, or a disc's if it has no sides.
func polygonTruth(x, y, r, turn float64, sides int, hard bool) truth {
	if sides == 0 {
		sides = 720
	}
	var p []oraclePoint
	for i := range sides {
		sin, cos := math.Sincos(turn + 2*math.Pi*float64(i)/float64(sides))
		p = append(p, oraclePoint{x + r*cos, y + r*sin})
	}
	return truth{rings: [][]oraclePoint{p}}
}

// TestDiscs: dots come out round, whatever the tolerance, and polygons keep their corners.
func TestDiscs(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 5))
	for _, hard := range []bool{false, true} {
		for _, r := range []float64{5, 6, 9, 20} {
			for _, tolerance := range []float64{0.25, 0.5} {
				t.Run(fmt.Sprintf("hard %v, radius %g, tolerance %g", hard, r, tolerance), func(t *testing.T) {
					regular := 0
					const tries = 20
					for range tries {
						x, y := r+4+rnd.Float64(), r+4+rnd.Float64()
						mp, err := Image(polygonTruth(x, y, r, 0, 0, hard).render(hard), 1, &Options{Tolerance: tolerance})
						if err != nil {
							t.Fatal(err)
						}
						got := ring.Rings(mp)[0]
						cx, cy, area := centre(got[:len(got)-2])
						if off, most := math.Hypot(cx-x, cy-y), 0.06+0.2*b2f(hard); off > most {
							t.Errorf("centre %.3f px off", off)
						}
						if d, most := math.Abs(math.Sqrt(area/math.Pi)-r), 0.08+0.07*b2f(hard); d > most {
							t.Errorf("radius %.3f px off", d)
						}
						near, far := math.Inf(1), 0.0
						for i := 0; i < len(got); i += 2 {
							d := math.Hypot(got[i]-cx, got[i+1]-cy)
							near, far = min(near, d), max(far, d)
						}
						if far-near < 1e-6 && len(got)/2 > discSides {
							regular++
						}
					}
					if regular < tries*3/4 {
						t.Errorf("%d of %d are regular", regular, tries)
					}
				})
			}
		}
	}
	for _, c := range []struct {
		sides int
		r     float64
		hard  bool
	}{{4, 6, false}, {4, 7, true}, {6, 6, false}, {6, 10, true}, {8, 9, false}, {8, 14, true}} {
		for range 20 {
			tr := polygonTruth(c.r+4+rnd.Float64(), c.r+4+rnd.Float64(), c.r, rnd.Float64()*math.Pi, c.sides, c.hard)
			s := &straightener{tolerance: 0.5, w: 100, h: 100}
			for _, r := range ours(t, tr.render(c.hard), &Options{Tolerance: -1}) {
				var flat []float64
				for _, p := range r {
					flat = append(flat, p.x, p.y)
				}
				s.ring(flat, c.hard)
				if got := s.disc(flat, c.hard); got.nodes != nil {
					t.Errorf("hard %v, %d sides, radius %g: taken for a disc", c.hard, c.sides, c.r)
				}
			}
		}
	}
}

// TestDiscsAtTinyTolerances: a polygon of as many sides as that takes is not begun.
func TestDiscsAtTinyTolerances(t *testing.T) {
	g := polygonTruth(12, 12, 8, 0, 0, false).render(false)
	raw := ours(t, g, &Options{Tolerance: -1})
	for _, tolerance := range []float64{1e-300, 1e-20, 1e-6} {
		if got := ours(t, g, &Options{Tolerance: tolerance}); len(got[0]) > len(raw[0]) {
			t.Errorf("tolerance %g: %d nodes, traced %d", tolerance, len(got[0]), len(raw[0]))
		}
	}
}

func b2f(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// TestDiscLeavesAnchors: where a disc comes to nothing, breaks are looked for from the ring's anchors on.
func TestDiscLeavesAnchors(t *testing.T) {
	for _, r := range ours(t, polygonTruth(12.3, 12.4, 8, 0, 0, false).render(false), &Options{Tolerance: -1}) {
		var xy []float64
		for _, p := range r {
			xy = append(xy, p.x, p.y)
		}
		s := &straightener{w: 100, h: 100, tolerance: 0.05} // less than vertices are off a circle
		s.n = len(r)
		s.raw, s.first = xy, s.anchors(xy)
		s.load(xy, s.first)
		want := slices.Clone(s.breaks)
		if c := s.disc(xy, false); c.nodes != nil {
			t.Fatal("within 0.05 pixels")
		}
		if !slices.Equal(s.breaks, want) {
			t.Errorf("anchors %v, were %v", s.breaks, want)
		}
	}
}
