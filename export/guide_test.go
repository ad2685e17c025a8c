package export

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"
)

// lanternGuide has a step for every figure.
func lanternGuide() *Guide {
	g := &Guide{
		Title: "Lantern", Front: lantern(), Face: lanternFace(), Depth: 10,
		Parts:    []Part{{"Front", "card, 0.28 mm", []NamedMeasure{{"sheet", "2 3/8 x 1 15/16 in (60 x 50 mm)"}, {"walls", "3/8 in (10 mm)"}}}},
		Cautions: []string{"Cut away from your fingers."},
	}
	for f := NoFigure; f <= HangFigure; f++ {
		g.Steps = append(g.Steps, Step{"Do this", "And mind that.", f, lantern()})
	}
	return g
}

func htmlOf(t testing.TB, g *Guide) string {
	t.Helper()
	var b bytes.Buffer
	if err := HTML(&b, g); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestHTMLGolden(t *testing.T) {
	g := lanternGuide()
	g.Steps = []Step{{"Score", "Along a ruler.", ScoreFigure, lantern()}, {"Join", "Front over base.", JoinFigure, nil}}
	golden(t, "lantern-guide.html", []byte(htmlOf(t, g)))
}

// Nothing is loaded or run, whatever the texts say, and every text is on the page as text.
func TestHTMLIsSelfContained(t *testing.T) {
	g := lanternGuide()
	evil := `<script src="http://reeds.example/x.js">"'&</script>`
	g.Title, g.Parts[0].Name, g.Parts[0].Paper, g.Cautions[0] = evil, evil, evil, evil
	g.Parts[0].Measures[0] = NamedMeasure{evil, evil}
	g.Steps[1].Title, g.Steps[1].Text = evil, evil
	g.Picture = []byte("\x89PNG picture")
	page := htmlOf(t, g)
	if got := strings.Count(page, "&lt;script"); got != 9 {
		t.Errorf("%d texts on the page, want 9", got)
	}
	if strings.Contains(page, "<script") {
		t.Error("a text has become an element")
	}
	for _, m := range regexp.MustCompile(`(?i)\s(src|href|xlink:href|url|on\w+)=["']?([^"'\s>]*)`).FindAllStringSubmatch(page, -1) {
		if !strings.HasPrefix(m[2], "data:image/png;base64,") && !strings.Contains(m[0], "reeds.example") {
			t.Errorf("the page refers to %s", m[0])
		}
	}
	if strings.Contains(page, "url(") || strings.Contains(page, "@import") {
		t.Error("the style sheet loads something")
	}
}

// figures returns the paths of each figure on a page, by their fill and stroke.
func figuresOf(t testing.TB, page string) (out []map[string]readLines) {
	t.Helper()
	for _, svg := range regexp.MustCompile(`(?s)<svg.*?</svg>`).FindAllString(page, -1) {
		dec := xml.NewDecoder(strings.NewReader(svg))
		paths := map[string]readLines{}
		for {
			tok, err := dec.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatal(err)
			}
			if el, is := tok.(xml.StartElement); is && el.Name.Local == "path" {
				attr := map[string]string{}
				for _, a := range el.Attr {
					attr[a.Name.Local] = a.Value
				}
				if !strings.Contains(attr["d"], "Q") {
					key := attr["fill"] + " " + attr["stroke"]
					paths[key] = append(paths[key], readPath(t, attr["d"])...)
				}
			}
		}
		out = append(out, paths)
	}
	return out
}

type readLines []readLine

func (ls readLines) size() (w, h float64) {
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, l := range ls {
		for _, p := range l.points {
			x0, y0, x1, y1 = min(x0, p[0]), min(y0, p[1]), max(x1, p[0]), max(y1, p[1])
		}
	}
	return x1 - x0, y1 - y0
}

// Flat figures show the net in its proportions, and set off the lines that they are about: 4 scores, 3 rings of the
// openings, no slit, and one outline for lantern.
func TestHTMLFlatFigures(t *testing.T) {
	g := lanternGuide()
	g.Steps = g.Steps[1:5]
	figures := figuresOf(t, htmlOf(t, g))
	if len(figures) != 4 {
		t.Fatalf("%d figures", len(figures))
	}
	for i, want := range []struct {
		key   string
		lines int
		ratio float64 // of their extent; 0 for none
	}{
		{"none var(--accent)", 5, 60.0 / 50}, {"var(--accent) none", 3, 24.5 / 20}, {"none var(--accent)", 0, 0}, {"var(--paper) var(--accent)", 1, 60.0 / 50},
	} {
		lines := figures[i][want.key]
		if len(lines) != want.lines {
			t.Errorf("figure %d: %d lines set off, want %d", i, len(lines), want.lines)
		}
		if w, h := lines.size(); want.ratio > 0 && math.Abs(w/h-want.ratio) > 0.01 {
			t.Errorf("figure %d: lines extend over %.2f x %.2f, want %.3f to 1", i, w, h, want.ratio)
		}
	}
}

