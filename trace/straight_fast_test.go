package trace

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// wavy is a closed line of n vertices that wanders round (x, y), about a pixel from each to the next.
func wavy(rnd *rand.Rand, n int, x, y float64) []float64 {
	xy := make([]float64, 0, 2*n)
	swings, height := float64(rnd.IntN(9)), rnd.Float64()*0.3
	for i := range n {
		a := 2 * math.Pi * float64(i) / float64(n)
		r := float64(n) / (2 * math.Pi) * (1 + height*math.Cos(swings*a))
		xy = append(xy, x+r*math.Cos(a)+rnd.Float64()/4, y+r*math.Sin(a)+rnd.Float64()/4)
	}
	return xy
}

// TestBestBreak holds the search for a break against the same without a short cut.
func TestBestBreak(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 1))
	for range 200 {
		n := 20 + rnd.IntN(300)
		xy := wavy(rnd, n, rnd.Float64()*1e4, rnd.Float64()*1e4)
		s := &straightener{n: n, tolerance: 0.5}
		s.load(xy, 0)
		s.accumulate()
		for range 200 {
			a := rnd.IntN(n)
			b := a + 1 + rnd.IntN(n/4)
			c := b + 1 + rnd.IntN(n/4)
			if got, want := s.bestBreak(a, b, c), plainBestBreak(s, a, b, c); got != want {
				t.Fatalf("%d vertices: %d between %d and %d moves to %d, want %d", n, b, a, c, got, want)
			}
		}
	}
}

func plainBestBreak(s *straightener, a, b, c int) int {
	lo, hi := b-(b-a-1)/2, b+(c-b-1)/2
	at := func(t int) float64 {
		if t < lo || t > hi {
			return math.Inf(1)
		}
		if t >= s.n {
			return s.stretch(a, t).residue() + s.stretch(t-s.n, c-s.n).residue()
		}
		return s.stretch(a, t).residue() + s.stretch(t, c).residue()
	}
	best := at(b)
	for step := 2; step >= 1; step /= 2 {
		d, v := -step, at(b-step)
		w := at(b + step)
		if math.Abs(v-w) <= tie*best+s.blur {
			continue
		}
		if w < v {
			d, v = step, w
		}
		for v < best*(1-tie)-s.blur {
			best, b = v, b+d
			v = at(b + d)
		}
	}
	return b
}

// TestStraightenerAgain sums up rings with the buffers of one before.
func TestStraightenerAgain(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	sum := func(s *straightener, xy []float64) {
		s.n = len(xy) / 2
		s.load(xy, 0)
		s.accumulate()
		s.upTo(2 * s.n)
	}
	for m := fewestVertices; m < 40; m++ {
		before := wavy(rnd, m, 0, 0)
		for n := fewestVertices; n < 5*m; n++ {
			var again, fresh straightener
			xy := wavy(rnd, n, 0, 0)
			sum(&again, before)
			sum(&again, xy)
			sum(&fresh, xy)
			if !slices.Equal(again.sum, fresh.sum) || !slices.Equal(again.dist, fresh.dist) {
				t.Fatalf("%d vertices after %d: other sums", n, m)
			}
		}
	}
}

// TestFurthestOf holds the search for the furthest vertex against the distance of each.
func TestFurthestOf(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 2))
	for range 2000 {
		n := 8 + rnd.IntN(60)
		xy := wavy(rnd, n, 0, 0)
		i := rnd.IntN(n+1) - 1
		j := i + rnd.IntN(n)
		a, b := 2*rnd.IntN(n), 2*rnd.IntN(n)
		ax, ay, bx, by := xy[a], xy[a+1], xy[b], xy[b+1]
		if rnd.IntN(2) == 0 {
			bx += 3 * rnd.NormFloat64()
		}
		want := -1.0
		for u := i + 1; u < j; u++ {
			v := 2 * ((u + n) % n)
			want = max(want, segmentDistance2(xy[v], xy[v+1], ax, ay, bx, by))
		}
		v, got := furthestOf(xy, i, j, ax, ay, bx, by)
		if math.Abs(got-want) > 1e-9*(1+want) || got != worstOf(xy, i, j, ax, ay, bx, by) {
			t.Fatalf("between %d and %d of %d: %g, want %g", i, j, n, got, want)
		}
		if v >= 0 {
			if v <= i || v >= j {
				t.Fatalf("between %d and %d of %d: vertex %d", i, j, n, v)
			}
			v = 2 * ((v + n) % n)
			if d := segmentDistance2(xy[v], xy[v+1], ax, ay, bx, by); math.Abs(d-want) > 1e-9*(1+want) {
				t.Fatalf("between %d and %d of %d: vertex at %g, want %g", i, j, n, d, want)
			}
		}
	}
}
