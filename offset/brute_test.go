package offset

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/ring"
)

// distance returns how far (x, y) lies from the boundary of rings, and whether
// it lies inside by the even-odd rule: by looking at every edge.
func distance(rings [][]float64, x, y float64) (dist float64, inside bool) {
	dist = math.Inf(1)
	for _, r := range rings {
		for i := 0; i+3 < len(r); i += 2 {
			ax, ay, bx, by := r[i]-x, r[i+1]-y, r[i+2]-x, r[i+3]-y
			dx, dy := bx-ax, by-ay
			t := 0.0
			if l := dx*dx + dy*dy; l > 0 {
				t = min(max(-(ax*dx+ay*dy)/l, 0), 1)
			}
			dist = min(dist, math.Hypot(ax+t*dx, ay+t*dy))
		}
		if ring.Locate(r, x, y) == ring.Inside {
			inside = !inside
		}
	}
	return dist, inside
}

// compare checks a result with round joins against the exact distance: every
// point of it must lie at d within tol, its inside must be what is nearer (or
// further) than d, wherever that does not hang on less than tol.
func compare(mp, out *geom.MultiPolygon, d, tol float64, rng *rand.Rand) error {
	src, res := ring.Rings(mp), ring.Rings(out)
	if err := ring.Check(out); err != nil {
		return err
	}
	box := ring.EmptyBox()
	for _, r := range src {
		for i := 0; i < len(r); i += 2 {
			box = box.Add(r[i], r[i+1])
		}
	}
	want := func(x, y float64) (inside, sure bool) {
		dist, in := distance(src, x, y)
		if !in {
			dist = -dist
		}
		return dist > -d, math.Abs(dist+d) > tol
	}
	for _, r := range res {
		for i := 0; i+3 < len(r); i += 2 {
			for _, t := range [3]float64{0, 0.5, 0.3} {
				x, y := r[i]+t*(r[i+2]-r[i]), r[i+1]+t*(r[i+3]-r[i+1])
				dist, in := distance(src, x, y)
				if math.Abs(dist-math.Abs(d)) > tol || in != (d < 0) {
					return fmt.Errorf("(%v, %v) of the result is %v from the boundary (inside: %v), not %v", x, y, dist, in, d)
				}
			}
		}
	}
	for range 200 {
		x := box.MinX - math.Abs(d) + rng.Float64()*(box.MaxX-box.MinX+2*math.Abs(d))
		y := box.MinY - math.Abs(d) + rng.Float64()*(box.MaxY-box.MinY+2*math.Abs(d))
		w, sure := want(x, y)
		if _, got := distance(res, x, y); sure && got != w {
			return fmt.Errorf("(%v, %v): inside is %v, want %v", x, y, got, w)
		}
	}
	return nil
}

// blocks is the outline of random cells of a lattice: all edges level, upright
// or diagonal, so that moved edges and circles meet in threes and fours.
func blocks(n int, fill float64, rng *rand.Rand) *geom.MultiPolygon {
	f := make([]float64, n*n)
	for i := range f {
		f[i] = -1
		if rng.Float64() < fill {
			f[i] = 1
		}
	}
	return ring.Nest(contour(f, n, n, 1))
}

func TestAgainstExactDistance(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	rounds := 30
	if testing.Short() {
		rounds = 6
	}
	for i := range rounds {
		for _, c := range []struct {
			name string
			mp   *geom.MultiPolygon
		}{
			{"noise", noisePage(8, 8, 2.5, 0.31, uint64(i))},
			{"blocks", blocks(9, 0.3+0.4*rng.Float64(), rng)},
			{"lace", lacePage(60, uint64(i))},
		} {
			if c.mp.Empty() {
				continue
			}
			for _, d := range []float64{0.05, 0.1, 0.25, 0.5, math.Sqrt2 / 2, 1, 2.5, 0.05 + rng.Float64()} {
				for _, sign := range []float64{1, -1} {
					out, err := Polygons(c.mp, sign*d, nil)
					if err != nil {
						t.Fatal(err)
					}
					if err := compare(c.mp, out, sign*d, DefaultTolerance*1.0001, rng); err != nil {
						t.Errorf("%s %d, %v: %v", c.name, i, sign*d, err)
					}
				}
			}
		}
	}
}

// On a lattice nearly everything that can meet in a point does.
func TestOnALattice(t *testing.T) {
	rng := rand.New(rand.NewPCG(70, 8))
	rounds := 150
	if testing.Short() {
		rounds = 30
	}
	for i := range rounds {
		mp := blocks(7, 0.3+0.4*rng.Float64(), rng)
		if mp.Empty() {
			continue
		}
		for _, d := range []float64{0.1, 0.25, 0.5, math.Sqrt2 / 4, math.Sqrt2 / 2, 1, math.Sqrt2, 1.5, 2} {
			for _, d := range []float64{d, -d} {
				for _, j := range []Join{Round, Miter, Bevel} {
					out, err := Polygons(mp, d, &Options{Join: j})
					if err != nil {
						t.Fatal(err)
					}
					if j == Round {
						err = compare(mp, out, d, DefaultTolerance*1.0001, rng)
					} else {
						err = ring.Check(out)
					}
					if err != nil {
						t.Errorf("blocks %d, join %d, %v: %v", i, j, d, err)
					}
				}
			}
		}
	}
}

// Distances far beyond the spacing of vertices.
func TestFarAgainstExactDistance(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	for i := range 4 {
		var wavy []float64
		const n = 1500
		for k := range n {
			a := 2 * math.Pi * float64(k) / n
			r := 5 + math.Sin(float64(3+i)*a) + 0.05*math.Sin(80*a)
			wavy = append(wavy, r*math.Cos(a), r*math.Sin(a))
		}
		wavy = append(wavy, wavy[0], wavy[1])
		for _, mp := range []*geom.MultiPolygon{area(wavy), area(wavy, disc(1, 0.5, 2)), noisePage(6, 6, 2.5, 0.31, uint64(i))} {
			for _, d := range []float64{1, 2.2, 3.7, 30} {
				for _, d := range []float64{d, -d} {
					for _, o := range []*Options{nil, {Join: Miter}} {
						out := mustOffset(t, mp, d, o)
						if o != nil {
							continue
						}
						if err := compare(mp, out, d, DefaultTolerance*1.0001, rng); err != nil {
							t.Errorf("%d by %v: %v", i, d, err)
						}
					}
				}
			}
		}
	}
}

// Rings of more than the tolerance squared are there, smaller ones need not be:
// what is left of a square, or of the hole of a frame, has a known side.
func TestSmallestRing(t *testing.T) {
	for _, c := range []struct {
		left  float64 // side, in tolerances
		rings int
	}{{1.02, 1}, {1.5, 1}, {4, 1}, {-0.5, 0}} {
		const side, tol = 3.0, 0.01
		d := (side - c.left*tol) / 2
		for _, at := range []float64{0, 1234.5} {
			square := area(rect(at, at, at+side, at+side))
			if n := len(ring.Rings(mustOffset(t, square, -d, nil))); n != c.rings {
				t.Errorf("%v tolerances of a square are left: %d rings, want %d", c.left, n, c.rings)
			}
			frame := area(rect(at-9, at-9, at+9, at+9), rect(at, at, at+side, at+side))
			if n := len(ring.Rings(mustOffset(t, frame, d, nil))); n != 1+c.rings {
				t.Errorf("%v tolerances of a hole are left: %d rings, want %d", c.left, n, 1+c.rings)
			}
		}
	}
}
