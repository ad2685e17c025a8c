package proof_test

import (
	"errors"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"example.org/kerfleaf/export"
	"example.org/kerfleaf/internal/ring"
	"example.org/kerfleaf/proof"
	"github.com/twpayne/go-geom"
)

// svgOf is a sheet of 100 mm square whose units are millimetres.
func svgOf(body string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="100mm" height="100mm" viewBox="0 0 100 100">` + body + `</svg>`
}

func readSVG(t testing.TB, doc string) *proof.File {
	t.Helper()
	f, err := proof.ReadSVG(strings.NewReader(doc))
	if err != nil {
		t.Fatalf("%.200s: %v", doc, err)
	}
	return f
}

// shapes are all lines of a file in order, as WKT-like text with coordinates to a hundredth.
func shapes(f *proof.File) string {
	var b strings.Builder
	for _, l := range f.Drawing.Layers {
		for _, s := range l.Shapes {
			if b.Len() > 0 {
				b.WriteString("; ")
			}
			b.WriteString(l.Role.String())
			if _, ok := s.(*geom.LinearRing); ok {
				b.WriteString(" ring")
			}
			flat := s.FlatCoords()
			for i := 0; i < len(flat); i += 2 {
				fmt.Fprintf(&b, " %g,%g", math.Round(flat[i]*100)/100+0, math.Round(flat[i+1]*100)/100+0)
			}
		}
	}
	return b.String()
}

// Path data by the grammar of SVG 1.1, 8.3.9, and the examples of its text.
func TestPathGrammar(t *testing.T) {
	for _, c := range []struct{ d, want string }{
		{"M1 2L3 4", "cut 1,2 3,4"},
		{"M1-2.5.5 3", "cut 1,-2.5 0.5,3"}, // numbers may abut
		{"m 1 1 2 0 0 2 z", "cut ring 1,1 3,1 3,3 1,1"},
		{"M0,0,10,0,10,10Z", "cut ring 0,0 10,0 10,10 0,0"},
		{"M1 1H5V5h-4z", "cut ring 1,1 5,1 5,5 1,5 1,1"},
		{"M1 1h4v4h-4zl9 9", "cut ring 1,1 5,1 5,5 1,5 1,1; cut 1,1 10,10"},
		{"m1 1h4v4zm10 10h1v1z", "cut ring 1,1 5,1 5,5 1,1; cut ring 11,11 12,11 12,12 11,11"},
		{"M10 10M20 20L30 20", "cut 20,20 30,20"},
		{"M1e1 1E+1L2e-1.5", "cut 10,10 0.2,0.5"},
		{"M 100-200", ""},
		{"M5 5L5 5", ""},
		{"M5 5L6 5Z", "cut 5,5 6,5 5,5"},
		{" \n", ""},
		{"none", ""},
	} {
		if got := shapes(readSVG(t, svgOf(`<path d="`+c.d+`"/>`))); got != c.want {
			t.Errorf("%q: got %s, want %s", c.d, got, c.want)
		}
	}
	for _, d := range []string{"L1 1", "M1", "M1 1L", "M1 1 L 2", "M1-2.5.5", "M1 1X3", "M1 1A1 1 0 2 0 3 3", "M1 1,", "M1 1L2 2,Z", "M1e999 0L1 1", "M--1 1", "1 1", "M1 1A1 1 0 0 0 3"} {
		_, err := proof.ReadSVG(strings.NewReader(svgOf(`<path id="reed" d="` + d + `"/>`)))
		var at *proof.FileError
		if !errors.As(err, &at) || at.Line != 1 || !strings.Contains(err.Error(), `"reed"`) {
			t.Errorf("%q: got the error %v", d, err)
		}
	}
}

// curve is a path with the closed form of its area, and of the length of its curves.
func TestCurvesHaveTheirArea(t *testing.T) {
	const circle = 100 * math.Pi
	quarter := 4.0 / 3 * (math.Sqrt2 - 1) * 10 // a Bézier quarter circle; its area is that of a disc within 0.03 %
	for name, c := range map[string]struct {
		body         string
		area, curved float64
	}{
		"circle":         {`<circle cx="50" cy="50" r="10"/>`, circle, 20 * math.Pi},
		"circle percent": {`<circle cx="50%" cy="50%" r="10%"/>`, circle, 20 * math.Pi},
		"ellipse":        {`<ellipse cx="50" cy="50" rx="20" ry="5"/>`, circle, 100},
		"arcs":           {`<path d="M40 50A10 10 0 0 1 60 50A10 10 0 0 1 40 50Z"/>`, circle, 20 * math.Pi},
		"arcs abut":      {`<path d="M40 50a10 10 0 0120 0a10 10 0 01-20 0z"/>`, circle, 20 * math.Pi},
		"large arc":      {`<path d="M50 40A10 10 0 1 0 60 50L50 50Z"/>`, circle * 3 / 4, 20 * math.Pi},
		"small arc":      {`<path d="M50 40A10 10 0 0 1 60 50L50 50Z"/>`, circle / 4, 20 * math.Pi},
		"turned arc":     {`<path d="M50 30A20 5 90 0 1 50 70A20 5 90 0 1 50 30Z"/>`, circle, 100},
		"arc too small":  {`<path d="M40 50A1 1 0 0 1 60 50A3 3 0 0 1 40 50Z"/>`, circle, 20 * math.Pi},
		"skewed":         {`<circle r="10" transform="translate(50 50) skewX(45)"/>`, circle, 100},
		"scaled":         {`<g transform="translate(50,50)"><circle r="1" transform="rotate(30) scale(20 5)"/></g>`, circle, 100},
		"rotated about":  {`<ellipse cx="70" cy="50" rx="20" ry="5" transform="rotate(33 50 50)"/>`, circle, 100},
		"matrix":         {`<circle r="5" transform="matrix(2 0 0 2 50 50)"/>`, circle, 20 * math.Pi},
		"rounded":        {`<rect x="10" y="10" width="40" height="20" rx="5"/>`, 800 - 25*(4-math.Pi), 10 * math.Pi},
		"rounded fully":  {`<rect x="10" y="10" width="40" height="20" rx="50" ry="30"/>`, math.Pi * 200, 100},
		"rounded, ry":    {`<rect x="10" y="10" width="40" height="20" ry="5"/>`, 800 - 25*(4-math.Pi), 10 * math.Pi},
		"rect":           {`<rect x="10" y="10" width="40" height="20"/>`, 800, 0},
		"polygon":        {`<polygon points="10,10 50,10,50 30-0,30"/>`, 900, 0},
		"cubic": {fmt.Sprintf(`<path d="M60 50C60 %[1]g %[2]g 60 50 60S40 %[1]g 40 50 %[3]g 40 50 40 60 %[4]g 60 50Z"/>`,
			50+quarter, 50+quarter, 50-quarter, 50-quarter), circle, 20*math.Pi + 20},
		// The area under a quadratic with its control point at the height h over the chord w is h w/3 (Archimedes: 2/3 of the triangle of w h/2).
		"quadratic": {`<path d="M10 50Q30 20 50 50Z"/>`, 30 * 40 / 3, 60},
		"smooth":    {`<path d="M10 50Q30 20 50 50T90 50L90 80H10Z"/>`, 80 * 30, 120},
		"use":       {`<defs><circle id="moon" r="10"/></defs><use xlink:href="#moon" x="50" y="50"/>`, circle, 20 * math.Pi},
		"symbol":    {`<symbol id="moon" viewBox="-1 -1 2 2"><circle r="1"/></symbol><use href="#moon" x="40" y="40" width="20" height="20"/>`, circle, 20 * math.Pi},
		"inner svg": {`<svg x="40" y="40" width="20%" height="20" viewBox="0 0 1 1"><circle cx="50%" cy=".5" r=".5"/></svg>`, circle, 20 * math.Pi},
	} {
		f := readSVG(t, svgOf(c.body))
		if len(f.Drawing.Layers) != 1 || len(f.Drawing.Layers[0].Shapes) != 1 {
			t.Errorf("%s: got %s", name, shapes(f))
			continue
		}
		flat := f.Drawing.Layers[0].Shapes[0].FlatCoords()
		if got := math.Abs(ring.Area(flat)); math.Abs(got-c.area) > c.curved*proof.Flatness+1e-9 {
			t.Errorf("%s: the area is %.4f, it should be %.4f", name, got, c.area)
		}
		b := f.Drawing.Layers[0].Shapes[0].Bounds()
		if b.Min(0) < 0 || b.Min(1) < 0 || b.Max(0) > 100 || b.Max(1) > 100 {
			t.Errorf("%s: it lies at %v", name, b)
		}
	}
}

// Chords of a circle stay within Flatness: the bound is met, and not by far too many points.
func TestFlatness(t *testing.T) {
	for _, r := range []float64{0.001, 0.1, 1, 10, 45} {
		f := readSVG(t, svgOf(fmt.Sprintf(`<circle cx="50" cy="50" r="%g"/>`, r)))
		if len(f.Drawing.Layers) == 0 {
			t.Fatalf("r = %g: nothing", r)
		}
		flat := f.Drawing.Layers[0].Shapes[0].FlatCoords()
		worst := 0.0
		for i := 0; i+3 < len(flat); i += 2 {
			worst = max(worst, r-math.Hypot((flat[i]+flat[i+2])/2-50, (flat[i+1]+flat[i+3])/2-50))
		}
		if worst > proof.Flatness || r >= 1 && worst < proof.Flatness/3 {
			t.Errorf("r = %g: chords depart by %.5f with %d points", r, worst, len(flat)/2-1)
		}
	}
}

// CSS: 1 in = 96 px = 72 pt = 6 pc = 25.4 mm = 101.6 Q. 5.5 in are 139.7 mm, 528 px and 396 pt.
func TestUnitsAndViewports(t *testing.T) {
	for _, c := range []struct {
		attr  string
		w, h  float64
		unit  string
		point [2]float64 // where (10, 10) lies
	}{
		{`width="139.7mm" height="139.7mm" viewBox="0 0 139.7 139.7"`, 139.7, 139.7, "mm", [2]float64{10, 10}},
		{`width="5.5in" height="5.5in" viewBox="0 0 55 55"`, 139.7, 139.7, "in", [2]float64{25.4, 25.4}},
		{`width="396pt" height="396pt"`, 139.7, 139.7, "pt", [2]float64{10 * 25.4 / 96, 10 * 25.4 / 96}},
		{`width="528" height="528"`, 139.7, 139.7, "", [2]float64{10 * 25.4 / 96, 10 * 25.4 / 96}},
		{`width="528px" height="528px"`, 139.7, 139.7, "", [2]float64{10 * 25.4 / 96, 10 * 25.4 / 96}},
		{`width="33pc" height="558.8Q" viewBox="0 0 1397 1397"`, 139.7, 139.7, "pc", [2]float64{1, 1}},
		{`width="13.97CM" height="139.7mm" viewBox="-10 -10 139.7 139.7"`, 139.7, 139.7, "cm", [2]float64{20, 20}},
		{`viewBox="0 0 528 528"`, 139.7, 139.7, "", [2]float64{10 * 25.4 / 96, 10 * 25.4 / 96}},
		{`width="100%" height="100%" viewBox="0 0 528 528"`, 139.7, 139.7, "", [2]float64{10 * 25.4 / 96, 10 * 25.4 / 96}},
		{`width="139.7mm" viewBox="0 0 1397 1397"`, 139.7, 139.7, "mm", [2]float64{1, 1}},
		// The viewBox is square, the sheet is not: by default it is as large as fits, in the middle (xMidYMid meet).
		{`width="100mm" height="50mm" viewBox="0 0 100 100"`, 100, 50, "mm", [2]float64{30, 5}},
		{`width="100mm" height="50mm" viewBox="0 0 100 100" preserveAspectRatio="xMinYMin"`, 100, 50, "mm", [2]float64{5, 5}},
		{`width="100mm" height="50mm" viewBox="0 0 100 100" preserveAspectRatio="xMaxYMax meet"`, 100, 50, "mm", [2]float64{55, 5}},
		{`width="100mm" height="50mm" viewBox="0 0 100 100" preserveAspectRatio="xMidYMid slice"`, 100, 50, "mm", [2]float64{10, -15}},
		{`width="100mm" height="50mm" viewBox="0 0 100 100" preserveAspectRatio="none"`, 100, 50, "mm", [2]float64{10, 5}},
	} {
		f := readSVG(t, `<svg xmlns="http://www.w3.org/2000/svg" `+c.attr+`><path d="M10 10h1"/></svg>`)
		if math.Abs(f.Drawing.Width-c.w) > 1e-9 || math.Abs(f.Drawing.Height-c.h) > 1e-9 || f.Unit != c.unit {
			t.Errorf("%s: got %v x %v in %q", c.attr, f.Drawing.Width, f.Drawing.Height, f.Unit)
		}
		flat := f.Drawing.Layers[0].Shapes[0].FlatCoords()
		if math.Hypot(flat[0]-c.point[0], flat[1]-c.point[1]) > 1e-9 {
			t.Errorf("%s: (10, 10) lies at (%v, %v), it should be at %v", c.attr, flat[0], flat[1], c.point)
		}
	}
	for _, attr := range []string{`width="3em" height="1"`, `width="0" height="5"`, `width="-1mm" height="1mm"`, `width="1mm" height="2e9mm"`, `width="1" height="1" viewBox="0 0 0 1"`, `viewBox="0 0 1"`, `width="x" height="1"`, `width="1" height="1" viewBox="0 0 1 1" preserveAspectRatio="middle"`} {
		if _, err := proof.ReadSVG(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" ` + attr + `/>`)); err == nil {
			t.Errorf("%s was read", attr)
		}
	}
}

