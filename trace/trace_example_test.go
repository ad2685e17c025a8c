package trace_test

import (
	"context"
	"fmt"
	"image"
	"image/draw"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/trace"
)

// pane draws a window pane of a lantern, 60 by 40 pixels of black.
func pane() *image.Gray {
	g := image.NewGray(image.Rect(0, 0, 100, 100))
	draw.Draw(g, g.Rect, image.White, image.Point{}, draw.Src)
	draw.Draw(g, image.Rect(20, 30, 80, 70), image.Black, image.Point{}, draw.Src)
	return g
}

func ExampleImage() {
	cut, err := trace.Image(pane(), 25.4/100, nil) // 100 dpi
	if err != nil {
		fmt.Println(err)
		return
	}
	b := cut.Bounds()
	fmt.Printf("%d polygon from (%.2f, %.2f) to (%.2f, %.2f) mm\n",
		cut.NumPolygons(), b.Min(0), b.Min(1), b.Max(0), b.Max(1))
	// Output: 1 polygon from (5.08, 7.62) to (20.32, 17.78) mm
}

func ExampleOutline() {
	res, err := trace.Outline(context.Background(), pane(), 0.25, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("level %.2f, hard %v, %.0f %% cut away, %.0f mm to cut\n",
		res.Level, res.Hard, 100*res.Covered, res.Length)
	// Output: level 0.50, hard true, 24 % cut away, 50 mm to cut
}

func ExampleOtsu() {
	fmt.Printf("%.2f\n", trace.Otsu(pane()))
	// Output: 0.50
}

func ExampleSimplify() {
	// A square of 4 mm with a needless vertex, a little off its upper side.
	flat := []float64{0, 0, 2, 0.01, 4, 0, 4, 4, 0, 4, 0, 0}
	cut := geom.NewMultiPolygonFlat(geom.XY, flat, [][]int{{len(flat)}})
	fmt.Println(trace.Simplify(cut, 0.05).FlatCoords())
	// Output: [4 0 4 4 0 4 0 0 4 0]
}
