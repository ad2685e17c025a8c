package proof_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/kerfleaf/internal/ring"
	"example.org/kerfleaf/proof"
	"github.com/twpayne/go-geom"
)

// groups writes code and value pairs, given in one line each.
func groups(text string) string {
	var b strings.Builder
	for field := range strings.FieldsSeq(text) {
		code, value, _ := strings.Cut(field, ":")
		fmt.Fprintf(&b, "%3s\n%s\n", code, value)
	}
	return b.String()
}

func dxfOf(header, entities string) string {
	return groups("0:SECTION 2:HEADER " + header + " 0:ENDSEC 0:SECTION 2:ENTITIES " + entities + " 0:ENDSEC 0:EOF")
}

func readDXF(t testing.TB, doc string) *proof.File {
	t.Helper()
	f, err := proof.ReadDXF(strings.NewReader(doc))
	if err != nil {
		t.Fatalf("%q: %v", doc, err)
	}
	return f
}

// Bulge = tan(angle/4) (DXF reference), positive counter-clockwise with y up; the y axis is turned round for us. Areas in closed form.
func TestDXFEntities(t *testing.T) {
	const disc = 100 * math.Pi
	for name, c := range map[string]struct {
		entity string
		closed bool
		area   float64 // of a closed line, or under an open one to its chord
		curved float64
		bounds [2]float64 // width and height
	}{
		"circle":          {"0:CIRCLE 8:CUT 10:5 20:5 40:10", true, disc, 63, [2]float64{20, 20}},
		"two half bulges": {"0:LWPOLYLINE 8:CUT 90:2 70:1 10:0 20:0 42:1 10:20 20:0 42:1", true, disc, 63, [2]float64{20, 20}},
		"clockwise":       {"0:LWPOLYLINE 8:CUT 90:2 70:1 10:0 20:0 42:-1 10:20 20:0 42:-1", true, disc, 63, [2]float64{20, 20}},
		// The chord (1, 0) to (0, 1) with the bulge tan(22.5°) is a quarter of the circle of radius 1 around (0, 0).
		"quarter": {"0:LWPOLYLINE 8:CUT 90:2 70:0 10:10 20:0 42:0.41421356237 10:0 20:10", false, disc/4 - 50, 16, [2]float64{10, 10}},
		"eighths": {"0:LWPOLYLINE 8:CUT 90:2 70:1 10:10 20:0 42:2.41421356237 10:0 20:-10", true, disc*3/4 + 50, 48, [2]float64{20, 20}},
		"old polyline": {"0:POLYLINE 8:CUT 66:1 70:1 0:VERTEX 8:CUT 10:0 20:0 42:1 0:VERTEX 8:CUT 10:20 20:0 42:1 0:SEQEND",
			true, disc, 63, [2]float64{20, 20}},
		"fitted": {"0:POLYLINE 8:CUT 66:1 70:5 0:VERTEX 70:16 10:99 20:99 0:VERTEX 70:8 10:0 20:0 42:1 0:VERTEX 70:8 10:20 20:0 42:1 0:SEQEND",
			true, disc, 63, [2]float64{20, 20}},
		"arc":           {"0:ARC 8:CUT 10:0 20:0 40:10 50:0 51:90", false, disc/4 - 50, 16, [2]float64{10, 10}},
		"arc over 0":    {"0:ARC 8:CUT 10:0 20:0 40:10 50:315 51:45", false, disc/4 - 50, 16, [2]float64{10 - 10/math.Sqrt2, 20 / math.Sqrt2}},
		"arc all round": {"0:ARC 8:CUT 10:0 20:0 40:10 50:90 51:450", true, disc, 63, [2]float64{20, 20}},
		"ellipse":       {"0:ELLIPSE 8:CUT 10:0 20:0 11:0 21:20 40:0.25 41:0 42:6.28318530717958", true, disc, 90, [2]float64{10, 40}},
		"half ellipse":  {"0:ELLIPSE 8:CUT 10:0 20:0 11:20 21:0 40:0.25 41:0 42:3.14159265358979", false, disc / 2, 45, [2]float64{40, 5}},
		"turned over":   {"0:ARC 8:CUT 10:0 20:0 40:10 50:0 51:90 210:0 220:0 230:-1", false, disc/4 - 50, 16, [2]float64{10, 10}},
		"line":          {"0:LINE 8:CUT 10:1 20:2 11:4 21:6", false, 0, 0, [2]float64{3, 4}},
		// A quadratic Bézier as a spline: 2/3 of its triangle.
		"spline": {"0:SPLINE 8:CUT 70:8 71:2 72:6 73:3 40:0 40:0 40:0 40:1 40:1 40:1 10:0 20:0 10:20 20:30 10:40 20:0", false, 40 * 30 / 3.0, 60, [2]float64{40, 15}},
		// A quarter circle as a rational one: weights 1, cos 45°, 1.
		"rational spline": {"0:SPLINE 8:CUT 70:12 71:2 72:6 73:3 40:0 40:0 40:0 40:1 40:1 40:1 41:1 41:0.70710678118 41:1 10:10 20:0 10:10 20:10 10:0 20:10", false, disc/4 - 50, 16, [2]float64{10, 10}},
	} {
		f := readDXF(t, dxfOf("9:$INSUNITS 70:4", c.entity))
		if len(f.Drawing.Layers) != 1 || len(f.Drawing.Layers[0].Shapes) != 1 {
			t.Errorf("%s: got %s", name, shapes(f))
			continue
		}
		s := f.Drawing.Layers[0].Shapes[0]
		if _, ring := s.(*geom.LinearRing); ring != c.closed {
			t.Errorf("%s: closed is %v", name, ring)
		}
		flat := s.FlatCoords()
		if !c.closed {
			flat = append(flat, flat[0], flat[1])
		}
		if got := math.Abs(ring.Area(flat)); math.Abs(got-c.area) > c.curved*proof.Flatness+1e-6 {
			t.Errorf("%s: the area is %.4f, it should be %.4f", name, got, c.area)
		}
		if math.Abs(f.Drawing.Width-c.bounds[0]) > 2*proof.Flatness || math.Abs(f.Drawing.Height-c.bounds[1]) > 2*proof.Flatness {
			t.Errorf("%s: it measures %v x %v, it should %v", name, f.Drawing.Width, f.Drawing.Height, c.bounds)
		}
	}
}

