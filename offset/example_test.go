package offset_test

import (
	"fmt"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/offset"
)

// window is a cut area of 40 by 20 mm.
func window() *geom.MultiPolygon {
	return geom.NewMultiPolygonFlat(geom.XY, []float64{0, 0, 40, 0, 40, 20, 0, 20, 0, 0}, [][]int{{10}})
}

func ExamplePolygons() {
	grown, err := offset.Polygons(window(), 5, &offset.Options{Join: offset.Miter})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f mm²\n", grown.Area())

	shrunk, err := offset.Polygons(window(), -10, nil)
	fmt.Println(shrunk.NumPolygons(), err) // nothing is left
	// Output:
	// 1500 mm²
	// 0 <nil>
}

func ExampleKerf() {
	path, err := offset.Kerf(window(), 0.2)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f mm²\n", path.Area()) // 39.8 by 19.8
	// Output: 788.04 mm²
}

func ExampleOutline() {
	path, err := offset.Outline(window(), 0.2)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f mm²\n", path.Area()) // 40.2 by 20.2
	// Output: 812.04 mm²
}
