package stencil_test

import (
	"fmt"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/stencil"
)

// lantern is a cut area around a square of paper that nothing holds.
func lantern() (*geom.MultiPolygon, *geom.Bounds) {
	cut := geom.NewMultiPolygonFlat(geom.XY, []float64{
		10, 10, 40, 10, 40, 40, 10, 40, 10, 10,
		15, 15, 15, 32, 35, 32, 35, 15, 15, 15,
	}, [][]int{{10, 20}})
	return cut, geom.NewBounds(geom.XY).Set(0, 0, 50, 50)
}

func ExampleCheck() {
	cut, sheet := lantern()
	faults, err := stencil.Check(cut, sheet, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range faults {
		fmt.Println(f)
	}
	// Output:
	// island of 340.0 mm² at (21.7, 26.3), held by nothing
}

func ExampleBridge() {
	cut, sheet := lantern()
	held, straps, err := stencil.Bridge(cut, &stencil.BridgeOptions{Width: 2})
	if err != nil {
		fmt.Println(err)
		return
	}
	faults, err := stencil.Check(held, sheet, nil)
	fmt.Printf("%d strap, %.1f mm long, %.1f mm² less to cut; faults: %v %v\n",
		len(straps), straps[0].Length(), cut.Area()-held.Area(), faults, err)
	// Output:
	// 1 strap, 5.0 mm long, 10.0 mm² less to cut; faults: [] <nil>
}
