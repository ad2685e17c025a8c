package offset

import (
	"math"
	"math/rand/v2"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/ring"
)

// The same as simplefeatures v0.59.0 says, whose buffer is the Java Topology
// Suite's: areas within what chords may differ, and as many rings.
func TestAgainstSimplefeatures(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	rounds := 12
	if testing.Short() {
		rounds = 3
	}
	for i := range rounds {
		for name, mp := range map[string]*geom.MultiPolygon{
			"noise": noisePage(9, 9, 2.6, 0.37, uint64(i)), "lace": lacePage(80, uint64(i)),
		} {
			g := other(t, mp)
			for _, j := range []Join{Round, Miter} {
				d := 0.05 + 0.8*rng.Float64()
				for _, d := range []float64{d, -d} {
					const tol = 0.0005
					opts := []sf.BufferOption{sf.BufferSimplifyFactor(0)}
					if j == Miter {
						opts = append(opts, sf.BufferJoinStyleMitre(3))
					} else {
						opts = append(opts, sf.BufferQuadSegments(int(math.Ceil(math.Pi/4/math.Acos(1-tol/math.Abs(d))))))
					}
					want, err := sf.Buffer(g, d, opts...)
					if err != nil {
						t.Fatal(err)
					}
					out := mustOffset(t, mp, d, &Options{Join: j, MiterLimit: 3, Tolerance: tol})
					if err := valid(t, out); err != nil {
						t.Errorf("%s %d, join %d by %v: not valid: %v", name, i, j, d, err)
					}
					near(t, name, out.Area(), want.Area(), 2*tol*out.Length()+1e-6)
					rings := 0
					for _, p := range want.Dump() {
						if poly, ok := p.AsPolygon(); ok {
							for _, r := range poly.DumpRings() {
								if math.Abs(sf.NewPolygon([]sf.LineString{r}).Area()) > 1e-3 {
									rings++
								}
							}
						}
					}
					for _, r := range ring.Rings(out) {
						if math.Abs(ring.Area(r)) > 1e-3 {
							rings--
						}
					}
					if rings != 0 {
						t.Errorf("%s %d, join %d by %v: %d rings missing", name, i, j, d, rings)
					}
				}
			}
		}
	}
}

// Areas and ring counts that GEOS 3.11.1 gave for two small pages, with round
// joins of chords within 0.0005 mm (testdata/judge).
func TestAgainstStoredGEOS(t *testing.T) {
	const tol = 0.0005
	type answer struct {
		d, area float64
		rings   int
	}
	for _, c := range []struct {
		name    string
		mp      *geom.MultiPolygon
		answers []answer
	}{
		{"lace", lacePage(3000, 1), []answer{
			{0.1, 1673.4187, 247}, {-0.1, 1389.4609, 247}, {0.5, 2140.7890, 193}, {-0.5, 740.7753, 151},
			{1, 2495.8002, 14}, {-1, 256.7054, 26}, {3, 3111.6178, 1}, {-3, 0, 0}}},
		{"noise", noisePage(50, 50, 2.4, 0.4, 1), []answer{
			{0.1, 1405.6030, 56}, {-0.1, 1170.5600, 53}, {0.5, 1863.8067, 37}, {-0.5, 733.3158, 45},
			{1, 2339.4631, 40}, {-1, 332.5469, 45}, {3, 3030.4964, 2}, {-3, 0.1181, 1}}},
	} {
		for _, a := range c.answers {
			out := mustOffset(t, c.mp, a.d, &Options{Tolerance: tol})
			near(t, c.name, out.Area(), a.area, tol*out.Length())
			if n := len(ring.Rings(out)); n != a.rings {
				t.Errorf("%s by %v: %d rings, want %d", c.name, a.d, n, a.rings)
			}
		}
	}
}
