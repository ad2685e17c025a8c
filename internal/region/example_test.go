package region_test

import (
	"fmt"

	"example.org/kerfleaf/internal/region"
	"github.com/twpayne/go-geom"
)

// square is w wide with its top left at (x, y).
func square(x, y, w float64) *geom.MultiPolygon {
	return geom.NewMultiPolygonFlat(geom.XY, []float64{x, y, x + w, y, x + w, y + w, x, y + w, x, y}, [][]int{{10}})
}

func area(mp *geom.MultiPolygon, err error) string {
	if err != nil {
		return err.Error()
	}
	return fmt.Sprintf("%d of %.2f", mp.NumPolygons(), mp.Area())
}

func ExampleUnion() {
	fmt.Println(area(region.Union(square(0, 0, 4), square(2, 2, 4))))
	// Output: 1 of 28.00
}

func ExampleDifference() {
	fmt.Println(area(region.Difference(square(0, 0, 4), square(1, 1, 2))))
	// Output: 1 of 12.00
}

func ExampleIntersection() {
	fmt.Println(area(region.Intersection(square(0, 0, 4), square(2, 2, 4))))
	// Output: 1 of 4.00
}

func ExampleUnionAll() {
	fmt.Println(area(region.UnionAll([]*geom.Polygon{square(0, 0, 4).Polygon(0), square(2, 2, 4).Polygon(0), square(9, 9, 1).Polygon(0)})))
	// Output: 2 of 29.00
}

func ExampleAlong() {
	band, err := region.Along([]float64{0, 0, 10, 0}, 0.5)
	if err != nil {
		fmt.Println(err)
		return
	}
	b := band.Bounds()
	fmt.Printf("%.1f high\n", b.Max(1)-b.Min(1))
	// Output: 1.0 high
}
