package trace_test

import (
	"fmt"
	"math"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/trace"
)

// A moon of 10 mm radius cut with a trembling hand: 0.1 mm to and fro on every millimetre.
func ExampleSmooth() {
	var flat []float64
	for i := range 2000 {
		turn := 2 * math.Pi * float64(i) / 2000
		r := 10 + 0.1*math.Sin(63*turn)
		flat = append(flat, 20+r*math.Cos(turn), 20+r*math.Sin(turn))
	}
	flat = append(flat, flat[0], flat[1])
	moon := geom.NewMultiPolygonFlat(geom.XY, flat, [][]int{{len(flat)}})

	calm := trace.Smooth(moon, 1.2)
	fmt.Printf("%.0f mm of outline, %.0f mm²\n", moon.Length(), moon.Area())
	fmt.Printf("%.0f mm of outline, %.0f mm²\n", calm.Length(), calm.Area())
	// Output:
	// 69 mm of outline, 314 mm²
	// 63 mm of outline, 314 mm²
}
