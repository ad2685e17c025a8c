package trace

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Thresholds worked by hand from equation 5 of Sauvola and Pietikainen (2000),
// with the R = 128 that they give for 8-bit values.
func TestSauvolaWorked(t *testing.T) {
	for _, tt := range []struct{ m, s, k, want float64 }{
		{200, 0, 0.5, 100}, {200, 64, 0.5, 150}, {128, 128, 0.5, 128},
		{200, 10, 0.5, 107.8125}, {200, 10, 0.2, 163.125}, {200, 10, 0.34, 137.3125},
	} {
		if got := sauvola(tt.m, tt.s, tt.k, 128); math.Abs(got-tt.want) > 1e-12 {
			t.Errorf("m %v, s %v, k %v: %v, want %v", tt.m, tt.s, tt.k, got, tt.want)
		}
	}
}

func TestWindowAgainstSums(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	c := newField(17, 11, 1)
	inside := make([]bool, len(c.v))
	for i := range c.v {
		c.v[i], inside[i] = rng.Float32(), rng.IntN(4) > 0
	}
	sums := newIntegrals(c, inside)
	for y := range c.h {
		for x := range c.w {
			var n, v, sq float64
			for j := max(y-3, 0); j <= min(y+3, c.h-1); j++ {
				for i := max(x-3, 0); i <= min(x+3, c.w-1); i++ {
					if f := float64(c.v[j*c.w+i]); inside[j*c.w+i] {
						n, v, sq = n+1, v+f, sq+f*f
					}
				}
			}
			m, s := sums.window(x, y, 3)
			if want := math.Sqrt(sq/n - v/n*v/n); math.Abs(m-v/n) > 1e-9 || math.Abs(s-want) > 1e-7 {
				t.Fatalf("(%d, %d): %v, %v; want %v, %v", x, y, m, s, v/n, want)
			}
		}
	}
}

// In a shadow that leaves a seventh of the light, paper is hardly brighter than
// ink in the light. Words need the adaptive threshold there, and get it; a large
// black area must not hollow out, whichever is used.
func TestCleanDeepShadow(t *testing.T) {
	all := trueDrawings(t)
	for _, tt := range []struct {
		name  string
		left  float64 // of the light in the shadow
		do    Choice
		right bool
	}{
		{"words", 0.15, Off, false},
		{"words", 0.15, Auto, true},
		{"solid", 0.2, Auto, true},
		{"moon", 0.2, Auto, true},
		{"letters", 0.4, On, true},
	} {
		if testing.Short() && tt.name != "solid" {
			continue
		}
		s := flatScan(1, all[tt.name], 120, 0)
		s.blur, s.noise, s.quality = 0.8, 0.01, 85
		s.light = func(x, y float64) float64 {
			return tt.left + (1-tt.left)/(1+math.Exp((x+0.6*y-0.75)/0.004))
		}
		out, rep, err := (&Picture{Gray: s.take(t), MMPerPixel: 25.4 / 120}).Clean(&CleanOptions{Adaptive: tt.do})
		if err != nil {
			t.Fatal(err)
		}
		v := judge(out, all[tt.name], s.fromResult(out, rep))
		if right := v.sameParts() && v.rms < 0.25*out.MMPerPixel; right != tt.right {
			t.Errorf("%s, adaptive %d: right %v, want %v: %+v", tt.name, tt.do, right, tt.right, v)
		}
		if !tt.right && len(rep.Warnings) == 0 {
			t.Errorf("%s, adaptive %d: wrong without a warning", tt.name, tt.do)
		}
	}
}
