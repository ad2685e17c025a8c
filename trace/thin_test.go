package trace

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/twpayne/go-geom"
)

// fewest is the least number of vertices of an open line, both ends among
// them, such that all others are within tol of the segment that passes them:
// the shortest way through the graph of such segments (Imai and Iri 1988), by
// brute force.
func fewest(xy []float64, tol float64) []int {
	n := len(xy) / 2
	count, from := make([]int, n), make([]int, n)
	count[0] = 1
	for j := 1; j < n; j++ {
		for i := j - 1; i >= 0; i-- {
			if (count[j] == 0 || count[i]+1 < count[j]) && passes(xy, i, j, tol) {
				count[j], from[j] = count[i]+1, i
			}
		}
	}
	way := []int{n - 1}
	for j := n - 1; j > 0; j = from[j] {
		way = append(way, from[j])
	}
	return way
}

func passes(xy []float64, i, j int, tol float64) bool {
	for k := i + 1; k < j; k++ {
		if segmentDistance2(xy[2*k], xy[2*k+1], xy[2*i], xy[2*i+1], xy[2*j], xy[2*j+1]) > tol*tol {
			return false
		}
	}
	return true
}

// reached is what reach after reach makes of an open line.
func reached(xy []float64, tol float64) (way []int) {
	for i := 0; i < len(xy)/2-1; i += reach(xy, i, len(xy)/2-1-i, tol) {
		way = append(way, i)
	}
	return append(way, len(xy)/2-1)
}

// halved is Douglas and Peucker's line (Cartographica 10, 1973).
func halved(xy []float64, i, j int, tol float64) []int {
	worst, at := tol*tol, -1
	for k := i + 1; k < j; k++ {
		if d := segmentDistance2(xy[2*k], xy[2*k+1], xy[2*i], xy[2*i+1], xy[2*j], xy[2*j+1]); d > worst {
			worst, at = d, k
		}
	}
	if at < 0 {
		return []int{i, j}
	}
	return append(halved(xy, i, at, tol), halved(xy, at, j, tol)[1:]...)
}

var (
	// A line that textbooks use for Douglas and Peucker's rule: at 0.05 seven
	// vertices stay, from 0.15 to 1 five, at 2 two; the fewest at 1 are four.
	rise = []float64{0, 0, 1, .1, 2, -.1, 3, 5, 4, 6, 5, 7, 6, 8.1, 7, 9, 8, 9, 9, 9}
	// A zigzag of which the rule keeps seven vertices at 1, where five do.
	zigzag = []float64{0, 4, 1, 0, 2, 3, 3, 2, 4, 4, 5, 1, 6, 1, 7, 3, 8, 4}
)

func TestWorkedLines(t *testing.T) {
	for _, c := range []struct {
		xy             []float64
		tol            float64
		halved, fewest int // 0: not told
	}{
		{rise, 0.05, 7, 0}, {rise, 0.15, 5, 0}, {rise, 0.5, 5, 0}, {rise, 1, 5, 4}, {rise, 2, 2, 2},
		{zigzag, 1, 7, 5},
	} {
		n := len(c.xy)/2 - 1
		if got := len(halved(c.xy, 0, n, c.tol)); got != c.halved {
			t.Errorf("Douglas and Peucker at %g: %d, want %d", c.tol, got, c.halved)
		}
		best := len(fewest(c.xy, c.tol))
		if c.fewest != 0 && best != c.fewest {
			t.Errorf("fewest at %g: %d, want %d", c.tol, best, c.fewest)
		}
		if best > c.halved {
			t.Errorf("fewest at %g are %d, Douglas and Peucker's %d", c.tol, best, c.halved)
		}
		way := reached(c.xy, c.tol)
		for k := 1; k < len(way); k++ {
			if !passes(c.xy, way[k-1], way[k], c.tol) {
				t.Errorf("at %g: segment %d to %d departs too far", c.tol, way[k-1], way[k])
			}
		}
		if len(way) < best {
			t.Errorf("at %g: %d, fewer than the fewest, %d", c.tol, len(way), best)
		}
	}
}

// Along traced outlines one pass comes within a twentieth of the fewest vertices
// there can be, and needs fewer than Douglas and Peucker's rule.
func TestNearlyFewest(t *testing.T) {
	g := page(700, 700, 60)
	tr, err := outlines(t.Context(), newRaster(g, 255, false, 1), 1<<20, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, tol := range []float64{0.1, 0.25, 0.5, 1} {
		ours, best, rule := 0, 0, 0
		for _, l := range tr.loops {
			ours += len(reached(l.xy, tol))
			best += len(fewest(l.xy, tol))
			rule += len(halved(l.xy, 0, len(l.xy)/2-1, tol))
		}
		t.Logf("tolerance %g: %d, fewest %d, Douglas and Peucker %d", tol, ours, best, rule)
		if float64(ours) > 1.05*float64(best) || ours > rule {
			t.Errorf("tolerance %g: %d vertices, the fewest are %d, Douglas and Peucker's %d", tol, ours, best, rule)
		}
	}
}

// Any rings at all, crossing, flat or empty, must come out within the
// tolerance and with as many rings.
func FuzzSimplify(f *testing.F) {
	f.Add([]byte{0, 0, 9, 0, 9, 9, 0, 9}, 0.5, uint8(4))
	f.Add([]byte{0, 0, 9, 9, 9, 0, 0, 9, 1, 1, 1, 1, 1, 1}, 3.0, uint8(3))
	f.Fuzz(func(t *testing.T, coords []byte, tolerance float64, each uint8) {
		if each == 0 || len(coords) > 400 {
			return
		}
		var flat []float64
		var endss [][]int
		for len(coords) >= 2 {
			ring := coords[:min(len(coords)&^1, 2*int(each))]
			coords = coords[len(ring):]
			for _, c := range ring {
				flat = append(flat, float64(c)/16)
			}
			flat = append(flat, float64(ring[0])/16, float64(ring[1])/16)
			endss = append(endss, []int{len(flat)})
		}
		m := geom.NewMultiPolygonFlat(geom.XY, flat, endss)
		s := Simplify(m, tolerance)
		if s.NumPolygons() != m.NumPolygons() {
			t.Fatalf("%d rings became %d", m.NumPolygons(), s.NumPolygons())
		}
		if math.IsNaN(tolerance) {
			return
		}
		for i := range m.NumPolygons() {
			a, b := m.Polygon(i).FlatCoords(), s.Polygon(i).FlatCoords()
			if d := max(farthest(a, b), farthest(b, a)); d > max(tolerance, 0)*(1+1e-9) {
				t.Fatalf("ring %d departs by %g of %g", i, d, tolerance)
			}
		}
	})
}

// A vertex may be passed only within the tolerance, wherever it lies.
func TestReachOnRandomLines(t *testing.T) {
	rnd := rand.New(rand.NewPCG(11, 11))
	for range 3000 {
		xy := make([]float64, 2*(3+rnd.IntN(20)))
		for i := 2; i < len(xy); i++ {
			xy[i] = xy[i-2] + rnd.NormFloat64()
			if i%2 == 0 {
				xy[i] += rnd.Float64() * 2
			}
		}
		tol := rnd.Float64() * 3
		way := reached(xy, tol)
		for k := 1; k < len(way); k++ {
			if !passes(xy, way[k-1], way[k], tol*(1+1e-12)) {
				t.Fatalf("tolerance %g: %v passes too far from %v to %v", tol, xy, way[k-1], way[k])
			}
		}
	}
}
