package ring_test

import (
	"fmt"

	"example.org/kerfleaf/internal/ring"
	"github.com/twpayne/go-geom"
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

func ExampleCheck() {
	bow := geom.NewMultiPolygonFlat(geom.XY, []float64{0, 0, 4, 4, 4, 0, 0, 3, 0, 0}, [][]int{{10}})
	fmt.Println(ring.Check(bow) != nil)
	// Output: true
}

func ExampleRings() {
	mp := geom.NewMultiPolygonFlat(geom.XY, []float64{0, 0, 9, 0, 9, 9, 0, 9, 0, 0, 3, 3, 3, 6, 6, 6, 6, 3, 3, 3}, [][]int{{10, 20}})
	for _, r := range ring.Rings(mp) {
		fmt.Println(ring.Area(r))
	}
	// Output:
	// 81
	// -9
}

func ExampleNewIndex() {
	ix := ring.NewIndex([][]float64{{0, 0, 9, 0, 9, 9, 0, 9, 0, 0}, {3, 3, 6, 3, 6, 6, 3, 6, 3, 3}})
	fmt.Println(len(ix.Rings), len(ix.Blocks), ix.Nest(nil).NumPolygons())
	// Output: 2 2 1
}

func ExampleNewTree() {
	t := ring.NewTree([]ring.Box{{MinX: 0, MinY: 0, MaxX: 2, MaxY: 2}, {MinX: 5, MinY: 5, MaxX: 7, MaxY: 7}})
	fmt.Println(t.Search(ring.Box{MinX: 6, MinY: 6, MaxX: 9, MaxY: 9}, nil))
	// Output: [1]
}

func ExampleEmptyBox() {
	b := ring.EmptyBox().Add(1, 2).Add(4, 3).Grow(1)
	fmt.Println(b, b.Meets(ring.Box{MinX: 5, MinY: 0, MaxX: 6, MaxY: 9}), b.Join(ring.Box{MinX: 0, MinY: 0, MaxX: 9, MaxY: 1}))
	// Output: {0 1 5 4} true {0 0 9 4}
}

func ExampleIndex_Meetings() {
	ix := ring.NewIndex([][]float64{{0, 0, 4, 0, 4, 4, 0, 4, 0, 0}, {2, 2, 6, 2, 6, 6, 2, 6, 2, 2}})
	ix.Meetings(0, len(ix.Blocks), func(m ring.Meeting) bool {
		fmt.Println(m.Kind, m.RingA != m.RingB)
		return true
	})
	// Output:
	// edges cross true
	// edges cross true
}
