package export

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/twpayne/go-geom"
)

// berlin52 is the instance of that name in TSPLIB (Reinelt, ORSA Journal on
// Computing 3, 1991; EUC_2D: distances are rounded to integers). Its shortest round
// trip is 7542.
var berlin52 = []place{
	{565, 575}, {25, 185}, {345, 750}, {945, 685}, {845, 655}, {880, 660}, {25, 230}, {525, 1000}, {580, 1175},
	{650, 1130}, {1605, 620}, {1220, 580}, {1465, 200}, {1530, 5}, {845, 680}, {725, 370}, {145, 665}, {415, 635},
	{510, 875}, {560, 365}, {300, 465}, {520, 585}, {480, 415}, {835, 625}, {975, 580}, {1215, 245}, {1320, 315},
	{1250, 400}, {660, 180}, {410, 250}, {420, 555}, {575, 665}, {1150, 1160}, {700, 580}, {685, 595}, {685, 610},
	{770, 610}, {795, 645}, {720, 635}, {760, 650}, {475, 960}, {95, 260}, {875, 920}, {700, 500}, {555, 815},
	{830, 485}, {1170, 65}, {830, 610}, {605, 625}, {595, 360}, {1340, 725}, {1740, 245},
}

const berlin52Shortest = 7542

// roundTrip is the length of a closed tour by TSPLIB's rule for EUC_2D.
func roundTrip(ps []place) int {
	sum := 0
	for i, p := range ps {
		q := ps[(i+1)%len(ps)]
		sum += int(math.Hypot(p.x-q.x, p.y-q.y) + 0.5)
	}
	return sum
}

// Paths of no size at the 52 places, ordered from home at the first: within 5 % of
// the shortest round trip.
func TestOrderBerlin52(t *testing.T) {
	if got := roundTrip(berlin52); got != 22205 {
		t.Fatalf("the places in their own order are %d apart, TSPLIB's are 22205", got)
	}
	d := &Drawing{Width: 2000, Height: 1500}
	const speck = 1e-5
	var shapes []geom.T
	for _, p := range berlin52[1:] {
		shapes = append(shapes, geom.NewLinearRingFlat(geom.XY, []float64{p.x, p.y, p.x + speck, p.y, p.x, p.y + speck, p.x, p.y}))
	}
	d.Layers = []Layer{{Cut, shapes}}
	o, err := Order(d, &OrderOptions{Home: [2]float64{berlin52[0].x, berlin52[0].y}})
	if err != nil {
		t.Fatal(err)
	}
	trip := []place{berlin52[0]}
	for _, s := range o.Layers[0].Shapes {
		c := s.FlatCoords()
		trip = append(trip, place{math.Round(c[0]), math.Round(c[1])})
	}
	seen := slices.Clone(trip)
	for _, p := range berlin52 {
		i := slices.Index(seen, p)
		if i < 0 {
			t.Fatalf("%v was left out", p)
		}
		seen = slices.Delete(seen, i, i+1)
	}
	got := roundTrip(trip)
	t.Logf("berlin52: %d, the shortest is %d", got, berlin52Shortest)
	if got < berlin52Shortest || float64(got) > 1.05*berlin52Shortest {
		t.Errorf("round trip of %d, the shortest is %d", got, berlin52Shortest)
	}
}

// The nearest-neighbour tour of berlin52 from its first place is 8980 long,
// recomputed by hand from the definition.
func TestNearestFirst(t *testing.T) {
	var stops []stop
	for _, p := range berlin52[1:] {
		stops = append(stops, stop{doors: []place{p}, ring: true})
	}
	tr := nearestFirst(stops, berlin52[0], berlin52[0], false)
	var ps []place
	for _, v := range tr.seq[:len(tr.seq)-1] {
		ps = append(ps, tr.gates[v].in)
	}
	if got := roundTrip(ps); got != 8980 {
		t.Errorf("got %d", got)
	}
}

// randomStops mixes rings of several doors, open lines, and rules.
func randomStops(r *rand.Rand, n int) []stop {
	at := func() place { return place{100 * r.Float64(), 100 * r.Float64()} }
	stops := make([]stop, n)
	for i := range stops {
		s := &stops[i]
		switch c := at(); r.IntN(3) {
		case 0:
			s.doors = []place{c, at()}
		case 1:
			s.ring, s.doors = true, []place{c}
		default:
			s.ring = true
			for range 1 + r.IntN(4) {
				s.doors = append(s.doors, place{c.x + 10*r.Float64(), c.y + 10*r.Float64()})
			}
		}
	}
	for range n / 3 {
		a, b := int32(r.IntN(n)), int32(r.IntN(n))
		if a < b { // no circles
			stops[a].after, stops[b].before = append(stops[a].after, b), append(stops[b].before, a)
		}
	}
	return stops
}

