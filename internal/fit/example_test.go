package fit_test

import (
	"fmt"
	"math"

	"example.org/kerfleaf/internal/fit"
)

// moon is a full moon of 10 mm radius in 48 short lines.
func moon() (points []float64) {
	for i := range 49 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i%48) / 48)
		points = append(points, 20+10*cos, 20+10*sin)
	}
	return points
}

func ExampleCurves() {
	for _, s := range fit.Curves(nil, moon(), 0.05) {
		switch s.Kind {
		case fit.Move:
			fmt.Printf("M %.1f %.1f\n", s.X, s.Y)
		case fit.Line:
			fmt.Printf("L %.1f %.1f\n", s.X, s.Y)
		case fit.Curve:
			fmt.Printf("C %.1f %.1f %.1f %.1f %.1f %.1f\n", s.X1, s.Y1, s.X2, s.Y2, s.X, s.Y)
		}
	}
	// Output:
	// M 30.0 20.0
	// C 30.0 25.5 25.5 30.0 20.0 30.0
	// C 14.5 30.0 10.0 25.5 10.0 20.0
	// C 10.0 14.5 14.5 10.0 20.0 10.0
	// C 25.5 10.0 30.0 14.5 30.0 20.0
}

func ExampleArcs() {
	for _, v := range fit.Arcs(nil, moon(), 0.05) {
		fmt.Printf("%.1f %.1f bulge %g\n", v.X, v.Y, v.Bulge)
	}
	// Output:
	// 30.0 20.0 bulge 1
	// 10.0 20.0 bulge 1
}
