package ring_test

import (
	"fmt"

	"example.org/kerfleaf/internal/ring"
)

func ExampleArea() {
	fmt.Println(ring.Area([]float64{0, 0, 3, 0, 3, 2, 0, 2, 0, 0}))
	// Output: 6
}

func ExampleLocate() {
	r := []float64{0, 0, 3, 0, 3, 2, 0, 2, 0, 0}
	fmt.Println(ring.Locate(r, 1, 1), ring.Locate(r, 3, 1), ring.Locate(r, 4, 1))
	// Output: 1 0 -1
}

func ExampleNest() {
	outer := []float64{0, 0, 9, 0, 9, 9, 0, 9, 0, 0}
	inner := []float64{3, 3, 6, 3, 6, 6, 3, 6, 3, 3}
	mp := ring.Nest([][]float64{inner, outer})
	fmt.Println(mp.NumPolygons(), mp.Polygon(0).NumLinearRings(), mp.Area())
	fmt.Println(len(ring.Rings(mp)), ring.Check(mp))
	// Output:
	// 1 2 72
	// 2 <nil>
}

func ExampleOrient() {
	fmt.Println(ring.Orient(0, 0, 1, 0, 1, 1), ring.Orient(0, 0, 0.1, 0.1, 0.3, 0.3))
	// Output: 1 0
}

func ExampleIndex_Left() {
	ix := ring.NewIndex([][]float64{{0, 0, 9, 0, 9, 9, 0, 9, 0, 0}})
	hit, ok := ix.Left(5, 4, -1)
	fmt.Println(hit.Ring, hit.X, hit.Down, ok)
	// Output: 0 0 true true
}
