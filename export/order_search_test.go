package export

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// Whatever is turned round, swapped and taken back, the ways are those from each stop to the next.
func TestSearchKeepsWays(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 1))
	for _, free := range []bool{false, true} {
		s := newSearch(nearestFirst(randomStops(r, 40), place{}, place{50, 0}, free))
		check := func() {
			t.Helper()
			for i := range s.seq[:len(s.seq)-1] {
				if v := s.seq[i]; s.way[v] != s.link(v, s.seq[i+1]) || s.pos[v] != int32(i) {
					t.Fatalf("stop %d at %d: noted %d and %g, the way to the next is %g", v, i, s.pos[v], s.way[v], s.link(v, s.seq[i+1]))
				}
			}
		}
		s.logged = true
		before := slices.Clone(s.seq)
		for range 200 {
			lo := 1 + r.Int32N(39)
			hi := lo + 1 + r.Int32N(40-lo)
			if r.IntN(2) == 0 {
				s.turn(lo, hi)
			} else {
				s.swap(lo, lo+1+r.Int32N(hi-lo), hi)
			}
			check()
		}
		s.undo()
		check()
		if !slices.Equal(s.seq, before) {
			t.Fatal("what was done is not taken back")
		}
	}
}

// The first half is that of the sorted places.
func TestHalveAgainstSorting(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 1))
	for _, n := range []int{2, 3, 7, 100, 1001} {
		for _, kind := range []string{"any", "many alike", "rising", "falling", "organ pipe"} {
			at := make([]place, n)
			for i := range at {
				switch kind {
				case "any":
					at[i] = place{r.Float64(), r.Float64()}
				case "many alike":
					at[i] = place{float64(r.IntN(3)), float64(r.IntN(3))}
				case "rising":
					at[i] = place{float64(i), float64(i)}
				case "falling":
					at[i] = place{float64(-i), float64(-i)}
				case "organ pipe":
					at[i] = place{float64(min(i, n-i)), 0}
				}
			}
			tree := newPlaceTree(at)
			members := make([]int32, n)
			for i := range members {
				members[i] = int32(i)
			}
			for _, alongY := range []bool{false, true} {
				order := tree.order(alongY)
				want := slices.SortedFunc(slices.Values(members), order)[:n/2]
				halve(members, order)
				got := slices.SortedFunc(slices.Values(members[:n/2]), order)
				if !slices.Equal(got, want) {
					t.Fatalf("%d places, %s: got %v, want %v", n, kind, got, want)
				}
			}
		}
	}
}