func TestRolesAndWhatIsHidden(t *testing.T) {
	f := readSVG(t, svgOf(`
		<g id="score-mountain"><line x2="1"/><g id="note"><line x2="2"/></g><line x2="3" class="big cut"/></g>
		<g id="layer1"><g id="SCORE_VALLEY"><polyline points="0 0 4 0"/></g><polyline points="0 0 5 0"/></g>
		<g style="stroke:red; display : none"><line x2="6"/></g><line display="none" x2="7"/><g visibility="hidden"><line x2="8"/></g>
		<defs><line x2="9"/></defs><clipPath><line x2="9"/></clipPath><text>lantern</text><image/><style>.a{}</style>
		<other xmlns="http://example.org/other"><line xmlns="http://www.w3.org/2000/svg" x2="9"/></other>
		<g id="perforation"><line x2="10"/></g>`))
	want := "score-mountain 0,0 1,0; note 0,0 2,0; cut 0,0 3,0; score-valley 0,0 4,0; cut 0,0 5,0; perforation 0,0 10,0"
	if got := shapes(f); got != want {
		t.Errorf("got %s\nwant %s", got, want)
	}
	notes := strings.Join(f.Notes, "; ")
	for _, want := range []string{"hidden g (1)", "text (1)", "image (1)", "style sheet"} {
		if !strings.Contains(notes, want) {
			t.Errorf("the notes %q do not say %q", notes, want)
		}
	}
}