// Chords of the rational quarter circle, which has no even speed, depart by no more than Flatness either.
func TestRationalSplineIsFlat(t *testing.T) {
	for _, far := range []float64{1, 20, 400} {
		f := readDXF(t, dxfOf("9:$INSUNITS 70:4", fmt.Sprintf("0:SPLINE 71:2 40:0 40:0 40:0 40:1 40:1 40:1 41:1 41:0.70710678118654752 41:1 10:%[1]g 20:0 10:%[1]g 20:%[1]g 10:0 20:%[1]g", far)))
		flat := f.Drawing.Layers[0].Shapes[0].FlatCoords()
		for i := 0; i+3 < len(flat); i += 2 {
			// The centre is the bottom left corner of the sheet now.
			d := far - math.Hypot((flat[i]+flat[i+2])/2, far-(flat[i+1]+flat[i+3])/2)
			if d > proof.Flatness || d < -1e-9*far {
				t.Fatalf("radius %g: a chord departs by %g", far, d)
			}
		}
		if far == 20 && len(flat) > 2000 {
			t.Errorf("radius %g: %d points", far, len(flat)/2)
		}
	}
}

func TestDXFUnits(t *testing.T) {
	const line = "0:LINE 8:0 10:0 20:0 11:2 21:0"
	own := func(unit string) string { return "999\n1 unit = 1 " + unit + "\n" }
	for _, c := range []struct {
		doc  string
		unit string
		w    float64
	}{
		{dxfOf("9:$INSUNITS 70:1", line), "in", 50.8},
		{dxfOf("9:$INSUNITS 70:4", line), "mm", 2},
		{dxfOf("9:$INSUNITS 70:5", line), "cm", 20},
		{dxfOf("9:$INSUNITS 70:6", line), "m", 2000},
		{dxfOf("9:$INSUNITS 70:0", line), "", 2},
		{dxfOf("", line), "", 2},
		{own("in") + dxfOf("", line), "in", 50.8},
		{own("mm") + dxfOf("", line), "mm", 2},
		{own("mm") + dxfOf("9:$INSUNITS 70:1", line), "in", 50.8},
	} {
		f := readDXF(t, c.doc)
		if f.Unit != c.unit || math.Abs(f.Drawing.Width-c.w) > 1e-9 {
			t.Errorf("%q: got %v in %q, want %v in %q", c.doc, f.Drawing.Width, f.Unit, c.w, c.unit)
		}
	}
}

