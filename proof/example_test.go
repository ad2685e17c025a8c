package proof_test

import (
	"fmt"
	"strings"

	"example.org/kerfleaf/proof"
)

const reed = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<g id="cut">
<path d="M10 10L20 10L20 30L10 30Z"/>
<path d="M20.5 10L30 10L30 30L20.5 30Z"/>
<path d="M40 10L50 10L50 30L40 30"/>
</g>
</svg>`

func ExampleRead() {
	f, err := proof.Read(strings.NewReader(reed))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(f.Format, f.Unit, f.Drawing.Width, f.Drawing.Height, len(f.Drawing.Layers[0].Shapes))
	// Output:
	// SVG mm 60 40 3
}

func ExampleReadSVG() {
	f, err := proof.ReadSVG(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="96" height="48"><path d="m10 10h20v20z"/></svg>`))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f x %.1f mm\n", f.Drawing.Width, f.Drawing.Height)
	fmt.Println(f.Notes[0])
	// Output:
	// 25.4 x 12.7 mm
	// the file states its size in no unit of length: 1 unit was taken for 1/96 in
}

func ExampleReadDXF() {
	circle := "0\nSECTION\n2\nENTITIES\n0\nCIRCLE\n8\nCUT\n10\n0\n20\n0\n40\n5\n0\nENDSEC\n0\nEOF\n"
	f, err := proof.ReadDXF(strings.NewReader(circle))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f x %.1f mm\n", f.Drawing.Width, f.Drawing.Height)
	// Output:
	// 10.0 x 10.0 mm
}

func ExampleCut() {
	f, err := proof.Read(strings.NewReader(reed))
	if err != nil {
		fmt.Println(err)
		return
	}
	result, err := proof.Cut(f.Drawing, 0.1, &proof.Options{MinWeb: 0.8})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, claim := range result.Claims {
		fmt.Println(claim)
	}
	// Output:
	// ok: all lines are on the sheet of 60.00 x 40.00 mm
	// ok: no line is worked twice
	// wrong: a cut of 40.00 mm is open at (40.0, 30.0): its ends are 20.000 mm apart
	// ok: no closed cuts cross
	// ok: the sheet stays in one piece: 2000.0 mm² of paper
	// wrong: web 0.40 mm wide at (20.2, 20.0), need 0.80
}

func ExampleResult_OK() {
	f, err := proof.Read(strings.NewReader(reed))
	if err != nil {
		fmt.Println(err)
		return
	}
	result, err := proof.Cut(f.Drawing, 0, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(result.OK())
	// Output:
	// false
}

func ExampleClaim_String() {
	fmt.Println(proof.Claim{Text: "no line is worked twice", OK: true})
	// Output:
	// ok: no line is worked twice
}

func ExampleSlide() {
	// Trays 60 x 40 and 57 x 37 mm within their scores, of papers 0.3 and 0.5 mm thick.
	front := proof.Tray{Drawing: plainTray(60, 40), Thickness: 0.3}
	base := proof.Tray{Drawing: plainTray(57, 37), Thickness: 0.5}
	fit, err := proof.Slide(front, base)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, claim := range fit.Claims {
		fmt.Println(claim)
	}
	// Output:
	// ok: front: folds up to four walls, 60.30 x 40.30 mm outside, with 4 tabs inside them
	// ok: base: folds up to four walls, 57.50 x 37.50 mm outside, with 4 tabs inside them
	// ok: the base slides into the front with 1.10 mm on either side across the width and 0.80 across the height
}

func ExampleFit_OK() {
	tray := proof.Tray{Drawing: plainTray(60, 40), Thickness: 0.3}
	fit, err := proof.Slide(tray, tray)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(fit.OK())
	// Output:
	// false
}
