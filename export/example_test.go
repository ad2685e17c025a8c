package export_test

import (
	"bytes"
	"errors"
	"fmt"
	"image/color"
	"image/png"
	"math"
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

func ExampleSVG_curves() {
	// A coin of 60 chords, 20 mm across.
	var flat []float64
	for i := range 61 {
		s, c := math.Sincos(2 * math.Pi * float64(i%60) / 60)
		flat = append(flat, 15+10*c, 15+10*s)
	}
	d := &export.Drawing{Width: 30, Height: 30, Layers: []export.Layer{
		{Role: export.Cut, Shapes: []geom.T{geom.NewPolygonFlat(geom.XY, flat, []int{len(flat)})}},
	}}
	for _, tolerance := range []float64{0, 0.05} {
		var file bytes.Buffer
		if err := export.SVG(&file, d, &export.SVGOptions{Curves: tolerance}); err != nil {
			fmt.Println(err)
		}
		fmt.Println(strings.Count(file.String(), "L"), "lines,", strings.Count(file.String(), "C"), "curves")
	}
	// Output:
	// 59 lines, 0 curves
	// 0 lines, 4 curves
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

func ExamplePNG() {
	var picture bytes.Buffer
	err := export.PNG(&picture, blank(), &export.PNGOptions{
		Title:    "lantern, front",
		Measures: []export.Measure{{From: geom.Coord{0, 0}, To: geom.Coord{50, 0}, Text: "1 31/32 in (50 mm)"}},
		Pixels:   400,
	})
	if err != nil {
		fmt.Println(err)
	}
	config, err := png.DecodeConfig(&picture)
	fmt.Println(max(config.Width, config.Height), err)
	// Output: 400 <nil>
}

func ExampleMockup() {
	face := geom.NewBounds(geom.XY).Set(12.7, 12.7, 37.3, 37.3)
	var picture bytes.Buffer
	err := export.Mockup(&picture, blank(), face, 12.7, &export.MockupOptions{
		Base:   color.NRGBA{R: 0x2f, G: 0x5d, B: 0x62, A: 0xff},
		Pixels: 300,
	})
	if err != nil {
		fmt.Println(err)
	}
	config, err := png.DecodeConfig(&picture)
	fmt.Println(config.Width, config.Height, err)
	// Output: 300 294 <nil>
}

func ExampleFaceError() {
	face := geom.NewBounds(geom.XY).Set(10, 10, 60, 40)
	fmt.Println(export.Mockup(&bytes.Buffer{}, blank(), face, 12.7, nil))
	// Output: export: the face from (10, 10) to (60, 40) with a depth of 12.7 mm is no box on a sheet of 50 x 50 mm
}

func ExamplePixelsError() {
	fmt.Println(export.PNG(&bytes.Buffer{}, blank(), &export.PNGOptions{Pixels: 12000}))
	// Output: export: a picture of 12000 pixels cannot be drawn, its longest side must be from 200 to 2000
}

func ExamplePDF() {
	var file bytes.Buffer
	err := export.PDF(&file, blank(), &export.PDFOptions{Title: "lantern, front", Grain: export.AlongHeight, PageWidth: 215.9, PageHeight: 279.4})
	if err != nil {
		fmt.Println(err)
	}
	fmt.Println(strings.Contains(file.String(), "/MediaBox [0 0 612.00 792.00]")) // US Letter in points
	// Output: true
}

func ExamplePageError() {
	fmt.Println(export.PDF(&bytes.Buffer{}, blank(), &export.PDFOptions{PageWidth: 60, PageHeight: 90}))
	// Output: export: a page of 60 x 90 mm with a border of 8 mm leaves less than 70 mm to print on
}

func ExampleHTML() {
	front := blank()
	guide := &export.Guide{
		Title: "Lantern",
		Front: front, Face: geom.NewBounds(geom.XY).Set(12.7, 12.7, 37.3, 37.3), Depth: 12.7,
		Parts: []export.Part{{Name: "Front", Paper: "card, 0.28 mm", Measures: []export.NamedMeasure{
			{Name: "sheet", Text: "1 31/32 in (50 mm)"},
		}}},
		Steps: []export.Step{
			{Title: "Score", Text: "Dent the dash-dotted lines.", Figure: export.ScoreFigure, Net: front},
			{Title: "Fold", Text: "Fold all walls away from you.", Figure: export.FoldFigure},
		},
		Cautions: []string{"Cut away from your fingers."},
	}
	var page bytes.Buffer
	if err := export.HTML(&page, guide); err != nil {
		fmt.Println(err)
	}
	fmt.Println(strings.Count(page.String(), "<svg"), "figures")
	// Output: 2 figures
}

func ExampleFigureError() {
	fmt.Println(export.HTML(&bytes.Buffer{}, &export.Guide{Steps: []export.Step{{Figure: 12}}}))
	// Output: export: step 1 of the guide has a figure 12, which is unknown
}
