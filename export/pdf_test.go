package export

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"
)

// A pdfPage is a page as a reader sees it: its size in points, and its stroked lines in mm from the page's top left
// corner.
type pdfPage struct {
	wide, high float64
	clip       [2][2]float64 // corners of the first clipping rectangle
	lines      []pdfLine
}

// A pdfLine is a stroked line with its width in mm and dashes in mm; curves count as 32 chords.
type pdfLine struct {
	points [][2]float64
	closed bool
	width  float64
	dash   string
}

var (
	pdfObject = regexp.MustCompile(`(?s)(\d+) 0 obj\n(.*?)\nendobj`)
	pdfBox    = regexp.MustCompile(`/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]`)
	pdfStream = regexp.MustCompile(`(?s)stream\n(.*)\nendstream`)
	pdfRef    = regexp.MustCompile(`/Contents (\d+) 0 R`)
)

// readPDF reads pages and their content streams by ISO 32000-1 (7.3.8 streams, 8.5 paths), as far as paths and the
// graphics state go.
func readPDF(t testing.TB, file []byte) (pages []pdfPage) {
	t.Helper()
	objects := map[string]string{}
	for _, m := range pdfObject.FindAllSubmatch(file, -1) {
		objects[string(m[1])] = string(m[2])
	}
	common := pdfBox.FindStringSubmatch(objects["1"])
	for n := 1; n <= len(objects)+1; n++ {
		o := objects[strconv.Itoa(n)]
		if !strings.Contains(o, "/Type /Page\n") {
			continue
		}
		box := pdfBox.FindStringSubmatch(o)
		if box == nil {
			box = common
		}
		p := pdfPage{wide: mustFloat(t, box[1]), high: mustFloat(t, box[2])}
		content := pdfStream.FindStringSubmatch(objects[pdfRef.FindStringSubmatch(o)[1]])[1]
		z, err := zlib.NewReader(strings.NewReader(content))
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(z)
		if err != nil {
			t.Fatal(err)
		}
		p.run(t, string(text))
		pages = append(pages, p)
	}
	return pages
}

type pdfState struct {
	ctm   [6]float64
	width float64
	dash  string
}

var pdfText = regexp.MustCompile(`(?s)BT .*?ET`)

// run collects what the content stream strokes.
func (p *pdfPage) run(t testing.TB, content string) {
	t.Helper()
	state := pdfState{ctm: [6]float64{1, 0, 0, 1, 0, 0}, width: 1}
	var stack []pdfState
	var args []string
	var open []pdfLine
	num := func(i int) float64 { return mustFloat(t, args[i]) }
	at := func(i int) [2]float64 {
		x, y, m := num(i), num(i+1), state.ctm
		px, py := m[0]*x+m[2]*y+m[4], m[1]*x+m[3]*y+m[5]
		return [2]float64{px * 25.4 / 72, (p.high - py) * 25.4 / 72}
	}
	for _, token := range strings.Fields(pdfText.ReplaceAllString(content, "")) {
		switch token {
		case "q":
			stack = append(stack, state)
		case "Q":
			state, stack = stack[len(stack)-1], stack[:len(stack)-1]
		case "cm":
			for i := range state.ctm {
				state.ctm[i] = num(i)
			}
		case "w":
			state.width = num(0) * math.Abs(state.ctm[0]) * 25.4 / 72
		case "d":
			state.dash = strings.Trim(strings.Join(args[:len(args)-1], " "), "[ ]")
		case "m":
			open = append(open, pdfLine{points: [][2]float64{at(0)}})
		case "l":
			open[len(open)-1].points = append(open[len(open)-1].points, at(0))
		case "c":
			l := &open[len(open)-1]
			l.points = append(l.points, casteljau([4][2]float64{l.points[len(l.points)-1], at(0), at(2), at(4)})...)
		case "h":
			open[len(open)-1].closed = true
		case "S":
			for i := range open {
				open[i].width, open[i].dash = state.width, state.dash
			}
			p.lines = append(p.lines, open...)
			open = nil
		case "n":
			open = nil
		case "re":
			if a, w, h := at(0), num(2)*state.ctm[0]*25.4/72, -num(3)*state.ctm[3]*25.4/72; p.clip[1][0] == 0 {
				p.clip = [2][2]float64{a, {a[0] + w, a[1] + h}}
			}
		case "J", "j", "G", "g", "W", "RG", "rg":
		default:
			args = append(args, token)
			continue
		}
		args = args[:0]
	}
}

