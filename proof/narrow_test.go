package proof

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.org/kerfleaf/internal/ring"
)

// scattered are seeded star shapes near one another in a sheet of 60 x 60, those left out that would meet another.
func scattered(rnd *rand.Rand) [][]float64 {
	rings := [][]float64{{0, 0, 60, 0, 60, 60, 0, 60, 0, 0}}
	for range 60 {
		cx, cy, size := 4+52*rnd.Float64(), 4+52*rnd.Float64(), 1+4*rnd.Float64()
		n := 3 + rnd.IntN(9)
		var r []float64
		for k := range n {
			s, c := math.Sincos(2 * math.Pi * float64(k) / float64(n))
			d := size * (0.3 + 0.7*rnd.Float64())
			r = append(r, min(max(cx+d*c, 0.1), 59.9), min(max(cy+d*s, 0.1), 59.9))
		}
		r = append(r, r[0], r[1])
		all := append(append([][]float64{}, rings...), r)
		if ring.Check(ring.Nest(all)) == nil && ring.Nest(all).NumPolygons() == 1 {
			rings = all
		}
	}
	return rings
}

// Where the survey of a piece finds a thin web, the quick look for near edges must suspect one that is no wider.
func TestNarrowSuspectsAllThinWebs(t *testing.T) {
	n := 150
	if testing.Short() {
		n = 30
	}
	thinOnes, clean := 0, 0
	for seed := range n {
		rnd := rand.New(rand.NewPCG(uint64(seed), 3))
		paper := ring.Nest(scattered(rnd)).Polygon(0)
		for _, need := range []float64{0.05, 0.1, 0.2, 0.4, 0.8} {
			found, err := thin(paper, need)
			if err != nil {
				t.Fatal(err)
			}
			suspects := narrow(paper, need)
			if len(suspects) == 0 {
				clean++
			}
			thinOnes += len(found)
			least := math.Inf(1)
			for _, s := range suspects {
				least = min(least, s.Width)
			}
			for _, f := range found {
				if least > f.Width+1e-3 {
					t.Errorf("seed %d, need %g: %v, but the narrowest suspect is %.3f wide", seed, need, f, least)
				}
			}
		}
	}
	t.Logf("%d thin webs, %d pieces without a suspect", thinOnes, clean)
	if thinOnes == 0 || clean == 0 {
		t.Error("the pieces do not test anything")
	}
}