func TestBrokenSVG(t *testing.T) {
	for name, doc := range map[string]string{
		"entities":   `<!DOCTYPE svg [<!ENTITY a "aa"><!ENTITY b "&a;&a;">]>` + svgOf(`<path id="&b;" d="M0 0h1"/>`),
		"circle":     svgOf(`<g id="a"><use href="#a"/></g>`),
		"bomb":       svgOf(`<g id="a0"><path d="M0 0h1"/></g>` + bomb() + `<use href="#a30"/>`),
		"outside":    svgOf(`<use href="other.svg#a"/>`),
		"unclosed":   `<svg xmlns="http://www.w3.org/2000/svg"><g>`,
		"html":       `<html></html>`,
		"deep":       svgOf(strings.Repeat("<g>", 1000) + strings.Repeat("</g>", 1000)),
		"transform":  svgOf(`<g transform="turn(3)"/>`),
		"transform2": svgOf(`<g transform="rotate(3"/>`),
		"css":        svgOf(`<g style="transform:rotate(3deg)"/>`),
		"odd points": svgOf(`<polygon points="1 2 3"/>`),
		"radius":     svgOf(`<circle r="-1"/>`),
		"far":        svgOf(`<path d="M0 0L2e7 0"/>`),
		"huge curve": svgOf(`<path d="M0 0C1e300 0 1 1 1 1"/>`),
		"encoding":   `<?xml version="1.0" encoding="utf-99"?>` + svgOf(""),
		"empty":      "",
	} {
		_, err := proof.ReadSVG(strings.NewReader(doc))
		var at *proof.FileError
		if !errors.As(err, &at) {
			t.Errorf("%s: got %v", name, err)
		}
	}
	if _, err := proof.Read(strings.NewReader("lantern")); !errors.Is(err, proof.ErrFormat) {
		t.Errorf("text: got %v", err)
	}
}

