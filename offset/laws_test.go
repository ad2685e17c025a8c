package offset

import (
	"fmt"
	"math"
	"runtime"
	"slices"
	"testing"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/ring"
)

// outsideBy returns how far points of a lie outside of b, at most.
func outsideBy(a, b *geom.MultiPolygon) float64 {
	worst := 0.0
	rings := ring.Rings(b)
	flat := a.FlatCoords()
	for i := 0; i < len(flat); i += 2 {
		if d, in := distance(rings, flat[i], flat[i+1]); !in {
			worst = max(worst, d)
		}
	}
	return worst
}

func laws(t *testing.T, check func(t *testing.T, mp *geom.MultiPolygon)) {
	for seed := range uint64(3) {
		t.Run(fmt.Sprint("noise", seed), func(t *testing.T) { check(t, noisePage(10, 10, 3, 0.4, seed)) })
		t.Run(fmt.Sprint("lace", seed), func(t *testing.T) { check(t, lacePage(150, seed)) })
	}
}

// fine keeps the chords of one step from mattering in the next, where the error
// grows with the sharpness of corners: the laws hold for true curves.
var fine = &Options{Tolerance: 1e-4}

// Closing (grow, then shrink) only adds, opening only takes away.
func TestClosingAndOpening(t *testing.T) {
	laws(t, func(t *testing.T, mp *geom.MultiPolygon) {
		for _, d := range []float64{0.1, 0.4} {
			closed := mustOffset(t, mustOffset(t, mp, d, fine), -d, fine)
			if by := outsideBy(mp, closed); by > 2e-3 {
				t.Errorf("growing and shrinking by %v lost %v mm", d, by)
			}
			opened := mustOffset(t, mustOffset(t, mp, -d, fine), d, fine)
			if by := outsideBy(opened, mp); by > 2e-3 {
				t.Errorf("shrinking and growing by %v added %v mm", d, by)
			}
		}
	})
}

// Minkowski sums with discs add up.
func TestAdditivity(t *testing.T) {
	laws(t, func(t *testing.T, mp *geom.MultiPolygon) {
		for _, d := range []float64{0.2, -0.2, 0.7} {
			twice := mustOffset(t, mustOffset(t, mp, d*0.6, fine), d*0.4, fine)
			once := mustOffset(t, mp, d, fine)
			near(t, "area", twice.Area(), once.Area(), 3e-4*once.Length())
			a, b := ring.Rings(twice), ring.Rings(once)
			for _, r := range a {
				for i := 0; i < len(r) && math.Abs(ring.Area(r)) > 0.05; i += 2 {
					if dist, _ := distance(b, r[i], r[i+1]); dist > 2e-3 {
						t.Fatalf("twice %v: (%v, %v) lies %v mm off", d, r[i], r[i+1], dist)
					}
				}
			}
		}
	})
}

// What the page is laid on must not matter.
func TestMotions(t *testing.T) {
	motions := map[string]func(x, y float64) (float64, float64){
		"shifted": func(x, y float64) (float64, float64) { return x + 1000.125, y - 777.0625 },
		"turned": func(x, y float64) (float64, float64) {
			return 0.6*x - 0.8*y, 0.8*x + 0.6*y
		},
		"mirrored": func(x, y float64) (float64, float64) { return -x, y },
	}
	laws(t, func(t *testing.T, mp *geom.MultiPolygon) {
		for name, f := range motions {
			flat := slices.Clone(mp.FlatCoords())
			for i := 0; i < len(flat); i += 2 {
				flat[i], flat[i+1] = f(flat[i], flat[i+1])
			}
			moved := geom.NewMultiPolygonFlat(geom.XY, flat, mp.Endss())
			if name == "mirrored" {
				moved = ring.Nest(ring.Rings(moved))
			}
			for _, j := range []Join{Round, Miter, Bevel} {
				for _, d := range []float64{0.3, -0.3, 1.1} {
					o := &Options{Join: j, Tolerance: 1e-3}
					a, b := mustOffset(t, mp, d, o), mustOffset(t, moved, d, o)
					near(t, fmt.Sprint(name, " join ", j, " by ", d), b.Area(), a.Area(), 2e-3*a.Length()+1e-6)
					if p, q := len(ring.Rings(a)), len(ring.Rings(b)); p != q {
						t.Errorf("%s join %d by %v: %d rings, at first %d", name, j, d, q, p)
					}
				}
			}
		}
	})
}

func TestSameOnAnyNumberOfProcessors(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	mp := lacePage(8_000, 5)
	for _, d := range []float64{0.1, -0.6} {
		for _, j := range []Join{Round, Miter} {
			var first *geom.MultiPolygon
			for _, n := range []int{1, 2, 7} {
				runtime.GOMAXPROCS(n)
				out := mustOffset(t, mp, d, &Options{Join: j})
				if first == nil {
					first = out
				}
				if !slices.Equal(out.FlatCoords(), first.FlatCoords()) || fmt.Sprint(out.Endss()) != fmt.Sprint(first.Endss()) {
					t.Errorf("join %d by %v on %d processors: another result", j, d, n)
				}
			}
		}
	}
}

func TestInputIsNotChanged(t *testing.T) {
	mp := lacePage(300, 1)
	flat := slices.Clone(mp.FlatCoords())
	mustOffset(t, mp, -0.2, nil)
	mustOffset(t, mp, 0.2, nil)
	out := mustOffset(t, mp, 0, nil)
	out.FlatCoords()[0] = 1e6
	if !slices.Equal(flat, mp.FlatCoords()) {
		t.Error("the input was changed")
	}
}

// The general formula for a simple polygon at a small distance: A + P r + r²
// (half the sum of the outward turns, less the sum of tan(half turn) of the
// inward ones): exact until the boundary meets itself.
func TestSteinerSimplePolygon(t *testing.T) {
	mp := lacePage(800, 3)
	const r = 0.01 // less than the shortest edge can lose
	for _, sign := range []float64{1, -1} {
		want := mp.Area() + sign*r*mp.Length()
		for _, s := range ring.Rings(mp) {
			n := len(s) - 2
			for i := 0; i < n; i += 2 {
				p, q := (i+n-2)%n, (i+2)%n
				ax, ay, bx, by := s[i]-s[p], s[i+1]-s[p+1], s[q]-s[i], s[q+1]-s[i+1]
				turn := sign * math.Atan2(ax*by-ay*bx, ax*bx+ay*by)
				if turn > 0 {
					want += sign * r * r * turn / 2
				} else {
					want += sign * r * r * math.Tan(turn/2)
				}
			}
		}
		near(t, "area", mustOffset(t, mp, sign*r, &Options{Tolerance: 1e-6}).Area(), want, 1e-5)
	}
}
