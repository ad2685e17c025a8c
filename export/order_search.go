package export

import "math"

// The search shortens a tour by two kinds of moves, tried only between lines that
// lie near each other, until none helps: turning a stretch round (2-opt, Croes
// 1958) and carrying up to three lines elsewhere (Or 1976). A line turned round is
// also worked the other way round.

const (
	neighbours = 8
	carried    = 3
	// longestMove bounds how many positions a move may shift, so that the work
	// stays in proportion to the number of moves (Bentley 1992, from memory).
	longestMove = 25_000
)

// search is a tour being improved. Doors stay as they are.
type search struct {
	*tour
	near   []near    // for each stop's two ends, 2v in and 2v+1 out by door 0, neighbours of them
	way    []float64 // from each stop to the next
	queue  []int32
	queued []bool
	log    []move
	logged bool
	buf    []int32
}

// near is an end of another stop: 2w or 2w+1.
type near struct {
	end int32
	d   float64
}

// move is a stretch of positions turned round, or if mid is not 0 two swapped.
type move struct{ lo, mid, hi int32 }

// end is which of a stop's ends is its way in (side 0) or out (side 1).
func (t *tour) end(v int32, side int32) int32 {
	if t.line[v] {
		return 2*v + (t.door[v] ^ side)
	}
	return 2 * v
}

func newSearch(t *tour) *search {
	n := len(t.stops)
	s := &search{tour: t, near: make([]near, 2*n*neighbours), way: make([]float64, n+2), queued: make([]bool, n+2)}
	var at []place
	var ends []int32
	for v := range int32(n) {
		if t.stops[v].ring {
			at, ends = append(at, t.gates[v].in), append(ends, 2*v)
			continue
		}
		at = append(at, t.stops[v].doors[0], t.stops[v].doors[1])
		ends = append(ends, 2*v, 2*v+1)
	}
	tree := newPlaceTree(at)
	for p := range at {
		tree.set(int32(p), true)
	}
	var buf []found
	for p, q := range at {
		self := ends[p] / 2
		buf = tree.nearest(q, neighbours, func(o int32) bool { return ends[o]/2 != self }, buf[:0])
		list := s.nearest(ends[p])
		for k := range list {
			list[k].d = math.Inf(1)
			if k < len(buf) {
				list[k] = near{ends[buf[k].place], q.to(at[buf[k].place])}
			}
		}
	}
	for _, v := range t.seq[:n+1] {
		s.measure(v)
	}
	return s
}

// nearest lists the ends of other stops that are nearest to an end, nearest first.
func (s *search) nearest(end int32) []near { return s.near[end*neighbours:][:neighbours] }

// measure notes how far it is from a stop to the next.
func (s *search) measure(v int32) { s.way[v] = s.link(v, s.seq[s.pos[v]+1]) }

func (s *search) push(v int32) {
	if v < int32(len(s.stops)) && !s.queued[v] {
		s.queued[v] = true
		s.queue = append(s.queue, v)
	}
}

// settleAll settles the whole tour.
func (s *search) settleAll() {
	for _, v := range s.seq {
		s.push(v)
	}
	s.settle()
}

// settle works through the queue and returns by how much the tour got shorter.
func (s *search) settle() float64 {
	gain := 0.0
	for head := 0; head < len(s.queue); head++ {
		v := s.queue[head]
		s.queued[v] = false
		for {
			g := s.improve(v)
			if g == 0 {
				break
			}
			gain += g
		}
		if head > 1024 && 2*head > len(s.queue) {
			s.queue = s.queue[:copy(s.queue, s.queue[head+1:])]
			head = -1
		}
	}
	s.queue = s.queue[:0]
	return gain
}

// least is the gain in mm from which a move is made, well above the noise of
// binary arithmetic.
const least = 1e-7

// improve makes the first move found that shortens the way into or out of v, and
// returns its gain, or 0.
func (s *search) improve(v int32) float64 {
	p := s.pos[v]
	prev := s.seq[p-1]
	link := s.way[v]
	for _, f := range s.nearest(s.end(v, 1)) {
		if f.d >= link {
			break
		}
		c := f.end / 2
		q := s.pos[c]
		if f.end == s.end(c, 1) { // out of v beside out of c: turn the stretch between them
			i, j := min(p, q)+1, max(p, q)
			if g := s.turnAround(i, j); g > 0 {
				return g
			}
			for l := range int32(carried) { // c last of a stretch that comes behind v turned round
				if g := s.carry(q-l, q, p, true, f.d, true); g > 0 {
					return g
				}
			}
		}
		if f.end == s.end(c, 0) {
			for l := range int32(carried) { // c first of a stretch that comes behind v
				if l > 0 || s.line[c] { // a ring alone is the same turned round
					if g := s.carry(q, q+l, p, false, f.d, true); g > 0 {
						return g
					}
				}
				if g := s.carry(p-l, p, q-1, false, f.d, false); g > 0 { // or v last of one that comes before c
					return g
				}
			}
		}
	}
	link = s.way[prev]
	for _, f := range s.nearest(s.end(v, 0)) {
		if f.d >= link {
			break
		}
		c := f.end / 2
		q := s.pos[c]
		if f.end == s.end(c, 0) { // into v beside into c
			i, j := min(p, q), max(p, q)-1
			if g := s.turnAround(i, j); g > 0 {
				return g
			}
			for l := range int32(carried) { // c first of a stretch that comes before v turned round
				if g := s.carry(q, q+l, p-1, true, f.d, false); g > 0 {
					return g
				}
			}
		}
		if f.end == s.end(c, 1) {
			for l := range int32(carried) { // c last of a stretch that comes before v
				if l > 0 || s.line[c] {
					if g := s.carry(q-l, q, p-1, false, f.d, false); g > 0 {
						return g
					}
				}
				if g := s.carry(p, p+l, q, false, f.d, true); g > 0 { // or v first of one that comes behind c
					return g
				}
			}
		}
	}
	return 0
}

