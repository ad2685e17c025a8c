package export

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Blurred light stays the same in sum, and a point of light becomes a bell whose variance is three times (side² -
// 1)/12.
func TestBlurred(t *testing.T) {
	const n = 101
	m := mask{n, n, make([]float32, n*n)}
	m.v[50*n+50] = 1
	for _, sigma := range []float64{1, 3.5, 7} {
		r := math.Floor(sigma + 0.5)
		b := m.blurred(sigma)
		var sum, xx, yy float64
		for y := range n {
			for x := range n {
				v := float64(b.v[y*n+x])
				sum += v
				xx += v * float64((x-50)*(x-50))
				yy += v * float64((y-50)*(y-50))
			}
		}
		if want := r * (r + 1); math.Abs(sum-1) > 1e-3 || math.Abs(xx-want) > 0.01*want || math.Abs(yy-want) > 0.01*want {
			t.Errorf("sigma %g: sum %.4f, variances %.3f and %.3f, want 1 and %.3f", sigma, sum, xx, yy, want)
		}
	}
}

// A mask that is all alike stays so, up to its edges, whatever the radius.
func TestBlurredEvenMask(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 6))
	for range 30 {
		w, h := 1+rnd.IntN(20), 1+rnd.IntN(20)
		m := mask{w, h, make([]float32, w*h)}
		for i := range m.v {
			m.v[i] = 0.75
		}
		for i, v := range m.blurred(rnd.Float64() * 40).v {
			if math.Abs(float64(v)-0.75) > 1e-4 {
				t.Fatalf("%d x %d: value %d is %g", w, h, i, v)
			}
		}
	}
}