func pdfOf(t testing.TB, d *Drawing, opts *PDFOptions) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := PDF(&b, d, opts); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// span is a line's extent along both axes.
func (l pdfLine) span() (dx, dy float64) {
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, p := range l.points {
		x0, y0, x1, y1 = min(x0, p[0]), min(y0, p[1]), max(x1, p[0]), max(y1, p[1])
	}
	return x1 - x0, y1 - y0
}

// ISO 216 A4 is 595.276 x 841.890 points, US Letter (8.5 x 11 in) 612 x 792.
func TestPDFPageSizes(t *testing.T) {
	for _, c := range []struct {
		opts       *PDFOptions
		wide, high float64
	}{
		{nil, 595.276, 841.890},
		{&PDFOptions{PageWidth: 215.9, PageHeight: 279.4}, 612, 792},
	} {
		for _, p := range readPDF(t, pdfOf(t, lantern(), c.opts)) {
			if math.Abs(p.wide-c.wide) > 0.005 || math.Abs(p.high-c.high) > 0.005 {
				t.Errorf("a page of %g x %g points, want %g x %g", p.wide, p.high, c.wide, c.high)
			}
		}
	}
	// A sheet of 250 x 150 mm fits one A4 page if that is turned.
	d := &Drawing{250, 150, []Layer{{Cut, []geom.T{polygon([]float64{0, 0, 250, 0, 250, 150, 0, 150})}}}}
	if pages := readPDF(t, pdfOf(t, d, nil)); len(pages) != 1 || pages[0].wide < pages[0].high {
		t.Errorf("%d pages, the first %g x %g", len(pages), pages[0].wide, pages[0].high)
	}
}

// All lines of the drawing are on the page, each at its true size and in the style of its role, and all moved alike.
func TestPDFReadBack(t *testing.T) {
	_, _, want := readSVG(t, svgOf(t, lantern(), nil))
	page := readPDF(t, pdfOf(t, lantern(), &PDFOptions{Title: "Lantern", Grain: AlongWidth}))[0]
	got := page.lines[:len(want)]
	dx, dy := got[0].points[0][0]-want[0].points[0][0], got[0].points[0][1]-want[0].points[0][1]
	styles := map[string][2]string{
		"score-mountain": {"0.25", "3 0.75 0.125 0.75"}, "score-valley": {"0.25", "3 0.75"},
		"perforation": {"0.25", "3 4.5"}, "cut": {"0.35", ""}, "note": {"0.13", ""},
	}
	for i, w := range want {
		g := got[i]
		if len(g.points) != len(w.points) || g.closed != w.closed {
			t.Fatalf("line %d: %d points, closed %v; want %d, %v", i, len(g.points), g.closed, len(w.points), w.closed)
		}
		for k := range w.points {
			if math.Hypot(g.points[k][0]-dx-w.points[k][0], g.points[k][1]-dy-w.points[k][1]) > 0.001 {
				t.Errorf("line %d, point %d: %v, want %v moved by (%g, %g)", i, k, g.points[k], w.points[k], dx, dy)
			}
		}
		if style := styles[w.layer]; fmt.Sprintf("%.2f", g.width) != style[0] || g.dash != style[1] {
			t.Errorf("line %d of %s: width %.3f, dashes %q; want %v", i, w.layer, g.width, g.dash, style)
		}
	}
}

// Every page has a bar of 50 mm and one of 2 in, with a mark for each millimetre and each sixteenth.
func TestPDFBars(t *testing.T) {
	d := &Drawing{500, 300, []Layer{{Cut, []geom.T{polygon([]float64{0, 0, 500, 0, 500, 300, 0, 300})}}}}
	pages := readPDF(t, pdfOf(t, d, nil))
	if len(pages) < 4 {
		t.Fatalf("%d pages", len(pages))
	}
	for i, p := range pages {
		for _, want := range []struct {
			length float64
			marks  int
		}{{50, 51}, {50.8, 33}} {
			marks := -1
			for k, l := range p.lines {
				if dx, dy := l.span(); math.Abs(dx-want.length) < 0.001 && dy == 0 {
					for marks = 0; k+1+marks < len(p.lines); marks++ {
						if dx, dy := p.lines[k+1+marks].span(); dx > 0.001 || dy < 0.5 || dy > 4.1 {
							break
						}
					}
				}
			}
			if marks != want.marks {
				t.Errorf("page %d: the bar of %g mm has %d marks, want %d", i+1, want.length, marks, want.marks)
			}
		}
	}
}

