package trace

import (
	"fmt"
	"math"
	"math/rand"
	"os"
	"path/filepath"
	"testing"

	"golang.org/x/image/font/gofont/gobolditalic"
	"golang.org/x/image/font/gofont/gomonoitalic"
)

// judges gives a second set of truths, which no constant of the pipeline is tuned on: letters of fonts by other hands,
// curves given by formulas, and puddles drawn by chance, all turned by odd angles.
func judges(t testing.TB, dpi float64) []truth {
	t.Helper()
	rnd := rand.New(rand.NewSource(27))
	var out []truth
	add := func(name string, rings [][]oraclePoint) {
		out = append(out, place(name, rings, dpi, rnd.Float64()*2*math.Pi, rnd))
	}
	// Cantarell and Noto Sans, both under the SIL Open Font License: see words/testdata.
	for _, font := range []struct{ file, letters string }{
		{"cantarell.otf", "CGJSdfty35%"}, {"sans.ttf", "bcjmruD69@"}, {"devanagari.ttf", "\u0967\u0968\u0969\u096b\u096c"},
	} {
		data, err := os.ReadFile(filepath.Join("..", "words", "testdata", font.file))
		if err != nil {
			t.Fatal(err)
		}
		for _, letter := range font.letters {
			add(fmt.Sprintf("%s %c", font.file, letter), glyph(data, letter))
		}
	}
	for _, letter := range "PXhnpq" {
		add(fmt.Sprintf("bold italic %c", letter), glyph(gobolditalic.TTF, letter))
		add(fmt.Sprintf("mono italic %c", letter), glyph(gomonoitalic.TTF, letter))
	}
	for _, s := range []shape{
		{"spiral", spiral()}, {"wave", wave()}, {"ellipse", polar(1, func(a float64) float64 {
			return 0.3 / math.Hypot(0.5*math.Cos(a), math.Sin(a))
		})},
		{"rose", polar(1, func(a float64) float64 { return 0.5 + 0.14*math.Cos(7*a) })},
		{"heart", polar(1, func(a float64) float64 { return 0.35 * (1 - math.Cos(a)) })},
		{"plate", plate(0.7, 0.4, 0.12)}, {"eye", eye(0.8, 0.6)}, {"small ring", annulus(0.23, 0.11)},
		{"heptagon", star(7, 0.55, 0.55*math.Cos(math.Pi/7))}, {"star of 7", star(7, 0.65, 0.22)},
		{"gear of 23", gear(23, 0.7, 0.61, 0.27)}, {"gear of 9", gear(9, 0.45, 0.33, 0.15)},
	} {
		add(s.name, s.rings)
	}
	for i := range 6 {
		add(fmt.Sprint("puddle ", i), puddle(rnd))
		add(fmt.Sprint("scrap ", i), scrap(rnd))
	}
	return out
}

// polar is the curve of a radius as a function of the angle, once round; way is 1 or -1.
func polar(way float64, r func(a float64) float64) [][]oraclePoint {
	const n = 4000
	ring := make([]oraclePoint, n)
	for i := range ring {
		a := 2 * math.Pi * (float64(i) + 0.5) / n
		sin, cos := math.Sincos(way * a)
		ring[i] = oraclePoint{r(a) * cos, r(a) * sin}
	}
	return [][]oraclePoint{ring}
}

// spiral is a band 0.06 wide, two and a quarter turns of Archimedes's spiral.
func spiral() [][]oraclePoint {
	const n = 3000
	var ring []oraclePoint
	edge := func(i int, off float64) {
		a := 1 + 4.5*math.Pi*float64(i)/n
		sin, cos := math.Sincos(a)
		r := 0.045*a + off
		ring = append(ring, oraclePoint{r * cos, r * sin})
	}
	for i := range n + 1 {
		edge(i, 0.03)
	}
	for i := range n + 1 {
		edge(n-i, -0.03)
	}
	return [][]oraclePoint{ring}
}

// wave is water between two lines, its surface a sine that falls off.
func wave() [][]oraclePoint {
	ring := []oraclePoint{{1.6, 0.25}, {0, 0.25}}
	for i := range 2001 {
		x := 1.6 * float64(i) / 2000
		ring = append(ring, oraclePoint{x, -0.12 * math.Exp(-x) * math.Sin(13*x)})
	}
	return [][]oraclePoint{ring}
}

// plate is a rectangle with round corners.
func plate(w, h, r float64) [][]oraclePoint {
	var ring []oraclePoint
	for i, c := range []oraclePoint{{w - r, h - r}, {r - w, h - r}, {r - w, r - h}, {w - r, r - h}} {
		for k := range 201 {
			sin, cos := math.Sincos(math.Pi / 2 * (float64(i) + float64(k)/200))
			ring = append(ring, oraclePoint{c.x + r*cos, c.y + r*sin})
		}
	}
	return [][]oraclePoint{ring}
}

// eye is what two discs of radius r with their middles d apart have in common.
func eye(r, d float64) [][]oraclePoint {
	half := math.Acos(d / 2 / r)
	var ring []oraclePoint
	for _, s := range []float64{1, -1} {
		for k := range 1000 {
			sin, cos := math.Sincos(half * (2*float64(k)/1000 - 1))
			ring = append(ring, oraclePoint{s * (r*cos - d/2), s * r * sin})
		}
	}
	return [][]oraclePoint{ring}
}

// puddle is smooth all round: a circle with chance waves of 2 to 6 to the round.
func puddle(rnd *rand.Rand) [][]oraclePoint {
	var height, phase [7]float64
	for k := 2; k < len(height); k++ {
		height[k], phase[k] = 0.35/float64(k*k)*(0.5+rnd.Float64()), rnd.Float64()*2*math.Pi
	}
	return polar(1, func(a float64) float64 {
		r := 0.45
		for k := 2; k < len(height); k++ {
			r += 0.45 * height[k] * math.Cos(float64(k)*a+phase[k])
		}
		return r
	})
}

// scrap has five to eight corners round the middle, each side of it straight or bowed to either side.
func scrap(rnd *rand.Rand) [][]oraclePoint {
	m := 5 + rnd.Intn(4)
	corner := make([]oraclePoint, m)
	for i := range corner {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.4*rnd.Float64()) / float64(m))
		r := 0.35 + 0.3*rnd.Float64()
		corner[i] = oraclePoint{r * cos, r * sin}
	}
	var n pen
	n.move(corner[0].x, corner[0].y)
	for i, p := range corner {
		q := corner[(i+1)%m]
		bow := 0.3 * (rnd.Float64() - 0.5)
		if rnd.Intn(3) == 0 {
			bow = 0
		}
		n.quad((p.x+q.x)/2-bow*(q.y-p.y), (p.y+q.y)/2+bow*(q.x-p.x), q.x, q.y)
	}
	return n.outline()
}
