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
	fmt.Printf("%d straps, each %.1f mm long, %.1f mm² less to cut; faults: %v %v\n",
		len(straps), straps[0].Length(), cut.Area()-held.Area(), faults, err)
	// Output:
	// 2 straps, each 5.0 mm long, 20.0 mm² less to cut; faults: [] <nil>
}

func ExampleNecks() {
	// A leaf of 20 by 10 mm on a stalk 2.5 mm wide, within a window.
	cut := geom.NewMultiPolygonFlat(geom.XY, []float64{
		10, 10, 50, 10, 50, 23.75, 35, 23.75, 35, 20, 15, 20, 15, 30, 35, 30, 35, 26.25, 50, 26.25, 50, 40, 10, 40, 10, 10,
	}, [][]int{{26}})
	necks, err := stencil.Necks(cut, geom.NewBounds(geom.XY).Set(0, 0, 60, 50))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, n := range necks {
		fmt.Printf("%.1f mm wide, holds %.0f mm² that reach %.1f mm; alone: %v\n", n.Width, n.Area, n.Reach, n.Single)
	}
	// Output:
	// 2.5 mm wide, holds 200 mm² that reach 20.6 mm; alone: true
}

func ExampleFault_String() {
	fmt.Println(stencil.Fault{Kind: stencil.ThinWeb, At: geom.Coord{41.2, 18}, Width: 0.31, Need: 0.8})
	// Output:
	// web 0.31 mm wide at (41.2, 18.0), need 0.80
}

func ExampleThicken() {
	// Two cut areas, 0.4 mm apart.
	cut := geom.NewMultiPolygonFlat(geom.XY, []float64{
		10, 10, 30, 10, 30, 20, 10, 20, 10, 10,
		10, 20.4, 30, 20.4, 30, 30, 10, 30, 10, 20.4,
	}, [][]int{{10}, {20}})
	sheet := geom.NewBounds(geom.XY).Set(0, 0, 40, 40)
	before, err := stencil.Check(cut, sheet, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	thicker, left, err := stencil.Thicken(cut, 0.8)
	if err != nil {
		fmt.Println(err)
		return
	}
	after, err := stencil.Check(thicker, sheet, &stencil.Options{Caution: 0.8})
	fmt.Println(before, left, after, err)
	// Output:
	// [web 0.40 mm wide at (20.0, 20.2), need 0.80] [] [] <nil>
}

func ExampleOverhang() {
	fmt.Printf("card: %.0f mm, copy paper: %.0f mm\n", stencil.Overhang(220, 0.28, 1), stencil.Overhang(80, 0.1, 1))
	// Output:
	// card: 67 mm, copy paper: 40 mm
}

func ExampleStrap_Length() {
	s := stencil.Strap{From: geom.Coord{10, 20}, To: geom.Coord{13, 24}, Width: 2}
	fmt.Println(s.Length())
	// Output: 5
}