// A parallel view keeps ratios of areas in a plane: the openings' share of the face is the true one.
func TestHTMLJoinFigure(t *testing.T) {
	g := lanternGuide()
	g.Steps = []Step{{Figure: JoinFigure}}
	figure := figuresOf(t, htmlOf(t, g))[0]
	papers := figure["var(--paper) var(--ink)"]
	face := math.Abs(papers[len(papers)-1].area())
	open := 0.0
	accents := figure["var(--accent) none"]
	for _, l := range accents[:len(accents)-1] { // the last is the arrow's head
		open += l.area()
	}
	want := (20*18/2 - 4*4.125/2 + 2.5*4/2) / (40 * 30.0)
	if got := math.Abs(open) / face; math.Abs(got-want) > 0.003 {
		t.Errorf("the openings are %.4f of the face, want %.4f", got, want)
	}
}

// Every figure stays within its frame, for trays of any proportions.
func TestHTMLFiguresStayInside(t *testing.T) {
	for _, size := range [][3]float64{{100, 100, 25}, {300, 20, 25}, {20, 300, 25}, {50, 50, 400}, {1, 1, 0.01}} {
		w, h, d := size[0], size[1], size[2]
		front := &Drawing{w, h, []Layer{{Cut, []geom.T{polygon([]float64{w / 4, h / 4, w * 3 / 4, h / 4, w / 2, h * 3 / 4})}}}}
		g := &Guide{Front: front, Face: geom.NewBounds(geom.XY).Set(0, 0, w, h), Depth: d}
		for f := ScoreFigure; f <= HangFigure; f++ {
			g.Steps = append(g.Steps, Step{Figure: f, Net: front})
		}
		for i, figure := range figuresOf(t, htmlOf(t, g)) {
			for key, lines := range figure {
				for _, l := range lines {
					for _, p := range l.points {
						if p[0] < 0 || p[0] > figureWidth || p[1] < 0 || p[1] > figureHeight {
							t.Errorf("%v: figure %d (%s) reaches (%g, %g)", size, i, key, p[0], p[1])
						}
					}
				}
			}
		}
	}
}

func TestHTMLRefuses(t *testing.T) {
	change := func(f func(g *Guide)) *Guide {
		g := lanternGuide()
		f(g)
		return g
	}
	for name, c := range map[string]struct {
		g    *Guide
		want any
	}{
		"no guide":                 {nil, ErrNoSteps},
		"no steps":                 {&Guide{Title: "Lantern"}, ErrNoSteps},
		"a figure without a net":   {change(func(g *Guide) { g.Steps[1].Net = nil }), ErrEmpty},
		"a tray without a front":   {change(func(g *Guide) { g.Front = nil }), ErrEmpty},
		"a tray without a face":    {change(func(g *Guide) { g.Face = nil }), new(*FaceError)},
		"a tray without a depth":   {change(func(g *Guide) { g.Depth = 0 }), new(*FaceError)},
		"a figure that is unknown": {change(func(g *Guide) { g.Steps[0].Figure = 99 }), new(*FigureError)},
	} {
		var b bytes.Buffer
		err := HTML(&b, c.g)
		if want, is := c.want.(error); is && !errors.Is(err, want) || !is && !errors.As(err, c.want) {
			t.Errorf("%s: error %v, want %T", name, err, c.want)
		}
		if b.Len() > 0 {
			t.Errorf("%s: %d bytes written in spite of the error", name, b.Len())
		}
	}
	if err := HTML(&faulty{1000}, lanternGuide()); !errors.Is(err, errFull) {
		t.Errorf("to a full disk: error %v", err)
	}
	// Steps without figures of trays need no front.
	if err := HTML(io.Discard, &Guide{Steps: []Step{{Title: "Score", Figure: ScoreFigure, Net: lantern()}, {Title: "Rest"}}}); err != nil {
		t.Error(err)
	}
}