// checkTour verifies a tour from its definition and returns its length.
func checkTour(t *testing.T, tr *tour, from, to place) float64 {
	t.Helper()
	n := len(tr.stops)
	if len(tr.seq) != n+2 || tr.seq[0] != int32(n) || tr.seq[n+1] != int32(n+1) {
		t.Fatalf("tour %v of %d stops", tr.seq, n)
	}
	pos := map[int32]int{}
	sum, at := 0.0, from
	for i, v := range tr.seq[1 : n+1] {
		if _, twice := pos[v]; twice {
			t.Fatalf("stop %d comes twice", v)
		}
		pos[v] = i
		s := tr.stops[v]
		for _, b := range s.before {
			if _, done := pos[b]; !done {
				t.Fatalf("stop %d comes before stop %d", v, b)
			}
		}
		in := s.doors[tr.door[v]]
		sum += math.Hypot(in.x-at.x, in.y-at.y)
		at = in
		if !s.ring {
			at = s.doors[1-tr.door[v]]
		}
	}
	if !tr.free {
		sum += math.Hypot(to.x-at.x, to.y-at.y)
	}
	if math.Abs(sum-tr.length()) > 1e-6 {
		t.Fatalf("length %g, counted %g", tr.length(), sum)
	}
	return sum
}

// shortest tries every order and door that the rules allow.
func shortest(stops []stop, from, to place, free bool) float64 {
	best := math.Inf(1)
	done := make([]bool, len(stops))
	var walk func(left int, at place, sum float64)
	walk = func(left int, at place, sum float64) {
		if sum >= best {
			return
		}
		if left == 0 {
			if !free {
				sum += math.Hypot(to.x-at.x, to.y-at.y)
			}
			best = min(best, sum)
			return
		}
	next:
		for v, s := range stops {
			if done[v] {
				continue
			}
			for _, b := range s.before {
				if !done[b] {
					continue next
				}
			}
			done[v] = true
			for d, in := range s.doors {
				out := in
				if !s.ring {
					out = s.doors[1-d]
				}
				walk(left-1, out, sum+math.Hypot(in.x-at.x, in.y-at.y))
			}
			done[v] = false
		}
	}
	walk(len(stops), from, 0)
	return best
}

// On small sets of rings, lines and rules the search comes near what trying
// everything gives; it never comes below it.
func TestShortTourAgainstAll(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 6))
	var found, best float64
	equal, runs := 0, 60
	for i := range runs {
		stops := randomStops(r, 1+r.IntN(7))
		from, to := place{0, 0}, place{100 * r.Float64(), 0}
		free := i%3 == 0
		got := checkTour(t, shortTour(stops, from, to, free), from, to)
		want := shortest(stops, from, to, free)
		if got < want-1e-6 || got > 1.25*want {
			t.Errorf("run %d: %d stops, way of %.2f, the shortest is %.2f", i, len(stops), got, want)
		}
		found, best = found+got, best+want
		if got < want+1e-6 {
			equal++
		}
	}
	t.Logf("%d of %d are shortest, all together %.2f %% above", equal, runs, 100*(found/best-1))
	if found > 1.02*best {
		t.Errorf("all together %.2f, the shortest %.2f", found, best)
	}
}

// Larger tours keep the rules. Shortest round trips through 1000 random places in a
// unit square are 0.7313 sqrt(1000) long on average (Johnson & McGeoch, "The Traveling
// Salesman Problem: A Case Study in Local Optimization", 1997, from memory); single
// ones differ by about 2 %.
func TestShortTourLarge(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	for _, n := range []int{50, 700} {
		stops := randomStops(r, n)
		checkTour(t, shortTour(stops, place{}, place{}, false), place{}, place{})
	}
	const n = 1000
	stops := make([]stop, n)
	for i := range stops {
		stops[i] = stop{doors: []place{{r.Float64(), r.Float64()}}, ring: true}
	}
	got := checkTour(t, shortTour(stops, place{0.5, 0.5}, place{0.5, 0.5}, false), place{0.5, 0.5}, place{0.5, 0.5}) / math.Sqrt(n)
	t.Logf("%d places: %.4f sqrt(n)", n, got)
	if got < 0.97*0.7313 || got > 1.05*0.7313 {
		t.Errorf("%.4f sqrt(n)", got)
	}
}

func TestPlaceTreeAgainstAll(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	for _, n := range []int{1, 5, 200, 1000} {
		at := make([]place, n)
		for i := range at {
			at[i] = place{float64(r.IntN(30)), float64(r.IntN(30))} // many alike
		}
		tree := newPlaceTree(at)
		for range 300 {
			tree.set(int32(r.IntN(n)), r.IntN(3) > 0)
			q := place{40*r.Float64() - 5, 40*r.Float64() - 5}
			odd := func(p int32) bool { return p%2 == 1 }
			var want []found
			for i, p := range at {
				if dx, dy := p.x-q.x, p.y-q.y; tree.on[i] && odd(int32(i)) {
					want = append(want, found{int32(i), dx*dx + dy*dy})
				}
			}
			slices.SortFunc(want, func(a, b found) int {
				if a.before(b) {
					return -1
				}
				return 1
			})
			want = want[:min(6, len(want))]
			if got := tree.nearest(q, 6, odd, nil); !slices.Equal(got, want) {
				t.Fatalf("got %v, want %v", got, want)
			}
		}
	}
}
