package words

import (
	"math"
	"math/rand/v2"
	"testing"
)

// total is the area of shapes.
func total(shapes []shape) (sum float64) {
	for _, s := range shapes {
		sum += area(s)
	}
	return sum
}

func square(x, y, side float64, clockwise bool) contour {
	c := contour{{x, y}, {x + side, y}, {x + side, y + side}, {x, y + side}}
	if clockwise {
		c[1], c[3] = c[3], c[1]
	}
	return c
}

func TestNonzero(t *testing.T) {
	// The pentagram on a circle of radius 1 is filled all through by the nonzero
	// rule: ten triangles from the centre, with the inner corners at cos 72°/cos
	// 36° of the radius. The even-odd rule would leave the pentagon out.
	var star contour
	for i := range 5 {
		sin, cos := math.Sincos(float64(i) * 4 * math.Pi / 5)
		star = append(star, point{cos, sin})
	}
	deg := math.Pi / 180
	starArea := 5 * math.Cos(72*deg) / math.Cos(36*deg) * math.Sin(36*deg)
	for _, c := range []struct {
		name     string
		contours []contour
		area     float64
		shapes   int
		holes    int
	}{
		{"square", []contour{square(0, 0, 4, false)}, 16, 1, 0},
		{"counter", []contour{square(0, 0, 4, true), square(1, 1, 2, false)}, 12, 1, 1},
		{"inner contour running the same way", []contour{square(0, 0, 4, true), square(1, 1, 2, true)}, 16, 1, 0},
		{"island in a counter", []contour{square(0, 0, 6, true), square(1, 1, 4, false), square(2, 2, 2, true)}, 24, 2, 1},
		{"overlapping strokes", []contour{square(0, 0, 4, true), square(2, 2, 4, true)}, 28, 1, 0},
		{"overlapping against each other", []contour{square(0, 0, 4, true), square(2, 2, 4, false)}, 24, 2, 0},
		{"touching strokes", []contour{square(0, 0, 4, true), square(4, 0, 4, true)}, 32, 1, 0},
		{"the same twice", []contour{square(0, 0, 4, true), square(0, 0, 4, true)}, 16, 1, 0},
		{"the same there and back", []contour{square(0, 0, 4, true), square(0, 0, 4, false)}, 0, 0, 0},
		// A stroke that covers half of a counter: winding 1 + 1 - 1.
		{"stroke across a counter", []contour{square(0, 0, 6, true), square(1, 1, 4, false), square(3, -1, 8, true)}, 8*8 + 3*6 - 2*4, 1, 1},
		{"bow tie", []contour{{{0, 0}, {2, 2}, {2, 0}, {0, 2}}}, 2, 2, 0},
		{"pentagram", []contour{star}, starArea, 1, 0},
		{"spike", []contour{{{0, 0}, {4, 0}, {4, 4}, {9, 4}, {4, 4}, {0, 4}}}, 16, 1, 0},
		{"doubled vertex", []contour{{{0, 0}, {4, 0}, {4, 0}, {4, 4}, {0, 4}, {0, 0}}}, 16, 1, 0},
		{"nothing", []contour{{{0, 0}, {4, 0}}, {{0, 0}}, {{0, 0}, {1, 1}, {2, 2}}}, 0, 0, 0},
	} {
		got, err := fill(c.contours)
		if err != nil {
			t.Fatal(err)
		}
		holes := 0
		for _, s := range got {
			holes += len(s.holes)
		}
		if math.Abs(total(got)-c.area) > 1e-9 || len(got) != c.shapes || holes != c.holes {
			t.Errorf("%s: area %g, %d shapes, %d holes, need %g, %d, %d", c.name, total(got), len(got), holes, c.area, c.shapes, c.holes)
		}
	}
}

// Points at random: each is in the filled area exactly if the contours run
// round it, counted by the crossings of a ray.
func TestNonzeroByWinding(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	for round := range 300 {
		var contours []contour
		for range 1 + rnd.IntN(4) {
			var c contour
			for range 3 + rnd.IntN(8) {
				p := point{rnd.Float64() * 100, rnd.Float64() * 100}
				if round%2 == 0 { // with shared vertices and edges
					p = point{float64(rnd.IntN(8)) * 12.5, float64(rnd.IntN(8)) * 12.5}
				}
				c = append(c, p)
			}
			contours = append(contours, c)
		}
		got, err := fill(contours)
		if err != nil {
			t.Fatal(err)
		}
		for range 200 {
			p := point{rnd.Float64() * 100, rnd.Float64() * 100}
			in := false
			for _, s := range got {
				in = in || s.contains(p)
			}
			if in != (winding(contours, p) != 0) {
				t.Fatalf("round %d: (%g, %g) in the area: %v, winding number %d, contours %v", round, p.x, p.y, in, winding(contours, p), contours)
			}
		}
	}
}

func winding(contours []contour, p point) (n int) {
	for _, c := range contours {
		for i, a := range c {
			b := c[(i+1)%len(c)]
			turn := (b.x-a.x)*(p.y-a.y) - (b.y-a.y)*(p.x-a.x)
			if a.y <= p.y && b.y > p.y && turn > 0 {
				n++
			}
			if b.y <= p.y && a.y > p.y && turn < 0 {
				n--
			}
		}
	}
	return n
}