func TestDXFLayersBlocksAndWhatIsHidden(t *testing.T) {
	doc := groups(`0:SECTION 2:TABLES 0:TABLE 2:LAYER 0:LAYER 2:OFF 62:-7 70:0 0:LAYER 2:COLD 62:7 70:1 0:LAYER 2:CUT 62:7 70:0 0:ENDTAB 0:ENDSEC
		0:SECTION 2:BLOCKS 0:BLOCK 8:0 2:REED 10:1 20:1 0:LINE 8:0 10:1 20:1 11:2 21:1 0:LINE 8:NOTE 10:1 20:1 11:1 21:2 0:ENDBLK 0:ENDSEC
		0:SECTION 2:ENTITIES
		0:LINE 8:SCORE_VALLEY 10:0 20:0 11:9 21:0
		0:LINE 8:OFF 10:0 20:0 11:99 21:0 0:LINE 8:COLD 10:0 20:0 11:99 21:0 0:LINE 8:CUT 67:1 10:0 20:0 11:99 21:0 0:LINE 8:CUT 60:1 10:0 20:0 11:99 21:0
		0:TEXT 8:CUT 10:0 20:0 1:heron
		0:INSERT 8:PERFORATION 2:reed 10:3 20:4 41:2 42:1 50:90
		0:INSERT 8:CUT 66:1 2:REED 10:5 20:5 70:2 71:1 44:2 0:ATTRIB 8:CUT 1:x 0:SEQEND
		0:ENDSEC 0:EOF`)
	// y is turned round at the top, 6. The block's line along x is turned along y and twice as long.
	want := "score-valley 0,6 9,6; perforation 3,2 3,0; note 3,2 2,2; cut 5,1 6,1; note 5,1 5,0; cut 7,1 8,1; note 7,1 7,0"
	f := readDXF(t, doc)
	if got := shapes(f); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if notes := strings.Join(f.Notes, "; "); !strings.Contains(notes, "hidden LINE (4)") || !strings.Contains(notes, "TEXT (1)") {
		t.Errorf("the notes are %q", notes)
	}
}

func TestBrokenDXF(t *testing.T) {
	for name, c := range map[string]struct{ doc, want string }{
		"binary":     {"AutoCAD Binary DXF\r\n\x1a\x00", "ASCII"},
		"hatch":      {dxfOf("", "0:HATCH 8:CUT"), "HATCH"},
		"solid":      {dxfOf("", "0:3DSOLID 8:CUT"), "3DSOLID"},
		"mesh":       {dxfOf("", "0:POLYLINE 66:1 70:64 0:VERTEX 10:0 20:0 0:SEQEND"), "mesh"},
		"slant":      {dxfOf("", "0:CIRCLE 10:0 20:0 40:1 210:0.6 220:0 230:0.8"), "flat"},
		"no end":     {groups("0:SECTION 2:ENTITIES 0:LINE 10:0"), "ends before"},
		"no seqend":  {dxfOf("", "0:POLYLINE 66:1 70:1 0:VERTEX 10:0 20:0"), "SEQEND"},
		"no block":   {dxfOf("", "0:INSERT 2:MOTH"), "MOTH"},
		"number":     {dxfOf("", "0:CIRCLE 10:a 20:0 40:1"), "not a number"},
		"infinite":   {dxfOf("", "0:CIRCLE 10:inf 20:0 40:1"), "not a number"},
		"far":        {dxfOf("", "0:LINE 10:0 20:0 11:1e12 21:0"), "finite"},
		"unit":       {dxfOf("9:$INSUNITS 70:18", "0:LINE 10:0"), "unit"},
		"code":       {"  0\nSECTION\nheron\nHEADER\n", "group"},
		"section":    {groups("0:LINE 10:0 0:EOF"), "section"},
		"knots":      {dxfOf("", "0:SPLINE 71:2 40:0 40:1 10:0 20:0 10:1 20:1 10:2 20:2"), "knots"},
		"fit points": {dxfOf("", "0:SPLINE 71:3 11:0 21:0 11:1 21:1"), "fit points"},
		"circle of blocks": {groups(`0:SECTION 2:BLOCKS 0:BLOCK 2:A 0:INSERT 2:A 0:ENDBLK 0:ENDSEC
			0:SECTION 2:ENTITIES 0:INSERT 2:A 0:ENDSEC 0:EOF`), "circle"},
		"rows": {groups(`0:SECTION 2:BLOCKS 0:BLOCK 2:A 0:INSERT 2:B 70:1000 71:1000 0:ENDBLK 0:BLOCK 2:B 0:ENDBLK 0:ENDSEC
			0:SECTION 2:ENTITIES 0:INSERT 2:A 70:1000 71:1000 0:ENDSEC 0:EOF`), "too many"},
	} {
		_, err := proof.ReadDXF(strings.NewReader(c.doc))
		var at *proof.FileError
		if !errors.As(err, &at) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v", name, err)
		}
	}
}
