package proof

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Wanderings of a line beside itself, some of which leave the tolerance, against the distances of many points from all pieces.
func TestStraysAgainstAllPieces(t *testing.T) {
	const tol = 0.05
	rnd := rand.New(rand.NewPCG(3, 1))
	stray, stay := 0, 0
	for range 400 {
		var drawn [][]float64
		for range 1 + rnd.IntN(4) {
			x, y, a := rnd.Float64(), rnd.Float64(), 2*math.Pi*rnd.Float64()
			var l []float64
			for range 2 + rnd.IntN(40) {
				l = append(l, x, y)
				step := 0.3 * rnd.Float64()
				x, y, a = x+step*math.Cos(a), y+step*math.Sin(a), a+rnd.Float64()-0.5
			}
			drawn = append(drawn, l)
		}
		from := drawn[rnd.IntN(len(drawn))]
		off := 1.6 * tol * rnd.Float64()
		var made []float64
		for i := 0; i < len(from); i += 2 {
			if i > 0 && i+2 < len(from) && rnd.IntN(8) == 0 {
				continue // a chord
			}
			a := 2 * math.Pi * rnd.Float64()
			made = append(made, from[i]+off*math.Cos(a), from[i+1]+off*math.Sin(a))
		}
		worst := 0.0
		for i := 0; i+3 < len(made); i += 2 {
			for k := range 65 {
				f := float64(k) / 64
				x, y := made[i]+f*(made[i+2]-made[i]), made[i+1]+f*(made[i+3]-made[i+1])
				near := math.Inf(1)
				for _, l := range drawn {
					for j := 0; j+3 < len(l); j += 2 {
						near = min(near, distance(x, y, l[j], l[j+1], l[j+2], l[j+3]))
					}
				}
				worst = max(worst, near)
			}
		}
		found := newSegments(drawn).strays([][]float64{made}, tol, nil)
		switch {
		case worst > 1.25*tol:
			stray++
			if len(found) == 0 {
				t.Fatalf("a line up to %g away was not found at a tolerance of %g", worst, tol)
			}
		case worst < 0.95*tol: // between samples it may be a little further
			stay++
			if len(found) > 0 {
				t.Fatalf("a line up to %g away was found at a tolerance of %g", worst, tol)
			}
		}
	}
	if stray < 50 || stay < 50 {
		t.Errorf("%d lines stray and %d stay, want more of both", stray, stay)
	}
}

// The length over which two pieces run side by side, against samples of the shorter one.
func TestTogetherAgainstSamples(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 2))
	long := 0
	for range 3000 {
		a := []float64{0, 0, 1 + rnd.Float64(), 0}
		x, y := 3*rnd.Float64()-1, 4*apart*(rnd.Float64()-0.5)
		turn := 0.02 * (rnd.Float64() - 0.5)
		l := 0.1 + 0.8*rnd.Float64()
		if rnd.IntN(2) == 0 {
			l = -l
		}
		b := []float64{x, y, x + l*math.Cos(turn), y + l*math.Sin(turn)}
		switch rnd.IntN(4) { // neighbours of one line
		case 0:
			b[0], b[1] = a[2], a[3]
		case 1:
			b[2], b[3] = a[0], a[1]
		}
		const samples = 2000
		want := 0
		for i := range samples {
			f := (float64(i) + 0.5) / samples
			px, py := b[0]+f*(b[2]-b[0]), b[1]+f*(b[3]-b[1])
			if px >= 0 && px <= a[2] && math.Abs(py) <= apart {
				want++
			}
		}
		along := math.Abs(b[2]-b[0]) / samples
		for _, order := range [][2][]float64{{a, b}, {b, a}} {
			n, _, _ := together(order[0], order[1])
			if math.Abs(n-float64(want)*along) > 2*along {
				t.Fatalf("%v and %v run together for %g, by samples %g", a, b, n, float64(want)*along)
			}
		}
		if want > 0 {
			long++
		}
	}
	if long < 300 {
		t.Errorf("only %d pairs run together", long)
	}
}