// turnAround turns positions i to j round if that is allowed and saves something.
// It returns the gain or 0.
func (s *search) turnAround(i, j int32) float64 {
	if j-i > longestMove {
		return 0
	}
	a, b, c, d := s.seq[i-1], s.seq[i], s.seq[j], s.seq[j+1]
	g := s.way[a] + s.way[c] - s.gates[a].out.to(s.gates[c].out) - s.toIn(s.gates[b].in, d)
	if g <= least || !s.mayTurn(i, j) {
		return 0
	}
	s.turn(i, j)
	for _, v := range [4]int32{a, b, c, d} {
		s.push(v)
	}
	return g
}

// carry moves positions i to j between k and k+1, turned round or not, if that is
// allowed and saves something. It returns the gain or 0. It is known how far it is
// then from k to the stretch, or else from the stretch to k+1.
func (s *search) carry(i, j, k int32, turned bool, known float64, before bool) float64 {
	last := int32(len(s.seq)) - 1
	if i < 1 || j >= last || k >= i-1 && k <= j || k < 0 || k >= last || max(j, k)-min(i, k) > longestMove {
		return 0
	}
	a, b, c, d := s.seq[i-1], s.seq[i], s.seq[j], s.seq[j+1]
	e, f := s.seq[k], s.seq[k+1]
	g := s.way[a] + s.way[c] + s.way[e] - known
	if g <= least {
		return 0
	}
	g -= s.link(a, d)
	switch {
	case turned && before:
		g -= s.toIn(s.gates[b].in, f)
	case turned:
		g -= s.gates[e].out.to(s.gates[c].out)
	case before:
		g -= s.link(c, f)
	default:
		g -= s.link(e, b)
	}
	if g <= least || !s.mayCarry(i, j, k) || turned && !s.mayTurn(i, j) {
		return 0
	}
	at := k + 1 // where the stretch begins after the move
	if k > j {
		at = k - (j - i)
		s.swap(i, j+1, k)
	} else {
		s.swap(k+1, i, j)
	}
	if turned {
		s.turn(at, at+j-i)
	}
	for _, v := range [6]int32{a, b, c, d, e, f} {
		s.push(v)
	}
	return g
}

// turn turns positions lo to hi round, and every line in them.
func (s *search) turn(lo, hi int32) {
	if s.logged {
		s.log = append(s.log, move{lo: lo, hi: hi})
	}
	for i, j := lo, hi; i <= j; i, j = i+1, j-1 {
		v, w := s.seq[i], s.seq[j]
		s.seq[i], s.seq[j] = w, v
		s.pos[w], s.pos[v] = i, j
		s.reverse(v)
		if v != w {
			s.reverse(w)
		}
	}
	for i := lo; i < hi; i++ { // ways that turn round belong to their other ends
		s.way[s.seq[i]] = s.way[s.seq[i+1]]
	}
	s.measure(s.seq[lo-1])
	s.measure(s.seq[hi])
}

func (s *search) reverse(v int32) {
	if s.line[v] {
		s.door[v] = 1 - s.door[v]
		s.gates[v] = gate{s.gates[v].out, s.gates[v].in}
	}
}

// swap exchanges positions lo to mid-1 and mid to hi.
func (s *search) swap(lo, mid, hi int32) {
	if s.logged {
		s.log = append(s.log, move{lo, mid, hi})
	}
	a, b := s.seq[lo:mid], s.seq[mid:hi+1]
	if len(a) < len(b) {
		s.buf = append(s.buf[:0], a...)
		copy(s.seq[lo:], b)
		copy(s.seq[lo+int32(len(b)):], s.buf)
	} else {
		s.buf = append(s.buf[:0], b...)
		copy(s.seq[lo+int32(len(b)):], a)
		copy(s.seq[lo:], s.buf)
	}
	for i, v := range s.seq[lo : hi+1] {
		s.pos[v] = lo + int32(i)
	}
	s.measure(s.seq[lo-1])
	s.measure(s.seq[lo+hi-mid])
	s.measure(s.seq[hi])
}

// undo takes back all moves in the log.
func (s *search) undo() {
	s.logged = false
	for i := len(s.log) - 1; i >= 0; i-- {
		m := s.log[i]
		if m.mid == 0 {
			s.turn(m.lo, m.hi)
		} else {
			s.swap(m.lo, m.lo+m.hi-m.mid+1, m.hi)
		}
	}
	s.log = s.log[:0]
}

// mayTurn reports whether no two lines of the stretch have to stay in order.
func (s *search) mayTurn(i, j int32) bool {
	for _, v := range s.seq[i : j+1] {
		if !s.bound[v] {
			continue
		}
		for _, w := range s.stops[v].after {
			if s.pos[w] <= j {
				return false
			}
		}
	}
	return true
}

// mayCarry reports whether positions i to j may pass what lies between them and
// their new place behind k.
func (s *search) mayCarry(i, j, k int32) bool {
	for _, v := range s.seq[i : j+1] {
		if k > j {
			for _, w := range s.stops[v].after {
				if p := s.pos[w]; p > j && p <= k {
					return false
				}
			}
			continue
		}
		for _, w := range s.stops[v].before {
			if p := s.pos[w]; p > k && p < i {
				return false
			}
		}
	}
	return true
}
