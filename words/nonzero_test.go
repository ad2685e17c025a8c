package words

import (
	"math"
	"math/rand/v2"
	"testing"
)

func square(x, y, side float64, turned bool) []float64 {
	if turned {
		return []float64{x, y, x, y + side, x + side, y + side, x + side, y, x, y}
	}
	return []float64{x, y, x + side, y, x + side, y + side, x, y + side, x, y}
}

func TestNonzero(t *testing.T) {
	// The pentagram on a circle of radius 1 is filled all through by the nonzero
	// rule: ten triangles from the centre, with the inner corners at cos 72°/cos
	// 36° of the radius. The even-odd rule would leave the pentagon out.
	var star []float64
	for i := range 5 {
		sin, cos := math.Sincos(float64(i) * 4 * math.Pi / 5)
		star = append(star, cos, sin)
	}
	star = append(star, star[0], star[1])
	deg := math.Pi / 180
	starArea := 5 * math.Cos(72*deg) / math.Cos(36*deg) * math.Sin(36*deg)
	for _, c := range []struct {
		name     string
		rings    [][]float64
		area     float64
		polygons int
		holes    int
	}{
		{"square", [][]float64{square(0, 0, 4, false)}, 16, 1, 0},
		{"counter", [][]float64{square(0, 0, 4, true), square(1, 1, 2, false)}, 12, 1, 1},
		{"inner contour running the same way", [][]float64{square(0, 0, 4, true), square(1, 1, 2, true)}, 16, 1, 0},
		{"island in a counter", [][]float64{square(0, 0, 6, true), square(1, 1, 4, false), square(2, 2, 2, true)}, 24, 2, 1},
		{"overlapping strokes", [][]float64{square(0, 0, 4, true), square(2, 2, 4, true)}, 28, 1, 0},
		{"overlapping against each other", [][]float64{square(0, 0, 4, true), square(2, 2, 4, false)}, 24, 2, 0},
		{"touching strokes", [][]float64{square(0, 0, 4, true), square(4, 0, 4, true)}, 32, 1, 0},
		{"the same twice", [][]float64{square(0, 0, 4, true), square(0, 0, 4, true)}, 16, 1, 0},
		{"the same there and back", [][]float64{square(0, 0, 4, true), square(0, 0, 4, false)}, 0, 0, 0},
		// A stroke that covers half of a counter: winding 1 + 1 - 1.
		{"stroke across a counter", [][]float64{square(0, 0, 6, true), square(1, 1, 4, false), square(3, -1, 8, true)}, 8*8 + 3*6 - 2*4, 1, 1},
		{"bow tie", [][]float64{{0, 0, 2, 2, 2, 0, 0, 2, 0, 0}}, 2, 2, 0},
		{"pentagram", [][]float64{star}, starArea, 1, 0},
		{"spike", [][]float64{{0, 0, 4, 0, 4, 4, 9, 4, 4, 4, 0, 4, 0, 0}}, 16, 1, 0},
		{"doubled vertex", [][]float64{{0, 0, 4, 0, 4, 0, 4, 4, 0, 4, 0, 0}}, 16, 1, 0},
		{"nothing", [][]float64{{0, 0, 4, 0, 0, 0}, {0, 0, 0, 0}, {0, 0, 1, 1, 2, 2, 0, 0}}, 0, 0, 0},
	} {
		got, err := fill(c.rings)
		if err != nil {
			t.Fatal(err)
		}
		holes := 0
		for _, p := range polygons(got) {
			holes += p.NumLinearRings() - 1
		}
		if math.Abs(got.Area()-c.area) > 1e-9 || got.NumPolygons() != c.polygons || holes != c.holes {
			t.Errorf("%s: area %g, %d polygons, %d holes, need %g, %d, %d",
				c.name, got.Area(), got.NumPolygons(), holes, c.area, c.polygons, c.holes)
		}
	}
}

// Points at random: each is in the filled area exactly if the rings run round
// it, counted by the crossings of a ray.
func TestNonzeroByWinding(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	for round := range 300 {
		var rings [][]float64
		for range 1 + rnd.IntN(4) {
			var r []float64
			for range 3 + rnd.IntN(8) {
				if round%2 == 0 { // with shared vertices and edges
					r = append(r, float64(rnd.IntN(8))*12.5, float64(rnd.IntN(8))*12.5)
				} else {
					r = append(r, rnd.Float64()*100, rnd.Float64()*100)
				}
			}
			rings = append(rings, append(r, r[0], r[1]))
		}
		got, err := fill(rings)
		if err != nil {
			t.Fatal(err)
		}
		for range 200 {
			p := []float64{rnd.Float64() * 100, rnd.Float64() * 100}
			in := false
			for _, q := range polygons(got) {
				in = in || covers(q, p)
			}
			if n := winding(rings, p[0], p[1]); in != (n != 0) {
				t.Fatalf("round %d: %v in the area: %v, winding number %d, rings %v", round, p, in, n, rings)
			}
		}
	}
}

func winding(rings [][]float64, x, y float64) (n int) {
	for _, r := range rings {
		for i := 0; i+3 < len(r); i += 2 {
			ax, ay, bx, by := r[i], r[i+1], r[i+2], r[i+3]
			turn := (bx-ax)*(y-ay) - (by-ay)*(x-ax)
			if ay <= y && by > y && turn > 0 {
				n++
			}
			if by <= y && ay > y && turn < 0 {
				n--
			}
		}
	}
	return n
}
