package stencil

import (
	"math"
	"math/rand"
	"slices"
	"testing"

	"github.com/twpayne/go-geom"
)

// shoreOf is the border of the paper that cut leaves on the sheet.
func shoreOf(t testing.TB, cut *geom.MultiPolygon, sheet *geom.Bounds) *shore {
	t.Helper()
	p, err := newPlane(cut, sheet)
	if err != nil {
		t.Fatal(err)
	}
	return newShore(p, p.pieces(p.passages()), 0)
}

func lengths(gaps []gap) (each []float64, total float64) {
	for _, g := range gaps {
		each = append(each, g.length)
		total += g.length
	}
	slices.Sort(each)
	return each, total
}

// Kruskal's textbook case (1956) in paper: islands at (0,0), (3,0), (3,4), (10,4) and
// (10,6) are tied by gaps of 2, 3, 4 and 7, 16 in all, less the islands' own size.
func TestSpanningWorkedExample(t *testing.T) {
	const r = 0.05
	var paper [][]xy
	for _, p := range []xy{{0, 0}, {3, 0}, {3, 4}, {10, 4}, {10, 6}} {
		paper = append(paper, circle(p, r, 4))
	}
	frame := []xy{{-20, -20}, {30, -20}, {30, 30}, {-20, 30}}
	cut := geom.NewMultiPolygon(geom.XY)
	if err := cut.Push(holed(frame, paper...)); err != nil {
		t.Fatal(err)
	}
	s := shoreOf(t, cut, bounds(-25, -25, 35, 35))
	gaps := s.spanning(newForest(len(s.list)), nil)
	each, total := lengths(gaps)
	// The last and longest ties one of them to the frame, 20 mm away.
	want := []float64{2, 3, 4, 7, 20}
	for i, w := range want {
		if !near(each[i], w, 2*r) {
			t.Errorf("gaps %v, want %v", each, want)
		}
	}
	if !near(total-each[4], 16, 8*r) {
		t.Errorf("total %.3f, want 16", total-each[4])
	}
}

// bruteSpanning is Prim's algorithm (1957) over exact distances between all pieces,
// every edge against every other.
func bruteSpanning(s *shore) []float64 {
	n := len(s.list)
	dist := make([][]float64, n)
	for i := range dist {
		dist[i] = make([]float64, n)
		for j := range dist[i] {
			dist[i][j] = math.Inf(1)
		}
	}
	for _, e := range s.edges {
		for _, f := range s.edges {
			if e.piece != f.piece {
				// The distance of two segments that do not cross is that of an end.
				d := math.Min(
					math.Min(nearest(e.a, e.b, f.a).distance(f.a), nearest(e.a, e.b, f.b).distance(f.b)),
					math.Min(nearest(f.a, f.b, e.a).distance(e.a), nearest(f.a, f.b, e.b).distance(e.b)))
				dist[e.piece][f.piece] = math.Min(dist[e.piece][f.piece], d)
			}
		}
	}
	best := slices.Clone(dist[0])
	in := make([]bool, n)
	in[0] = true
	var out []float64
	for range n - 1 {
		k := -1
		for i := range n {
			if !in[i] && (k < 0 || best[i] < best[k]) {
				k = i
			}
		}
		in[k] = true
		out = append(out, best[k])
		for i := range n {
			best[i] = math.Min(best[i], dist[k][i])
		}
	}
	slices.Sort(out)
	return out
}

func TestSpanningEqualsBruteForce(t *testing.T) {
	for seed := range int64(40) {
		cut, sheet := tangle(t, 300+seed, 5+int(seed))
		s := shoreOf(t, cut, sheet)
		got, _ := lengths(s.spanning(newForest(len(s.list)), nil))
		want := bruteSpanning(s)
		if len(got) != len(want) {
			t.Fatalf("seed %d: %d gaps, want %d", seed, len(got), len(want))
		}
		for i := range got {
			if !near(got[i], want[i], 1e-9) {
				t.Fatalf("seed %d: gap %d is %.9f, want %.9f", seed, i, got[i], want[i])
			}
		}
	}
}

func TestClosest(t *testing.T) {
	for _, c := range []struct {
		e, f edge
		p, q xy
	}{
		{edge{a: xy{0, 0}, b: xy{10, 0}}, edge{a: xy{4, 3}, b: xy{20, 3}}, xy{7, 0}, xy{7, 3}},
		{edge{a: xy{0, 0}, b: xy{10, 0}}, edge{a: xy{20, 3}, b: xy{4, 3}}, xy{7, 0}, xy{7, 3}},
		{edge{a: xy{0, 0}, b: xy{10, 0}}, edge{a: xy{13, 4}, b: xy{20, 4}}, xy{10, 0}, xy{13, 4}},
		{edge{a: xy{0, 0}, b: xy{10, 0}}, edge{a: xy{5, 2}, b: xy{5, 9}}, xy{5, 0}, xy{5, 2}},
		{edge{a: xy{0, 0}, b: xy{10, 0}}, edge{a: xy{2, -1}, b: xy{2, 9}}, xy{2, 0}, xy{2, 0}},
	} {
		if p, q, d := closest(c.e, c.f); p.distance(c.p) > 1e-9 || q.distance(c.q) > 1e-9 || !near(d, c.p.distance(c.q), 1e-9) {
			t.Errorf("closest(%v, %v) = %v, %v, %g, want %v, %v", c.e, c.f, p, q, d, c.p, c.q)
		}
	}
}

// The hierarchy finds what looking at every edge finds.
func TestTreeEqualsLookingAtAll(t *testing.T) {
	r := rand.New(rand.NewSource(4))
	for _, n := range []int{0, 1, 4, 5, 33, 500} {
		edges := make([]edge, n)
		for i := range edges {
			a := xy{100 * r.Float64(), 100 * r.Float64()}
			edges[i] = edge{a: a, b: a.add(xy{r.NormFloat64(), r.NormFloat64()})}
		}
		tr := newTree(edges)
		for range 50 {
			a := xy{120*r.Float64() - 10, 120*r.Float64() - 10}
			want := 50.0
			for _, e := range edges {
				want = math.Min(want, nearest(e.a, e.b, a).distance(a))
			}
			if got := tr.room(a, 50); got != want {
				t.Fatalf("%d edges: nearest at %g, want %g", n, got, want)
			}
		}
	}
}
