package trace

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.org/kerfleaf/internal/ring"
)

// TestConflicts holds the search for what crosses against a look at every pair
// of segments, and at every ring's tokens from every segment, on small lattices
// where nodes coincide, ways turn back and lines touch.
func TestConflicts(t *testing.T) {
	rnd := rand.New(rand.NewPCG(8, 3))
	for range 4000 {
		side, rings := 3+rnd.IntN(12), 1+rnd.IntN(4)
		var lattice []int
		for range rings {
			n := 3 + rnd.IntN(14)
			if rnd.IntN(8) == 0 {
				n = 3 + rnd.IntN(60) // more than one chain
			}
			lattice = append(lattice, n)
			for range 2 * n {
				lattice = append(lattice, rnd.IntN(side))
			}
		}
		checkConflicts(t, lattice, rnd)
	}
}

func FuzzConflicts(f *testing.F) {
	f.Add([]byte{4, 0, 0, 3, 3, 3, 0, 0, 3, 3, 1, 1, 2, 1, 1, 2})
	f.Fuzz(func(t *testing.T, data []byte) {
		var lattice []int
		for len(data) > 0 {
			n := min(3+int(data[0])%64, (len(data)-1)/2)
			if n < 3 {
				break
			}
			lattice = append(lattice, n)
			for _, v := range data[1 : 1+2*n] {
				lattice = append(lattice, int(v)%16-3)
			}
			data = data[1+2*n:]
		}
		checkConflicts(t, lattice, rand.New(rand.NewPCG(8, 4)))
	})
}

// checkConflicts lays rings over nodes of a lattice: for each ring their
// number, and x and y of each.
func checkConflicts(t *testing.T, lattice []int, rnd *rand.Rand) {
	d := &design{tolerance: 0.5}
	for len(lattice) > 0 {
		n := lattice[0]
		from := len(d.vertex)
		var xy []float64
		for i := range n {
			x, y := float64(lattice[1+2*i]), float64(lattice[2+2*i])
			d.vertex = append(d.vertex, int32(i))
			d.at = append(d.at, x, y)
			xy = append(xy, x+rnd.NormFloat64()/3, y)
		}
		lattice = lattice[1+2*n:]
		d.rings = append(d.rings, xy)
		d.spans = append(d.spans, span{from, len(d.vertex)})
		d.measure(xy, d.spans[len(d.spans)-1])
	}
	c := conflicts{d: d, fresh: make([]bool, len(d.spans))}
	for r := range c.fresh {
		c.fresh[r] = true
	}
	c.find()
	if want := allConflicts(d); !slices.Equal(c.bad, want) {
		t.Fatalf("nodes %v of rings %v: conflicts %v, want %v", d.at, d.spans, c.bad, want)
	}
}

func allConflicts(d *design) []bool {
	bad := make([]bool, len(d.vertex))
	segment := func(r, k int) (ax, ay, bx, by float64) {
		l := d.next(r, k)
		return d.at[2*k], d.at[2*k+1], d.at[2*l], d.at[2*l+1]
	}
	for q, s := range d.spans {
		for k := s.from; k < s.to; k++ {
			ax, ay, bx, by := segment(q, k)
			for r, o := range d.spans {
				for l := o.from; l < o.to; l++ {
					cx, cy, dx, dy := segment(r, l)
					next := d.next(q, k) == l
					if k == l || d.next(r, l) == k && !next {
						continue
					}
					if next { // it turns back
						if (bx-ax)*(dx-cx)+(by-ay)*(dy-cy) < 0 && ring.Orient(ax, ay, bx, by, dx, dy) == 0 {
							bad[k], bad[l] = true, true
						}
						continue
					}
					if max(ax, bx) < min(cx, dx) || max(cx, dx) < min(ax, bx) || max(ay, by) < min(cy, dy) || max(cy, dy) < min(ay, by) {
						continue
					}
					if ring.Orient(ax, ay, bx, by, cx, cy)*ring.Orient(ax, ay, bx, by, dx, dy) <= 0 &&
						ring.Orient(cx, cy, dx, dy, ax, ay)*ring.Orient(cx, cy, dx, dy, bx, by) <= 0 {
						bad[k], bad[l] = true, true
					}
				}
				if q == r {
					continue
				}
				reach := max(d.tolerance, math.Sqrt(d.off[k])*(1+1e-9))
				for _, token := range [2][]float64{d.rings[r][:2], d.at[2*o.from : 2*o.from+2]} {
					if d.passedOver(q, k, token[0], token[1], reach) {
						bad[k] = true
					}
				}
			}
		}
	}
	for r, s := range d.spans { // where nothing is gained, nothing is marked
		for k := s.from; k < s.to; k++ {
			if i, j := d.segment(r, k); j-i == 1 && !d.moved(r, k) && !d.moved(r, d.next(r, k)) {
				bad[k] = false
			}
		}
	}
	return bad
}
