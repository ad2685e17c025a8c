package offset

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/ring"
)

// What is known beforehand of free edges, against the distance to every edge:
// nothing comes near what is left of their pieces, and most edges are free.
func TestFreeEdges(t *testing.T) {
	rng := rand.New(rand.NewPCG(17, 18))
	for i := range uint64(4) {
		for name, mp := range map[string]*geom.MultiPolygon{
			"noise": noisePage(14, 14, 2.5, 0.31, i), "lace": lacePage(400, i), "blocks": blocks(20, 0.3+0.1*float64(i), rng),
		} {
			rings := ring.Rings(mp)
			for _, d := range []float64{0.02, -0.02, 0.07, -0.07, 0.13, -0.13} {
				s, err := (*Options)(nil).settings()
				if err != nil {
					t.Fatal(err)
				}
				src := newSource(rings, d, s)
				if src.grid == nil {
					t.Fatalf("%s %d by %v: no grid", name, i, d)
				}
				count := 0
				for k, m := range src.marks {
					if m != free {
						continue
					}
					count++
					if err := clearOf(rings, src, int32(k)); err != nil {
						t.Fatalf("%s %d by %v: %v", name, i, d, err)
					}
				}
				if share := float64(count) / float64(len(src.marks)); name != "blocks" && share < 0.9-2.5*src.d {
					t.Errorf("%s %d by %v: only %.2f of the edges are free", name, i, d, share)
				}
			}
		}
	}
}

// clearOf checks that no point of what is left of the pieces of edge k lies
// nearer than d to any edge.
func clearOf(rings [][]float64, s *source, k int32) error {
	e := &s.edges[k]
	check := func(x, y float64) error {
		if dist, _ := distance(rings, x, y); dist < s.d-1e-9 {
			return fmt.Errorf("(%v, %v), of the free edge from (%v, %v), lies %v from an edge", x, y, e.x, e.y, dist)
		}
		return nil
	}
	lo, hi := max(s.trim[k], 0), e.length-max(s.trim[k+1], 0)
	l := line{e.x, e.y, e.ux, e.uy, s.d}
	for _, f := range []float64{0, 0.2, 0.5, 0.9, 1} {
		if err := check(l.at(lo + f*(hi-lo))); err != nil {
			return err
		}
	}
	if s.trim[k] < 0 {
		r, _ := s.placeOf(k)
		a := newArc(&s.edges[s.prev(k, s.before[r], s.before[r+1]-1)], e)
		for _, f := range []float64{-1, -0.4, 0, 0.7, 1} {
			if err := check(a.at(s.d, f*a.end)); err != nil {
				return err
			}
		}
	}
	return nil
}