// bomb are groups that each use the one before twice.
func bomb() string {
	var b strings.Builder
	for i := 1; i <= 30; i++ {
		fmt.Fprintf(&b, `<g id="a%d"><use href="#a%d"/><use href="#a%d"/></g>`, i, i-1, i-1)
	}
	return b.String()
}

// The panel of testdata/foreign.py, as other writers wrote it: closed forms of its area, curves flattened inside.
func TestForeignFiles(t *testing.T) {
	const (
		area   = 96*76 - (4-math.Pi)*16 - 64*math.Pi - 72*math.Pi - (14*6 + 9*math.Pi) - 25*math.Pi
		curves = 2 * math.Pi * (4 + 8 + 10 + 3 + 5)
	)
	for _, c := range []struct {
		name   string
		unit   string
		scores int
		notes  []string
	}{
		{"svgwrite.svg", "cm", 2, nil},
		{"cairo.svg", "pt", 0, nil},
		{"ezdxf-mm.dxf", "mm", 2, []string{"TEXT (1)", "hidden LINE (1)"}},
		{"ezdxf-in.dxf", "in", 2, []string{"TEXT (1)", "hidden LINE (1)"}},
		{"ezdxf-r12.dxf", "", 2, []string{"no unit"}},
	} {
		data, err := os.ReadFile("testdata/" + c.name)
		if err != nil {
			t.Fatal(err)
		}
		f, err := proof.Read(strings.NewReader(string(data)))
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		if f.Unit != c.unit {
			t.Errorf("%s: the unit is %q", c.name, f.Unit)
		}
		scores := 0
		for _, l := range f.Drawing.Layers {
			if l.Role == export.Mountain {
				scores += len(l.Shapes)
			}
		}
		if scores != c.scores {
			t.Errorf("%s: %d scores", c.name, scores)
		}
		for _, want := range c.notes {
			if !strings.Contains(strings.Join(f.Notes, "; "), want) {
				t.Errorf("%s: the notes %q do not say %q", c.name, f.Notes, want)
			}
		}
		for _, kerf := range []float64{0, 0.2} {
			r, err := proof.Cut(f.Drawing, kerf, &proof.Options{MinWeb: 2})
			if err != nil {
				t.Fatalf("%s: %v", c.name, err)
			}
			if !r.OK() || r.Paper.NumPolygons() != 1 || r.Paper.Polygon(0).NumLinearRings() != 5 {
				t.Errorf("%s: %v", c.name, wrong(r))
			}
			// The tool takes half the kerf of every edge (Steiner): 344 mm of outline, less for corners of 4, and the openings' edges.
			edges := 2*(88+68) + 8*math.Pi + 16*math.Pi + ellipse(12, 6) + 2*14 + 6*math.Pi + 10*math.Pi
			want := area - kerf/2*edges
			if math.Abs(r.Area-want) > curves*proof.Flatness+0.2*kerf {
				t.Errorf("%s, kerf %g: the area is %.3f, it should be %.3f", c.name, kerf, r.Area, want)
			}
		}
	}
}

// ellipse is Ramanujan's second formula for the perimeter, exact to 1e-6 here.
func ellipse(a, b float64) float64 {
	h := (a - b) * (a - b) / (a + b) / (a + b)
	return math.Pi * (a + b) * (1 + 3*h/(10+math.Sqrt(4-3*h)))
}
