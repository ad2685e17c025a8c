package export

import "math/rand/v2"

const (
	// kickReach is how many lines the stretches of a kick have between them.
	kickReach = 30
	// The number of kicks grows with the number of lines up to a bound, which
	// keeps a page of lace well below a second: beyond some thousand lines the kicks
	// shorten the way by a few percent only.
	kicksPerStop, fewestKicks, mostKicks = 8, 3000, 8000
)

// shorten improves a tour until no single move helps, and then on by kicks: two
// neighbouring stretches are swapped at random, the search repairs what that
// broke, and the result is kept if it is no longer than before (iterated local
// search, Lourenço, Martin & Stützle 2003; the local double bridge of Martin, Otto &
// Felten 1991; both from memory). The dice are loaded the same way each time.
func (t *tour) shorten() {
	n := int32(len(t.stops))
	s := newSearch(t)
	s.settleAll()
	if n < 3 {
		return
	}
	dice := rand.New(rand.NewPCG(uint64(n), 2))
	for range min(max(kicksPerStop*int(n), fewestKicks), mostKicks) {
		reach := min(kickReach, n)
		lo := 1 + dice.Int32N(n-1)
		hi := min(lo+2+dice.Int32N(reach), n) // positions 1 to n may move
		mid := lo + 1 + dice.Int32N(hi-lo)
		if !s.maySwap(lo, mid, hi) {
			continue
		}
		s.logged = true
		touched := [6]int32{s.seq[lo-1], s.seq[lo], s.seq[mid-1], s.seq[mid], s.seq[hi], s.seq[hi+1]}
		a, b, c, d, e, f := touched[0], touched[1], touched[2], touched[3], touched[4], touched[5]
		cost := s.link(a, d) + s.link(e, b) + s.link(c, f) - s.link(a, b) - s.link(c, d) - s.link(e, f)
		s.swap(lo, mid, hi)
		for _, v := range touched {
			s.push(v)
		}
		if s.settle() < cost-least {
			s.undo()
		}
		s.logged, s.log = false, s.log[:0]
	}
}

// maySwap reports whether all of positions mid to hi may come before all of lo to
// mid-1.
func (s *search) maySwap(lo, mid, hi int32) bool {
	for _, v := range s.seq[lo:mid] {
		for _, w := range s.stops[v].after {
			if p := s.pos[w]; p >= mid && p <= hi {
				return false
			}
		}
	}
	return true
}
