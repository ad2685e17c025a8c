package export_test

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"strings"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/export"
)

// blank is a tray blank of 50 mm with one score and a window with an island's place in it.
func blank() *export.Drawing {
	window := geom.NewPolygonFlat(geom.XY, []float64{
		18, 18, 32, 18, 32, 32, 18, 32, 18, 18,
		23, 23, 23, 27, 27, 27, 27, 23, 23, 23,
	}, []int{10, 20})
	outline := geom.NewPolygonFlat(geom.XY, []float64{0, 0, 50, 0, 50, 50, 0, 50, 0, 0}, []int{10})
	score := geom.NewLineStringFlat(geom.XY, []float64{0, 12.7, 50, 12.7})
	return &export.Drawing{Width: 50, Height: 50, Layers: []export.Layer{
		{Role: export.Mountain, Shapes: []geom.T{score}},
		{Role: export.Cut, Shapes: []geom.T{window, outline}},
	}}
}

func ExampleSVG() {
	if err := export.SVG(os.Stdout, blank(), &export.SVGOptions{Title: "lantern, front"}); err != nil {
		fmt.Println(err)
	}
	// Output:
	// <?xml version="1.0" encoding="UTF-8"?>
	// <svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="50mm" viewBox="0 0 50 50">
	// <title>lantern, front</title>
	// <g id="score-mountain" fill="none" stroke="#000" stroke-width="0.25">
	// <path d="M0 12.7L50 12.7"/>
	// </g>
	// <g id="cut" fill="none" stroke="#000" stroke-width="0.35">
	// <path fill-rule="evenodd" d="M23 23L23 27L27 27L27 23Z
	// M18 18L32 18L32 32L18 32Z"/>
	// <path fill-rule="evenodd" d="M0 0L50 0L50 50L0 50Z"/>
	// </g>
	// </svg>
}

func ExampleDXF() {
	var file bytes.Buffer
	if err := export.DXF(&file, blank(), &export.DXFOptions{Unit: export.Inch}); err != nil {
		fmt.Println(err)
	}
	text := file.String()
	fmt.Println(strings.Split(text, "\n")[1])
	fmt.Println(strings.Count(text, "\nPOLYLINE\n"), "polylines,", strings.Count(text, "\n 66\n1\n 70\n1\n"), "of them closed")
	// Output:
	// 1 unit = 1 in
	// 4 polylines, 3 of them closed
}

func ExampleOutsideError() {
	d := blank()
	d.Width = 40
	err := export.SVG(&bytes.Buffer{}, d, nil)
	fmt.Println(err)
	var outside *export.OutsideError
	fmt.Println(errors.As(err, &outside), outside.At.X()-d.Width)
	// Output:
	// export: score-mountain line leaves the sheet at (50.000, 12.700), the sheet is 40 x 50 mm
	// true 10
}

func ExampleSizeError() {
	fmt.Println(export.SVG(&bytes.Buffer{}, &export.Drawing{Width: 210}, nil))
	// Output: export: a sheet of 210 x 0 mm cannot be written, each side must be more than 0 and at most 1e+06 mm
}

func ExampleShapeError() {
	d := blank()
	d.Layers[0].Shapes = []geom.T{geom.NewLinearRingFlat(geom.XY, []float64{0, 0, 9, 0, 9, 9, 0, 9})}
	fmt.Println(export.DXF(&bytes.Buffer{}, d, nil))
	// Output: export: layer 0 (score-mountain), shape 0: a ring is open, it starts at (0.000, 0.000) and ends at (0.000, 9.000)
}

func ExampleRole_String() {
	fmt.Println(export.Cut, export.Mountain, export.Valley, export.Perforation, export.Note)
	// Output: cut score-mountain score-valley perforation note
}

func ExampleUnit_String() {
	fmt.Println(export.Millimetre, export.Inch)
	// Output: mm in
}