// Pages of a large drawing overlap, agree where they do, and every cross is on two pages at the same place of the
// drawing.
func TestPDFTiles(t *testing.T) {
	d := &Drawing{700, 500, []Layer{{Cut, []geom.T{polygon([]float64{0, 0, 700, 0, 700, 500, 0, 500}), polygon(square(300, 200, 100))}}}}
	pages := readPDF(t, pdfOf(t, d, nil))
	crosses := map[string]int{}
	for _, p := range pages {
		outline := p.lines[0].points // lines are whole on every page, only clipped
		ox, oy := outline[0][0], outline[0][1]
		if dx, dy := p.lines[0].span(); math.Abs(dx-700) > 0.002 || math.Abs(dy-500) > 0.002 {
			t.Errorf("the outline is %g x %g mm", dx, dy)
		}
		for i, l := range p.lines {
			dx, dy := l.span()
			if math.Abs(dx-8) > 0.001 || dy > 0.001 || i+1 == len(p.lines) {
				continue
			}
			x, y := (l.points[0][0]+l.points[1][0])/2, (l.points[0][1]+l.points[1][1])/2
			if x > p.clip[0][0] && x < p.clip[1][0] && y > p.clip[0][1] && y < p.clip[1][1] {
				crosses[fmt.Sprintf("%.1f %.1f", x-ox, y-oy)]++
			}
		}
	}
	if len(crosses) < 8 {
		t.Errorf("only %d crosses", len(crosses))
	}
	for at, n := range crosses {
		if n < 2 {
			t.Errorf("the cross at %s is on %d page", at, n)
		}
	}
}

// Tiles are as few as can be, cover the sheet and overlap by what was asked for.
func TestTiled(t *testing.T) {
	for _, c := range []struct{ length, room, overlap, n float64 }{
		{100, 100, 10, 1}, {100.1, 100, 10, 2}, {190, 100, 10, 2}, {190.1, 100, 10, 3}, {280, 100, 10, 3}, {1000, 100, 50, 19},
	} {
		n, tile, step := spread(c.length, c.room, c.overlap)
		if float64(n) != c.n {
			t.Errorf("%v: %d tiles", c, n)
		}
		if end := float64(n-1)*step + tile; math.Abs(end-c.length) > 1e-9 || n > 1 && tile-step < c.overlap-0.002 || tile > c.room {
			t.Errorf("%v: tiles of %g, %g apart, end at %g", c, tile, step, end)
		}
	}
}

// Pages without a line are left out.
func TestPDFLeavesEmptyPagesOut(t *testing.T) {
	d := &Drawing{600, 800, []Layer{{Cut, []geom.T{polygon(square(10, 10, 30)), polygon(square(560, 760, 30))}}}}
	if pages := readPDF(t, pdfOf(t, d, nil)); len(pages) != 2 {
		t.Errorf("%d pages, want 2", len(pages))
	}
}

func TestPDFRefuses(t *testing.T) {
	large := &Drawing{1e5, 1e5, []Layer{{Cut, []geom.T{polygon(square(0, 0, 1e5))}}}}
	for name, c := range map[string]struct {
		d    *Drawing
		opts PDFOptions
	}{
		"a tiny page":          {lantern(), PDFOptions{PageWidth: 50, PageHeight: 80}},
		"a negative page":      {lantern(), PDFOptions{PageWidth: -210}},
		"a page of no number":  {lantern(), PDFOptions{PageHeight: math.NaN()}},
		"a negative overlap":   {lantern(), PDFOptions{Overlap: -1}},
		"a border of a page":   {lantern(), PDFOptions{Border: 100}},
		"an overlap of a page": {lantern(), PDFOptions{Overlap: 250}},
		"too many pages":       {large, PDFOptions{}},
	} {
		var b bytes.Buffer
		err := PDF(&b, c.d, &c.opts)
		var page *PageError
		if !errors.As(err, &page) || b.Len() > 0 || err.Error() == "" {
			t.Errorf("%s: error %v, %d bytes", name, err, b.Len())
		}
	}
}

// Text of any kind is set, as far as the built-in fonts reach.
func TestPDFText(t *testing.T) {
	for s, want := range map[string]string{
		"Lantern (no. 2) \\ 5½": "Lantern (no. 2) \\ 5½", "цапля": "цапля", "鷺": "?", "\U0001F986 duck": "? duck", "a\nb\x00": "a?b?", "\xff": "\uFFFD",
	} {
		if got := printable(s); got != want {
			t.Errorf("%q is printed as %q, want %q", s, got, want)
		}
		pdfOf(t, lantern(), &PDFOptions{Title: s, Notes: []string{s, s}})
	}
}
