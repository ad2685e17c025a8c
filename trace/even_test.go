package trace

import (
	"fmt"
	"math"
	"math/rand"
	"testing"

	"example.org/kerfleaf/internal/ring"
)

// dotted is a board with three rows of twelve round holes, the radii in pixels, each hole somewhere between the pixels.
func dotted(radii [3]float64, seed int64) truth {
	rnd := rand.New(rand.NewSource(seed))
	const pitch = 70.0
	tr := truth{rings: [][]oraclePoint{{{4, 4}, {12*pitch + 30, 4}, {12*pitch + 30, 3*pitch + 30}, {4, 3*pitch + 30}}}}
	for row, r := range radii {
		for k := range 12 {
			hole := circleRing(r, -1)
			cx, cy := 50+pitch*float64(k)+rnd.Float64(), 50+pitch*float64(row)+rnd.Float64()
			for i := range hole {
				hole[i].x += cx
				hole[i].y += cy
			}
			tr.rings = append(tr.rings, hole)
		}
	}
	return tr
}

// Circles of one radius come out with one radius, those of another with another, each near the true one.
func TestEvenRadii(t *testing.T) {
	for _, hard := range []bool{false, true} {
		for _, smooth := range []float64{0, 4} {
			t.Run(fmt.Sprintf("hard %v, smooth %g", hard, smooth), func(t *testing.T) {
				want := [3]float64{24.3, 24.7, 30.05}
				mp, err := Image(dotted(want, 3).render(hard), 1, &Options{Smooth: smooth})
				if err != nil {
					t.Fatal(err)
				}
				if err := ring.Check(mp); err != nil {
					t.Fatal(err)
				}
				rings := ring.Rings(mp)
				if len(rings) != 37 {
					t.Fatalf("%d rings", len(rings))
				}
				seen := map[float64]int{}
				for _, r := range rings[1:] {
					radius := math.Sqrt(math.Abs(ring.Area(r)) / math.Pi)
					seen[math.Round(radius*1e9)/1e9]++
				}
				if len(seen) != 3 {
					t.Fatalf("radii and how often: %v", seen)
				}
				for _, w := range want {
					near := 0
					for radius, n := range seen {
						if math.Abs(radius-w) < 0.05 {
							near += n
						}
					}
					if near != 12 {
						t.Errorf("%d holes of radius about %g in %v", near, w, seen)
					}
				}
			})
		}
	}
}

// A circle that would come near another outline keeps its radius.
func TestEvenRadiiKeepsApart(t *testing.T) {
	flat := func(x, y, r float64) (out []float64) {
		for i := range 40 {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / 40)
			out = append(out, x+r*cos, y+r*sin)
		}
		return append(out, out[0], out[1])
	}
	mp := ring.Nest([][]float64{flat(20, 20, 10), flat(60, 20, 10.08), flat(60, 20, 10.1), flat(100, 20, 10.04), flat(140, 20, 12)})
	before := ring.Rings(mp.Clone())
	moved := evenRadii(mp, 0.1, 0.3)
	if err := ring.Check(mp); err != nil {
		t.Fatal(err)
	}
	after := ring.Rings(mp)
	area := func(r []float64) float64 { return math.Abs(ring.Area(r)) }
	same := 0
	for i := range after {
		if area(after[i]) == area(before[i]) {
			same++
		}
	}
	// The two circles 0.02 apart and the one of 12 stay; the other two move, by at most the spread.
	if same != 3 || math.Abs(area(after[0])-area(after[len(after)-2])) > 1e-9 || moved <= 0 || moved > 0.1 {
		t.Errorf("%d stay, moved %g: %v", same, moved, mp.FlatCoords())
	}
}
