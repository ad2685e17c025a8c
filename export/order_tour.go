package export

// stop is a line to be worked, as the search for a short way sees it.
type stop struct {
	doors  []place // where a ring may start; or the two ends of an open line
	ring   bool
	before []int32 // stops that have to come earlier
	after  []int32 // stops that have to come later
}

// tour is an order of stops and where each is entered. Two more stops, the first
// and the last of seq, stand for where the tool comes from and where it goes.
type tour struct {
	stops    []stop
	seq, pos []int32 // stops in order, and each one's place in it
	door     []int32 // the door by which a stop is entered
	gates    []gate  // of each stop, by its door
	line     []bool  // stops that are entered at one end and left at the other
	bound    []bool  // stops that have to come before another
	free     bool    // the way from the last line to the end does not count
}

// gate is where a stop is entered and left.
type gate struct{ in, out place }

func (t *tour) finish() int32 { return int32(len(t.stops)) + 1 }

// enter sets the door of a stop.
func (t *tour) enter(v, door int32) {
	s := &t.stops[v]
	t.door[v] = door
	g := gate{s.doors[door], s.doors[door]}
	if !s.ring {
		g.out = s.doors[1-door]
	}
	t.gates[v] = g
}

// toIn is the way from p into stop v.
func (t *tour) toIn(p place, v int32) float64 {
	if t.free && v == t.finish() {
		return 0
	}
	return p.to(t.gates[v].in)
}

// link is the way from one stop to the next.
func (t *tour) link(a, b int32) float64 { return t.toIn(t.gates[a].out, b) }

func (t *tour) length() float64 {
	sum := 0.0
	for i := 1; i < len(t.seq); i++ {
		sum += t.link(t.seq[i-1], t.seq[i])
	}
	return sum
}

// nearestFirst makes a tour by always going to the nearest door of a stop whose
// turn may come.
func nearestFirst(stops []stop, from, to place, free bool) *tour {
	n := len(stops)
	t := &tour{
		stops: stops, free: free,
		seq: make([]int32, 0, n+2), pos: make([]int32, n+2),
		door: make([]int32, n+2), gates: make([]gate, n+2),
		line: make([]bool, n+2), bound: make([]bool, n+2),
	}
	t.gates[n], t.gates[n+1] = gate{from, from}, gate{to, to}

	var doors []place
	var owner []int32
	first := make([]int32, n+1)
	for v, s := range stops {
		first[v] = int32(len(doors))
		doors = append(doors, s.doors...)
		for range s.doors {
			owner = append(owner, int32(v))
		}
	}
	first[n] = int32(len(doors))
	tree := newPlaceTree(doors)
	open := func(v int32, on bool) {
		for d := first[v]; d < first[v+1]; d++ {
			tree.set(d, on)
		}
	}
	waits := make([]int, n)
	for v, s := range stops {
		t.line[v], t.bound[v] = !s.ring, len(s.after) > 0
		if waits[v] = len(s.before); waits[v] == 0 {
			open(int32(v), true)
		}
	}
	t.seq = append(t.seq, int32(n))
	at := from
	var buf [1]found
	for range n {
		next := tree.nearest(at, 1, nil, buf[:0])[0].place
		v := owner[next]
		open(v, false)
		t.enter(v, next-first[v])
		t.seq = append(t.seq, v)
		at = t.gates[v].out
		for _, w := range stops[v].after {
			if waits[w]--; waits[w] == 0 {
				open(w, true)
			}
		}
	}
	t.seq = append(t.seq, int32(n+1))
	for i, v := range t.seq {
		t.pos[v] = int32(i)
	}
	return t
}

// bestDoors picks the doors that make the tour shortest in its order, by dynamic
// programming.
func (t *tour) bestDoors() {
	n := len(t.seq) - 2
	from := make([][]int32, n+1) // best door before, for each door of the stop
	cost := []float64{0}
	outs := []place{t.gates[t.seq[0]].out}
	for i := 1; i <= n; i++ {
		s := &t.stops[t.seq[i]]
		next := make([]float64, len(s.doors))
		nextOuts := make([]place, len(s.doors))
		from[i] = make([]int32, len(s.doors))
		for d, in := range s.doors {
			best := 0
			for e, o := range outs {
				if c := cost[e] + o.to(in); e == 0 || c < next[d] {
					next[d], best = c, e
				}
			}
			from[i][d] = int32(best)
			nextOuts[d] = in
			if !s.ring {
				nextOuts[d] = s.doors[1-d]
			}
		}
		cost, outs = next, nextOuts
	}
	best := 0
	last := func(d int) float64 { return cost[d] + t.toIn(outs[d], t.finish()) }
	for d := range outs {
		if last(d) < last(best) {
			best = d
		}
	}
	for i := n; i >= 1; i-- {
		t.enter(t.seq[i], int32(best))
		best = int(from[i][best])
	}
}
