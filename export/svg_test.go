package export

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"
)

func svgOf(t testing.TB, d *Drawing, opts *SVGOptions) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := SVG(&b, d, opts); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestSVGGolden(t *testing.T) {
	golden(t, "lantern.svg", svgOf(t, lantern(), &SVGOptions{Title: "Lantern & reeds, front"}))
}

// lanternLines is the drawing of lantern as a reader must find it: roles in order of first appearance, holes before
// their outer ring, outer rings in the direction from x to y and holes against it.
const lanternLines = `score-mountain closed=false 15.00000,5.00000 15.00000,55.00000
score-mountain closed=false 55.00000,5.00000 55.00000,55.00000
score-mountain closed=false 5.00000,15.00000 65.00000,15.00000
score-valley closed=false 5.00000,45.00000 65.00000,45.00000
cut closed=true 35.00000,29.12500 37.00000,25.00000 33.00000,25.00000
cut closed=true 25.00000,22.00000 45.00000,22.00000 35.00000,40.00000
cut closed=true 20.50000,20.00000 23.00000,20.00000 23.00000,24.00000
cut closed=true 5.00000,5.00000 65.00000,5.00000 65.00000,55.00000 5.00000,55.00000
perforation closed=false 5.00000,30.00000 15.00000,30.00000
note closed=false 1.00000,58.00000 51.00000,58.00000
`

func TestSVGReadBack(t *testing.T) {
	w, h, lines := readSVG(t, svgOf(t, lantern(), nil))
	if w != 70 || h != 60 {
		t.Errorf("the sheet is %g x %g mm, want 70 x 60", w, h)
	}
	if got := show(lines); got != lanternLines {
		t.Errorf("got\n%swant\n%s", got, lanternLines)
	}
	if lines[4].path != lines[5].path || lines[5].path == lines[6].path {
		t.Errorf("one path an area: the hole is in path %d, its outer ring in %d, the next area in %d", lines[4].path, lines[5].path, lines[6].path)
	}
	for _, l := range lines {
		if want := map[bool]string{true: "evenodd"}[l.closed]; l.rule != want {
			t.Errorf("a line of %s has fill-rule %q, want %q", l.layer, l.rule, want)
		}
	}
}

// A box lid of 5 1/2 in is 139.7 mm: 528 px at the 96 px per inch of CSS and SVG 2, 396 pt at 72. Had it been written
// as 528 units without a unit and read at 72 per inch, it would be 186.267 mm.
func TestSVGSize(t *testing.T) {
	d := &Drawing{139.7, 139.7, []Layer{{Cut, []geom.T{polygon(square(0, 0, 139.7))}}}}
	doc := svgOf(t, d, nil)
	if !bytes.Contains(doc, []byte(`width="139.7mm" height="139.7mm" viewBox="0 0 139.7 139.7"`)) {
		t.Errorf("the head is %.200s", doc)
	}
	w, _, lines := readSVG(t, doc)
	for unit, want := range map[string]float64{"px": 528, "pt": 396, "mm": 139.7, "in": 5.5} {
		if got := w / mmPer[unit]; math.Abs(got-want) > 1e-9 {
			t.Errorf("width %g %s, want %g", got, unit, want)
		}
	}
	if got := lines[0].points[2][0]; math.Abs(got-139.7) > 1e-9 {
		t.Errorf("the far corner is at %g mm", got)
	}
	if got := 528 * mmPer["pt"]; math.Abs(got-186.267) > 5e-4 {
		t.Errorf("528 units at 72 per inch: %g mm", got)
	}
}

// A 10 mm square with a 4 mm square hole has an area of 84 by the even-odd rule, however its rings wind, and by the
// nonzero rule if they wind opposite ways; with rings wound alike the nonzero rule gives 100.
func TestSVGFillRules(t *testing.T) {
	for name, p := range map[string]*geom.Polygon{
		"opposite":        polygon(square(0, 0, 10), reversed(square(3, 3, 4))),
		"alike":           polygon(square(0, 0, 10), square(3, 3, 4)),
		"alike, reversed": polygon(reversed(square(0, 0, 10)), reversed(square(3, 3, 4))),
	} {
		_, _, lines := readSVG(t, svgOf(t, &Drawing{10, 10, []Layer{{Cut, []geom.T{p}}}}, nil))
		for rule, want := range map[string]int{"evenodd": 84, "nonzero": 84} {
			if got := fill(lines, 10, 10, 1, rule).count(); got != want {
				t.Errorf("%s: %d by %s, want %d", name, got, rule, want)
			}
		}
		lines[0].points[1], lines[0].points[3] = lines[0].points[3], lines[0].points[1]
		if got := fill(lines, 10, 10, 1, "nonzero").count(); got != 100 {
			t.Errorf("%s: with the hole turned, %d by nonzero, want 100", name, got)
		}
	}
}

func TestSVGRounding(t *testing.T) {
	d := &Drawing{10, 10, []Layer{{Cut, []geom.T{
		geom.NewLineStringFlat(geom.XY, []float64{1.0004, 1, 1.00049, 1, 2.0006, 1.25}),    // the first two fall together
		geom.NewLineStringFlat(geom.XY, []float64{3, 3, 3.0001, 3}),                        // shrinks to a point
		geom.NewLineStringFlat(geom.XYZ, []float64{-0.0004, 0, 7, 10.0004, 10, 8}),         // half a micrometre off the sheet
		polygon([]float64{5, 5, 5.0001, 5, 5.0001, 5.0001}, square(5, 5, 0.0001)),          // shrinks to a point
		geom.NewLinearRingFlat(geom.XY, []float64{6, 6, 7, 6, 7, 7, 6.0002, 6.0001, 6, 6}), // its last corner falls on the first
	}}}}
	got := string(svgOf(t, d, nil))
	for _, want := range []string{`d="M1 1L2.001 1.25"`, `d="M0 0L10 10"`, `d="M6 6L7 6L7 7Z"`} {
		if !strings.Contains(got, want) {
			t.Errorf("%s is missing in\n%s", want, got)
		}
	}
	if n := strings.Count(got, "<path"); n != 3 {
		t.Errorf("%d paths, want 3:\n%s", n, got)
	}
}

// Filled again, a written sheet covers the pixels that the drawing's own rings cover.
func TestSVGFilledAgain(t *testing.T) {
	d := page(20000)
	_, _, lines := readSVG(t, svgOf(t, d, nil))
	want := fill(given(d), d.Width, d.Height, 0.5, "evenodd")
	for _, rule := range []string{"evenodd", "nonzero"} {
		got := fill(lines, d.Width, d.Height, 0.5, rule)
		differ := 0
		for i := range got {
			if got[i] != want[i] {
				differ++
			}
		}
		// Rounding moves a boundary by at most 0.7 µm, so it may pass a pixel's centre about once in 350 boundary
		// pixels.
		if differ > 40 || want.count() < 50000 {
			t.Errorf("%s: %d of %d pixels differ, %d are filled", rule, differ, len(got), want.count())
		}
	}
}
