package export

import (
	_ "embed"
	"encoding/base64"
	"errors"
	"fmt"
	"html/template"
	"io"

	"github.com/twpayne/go-geom"
)

// A Guide is what a maker props up at the table: what to cut from what, the steps with a figure each, and cautions. All
// texts are plain and come from the caller.
type Guide struct {
	Title    string
	Picture  []byte // a PNG at the top, such as Mockup writes; default none
	Parts    []Part
	Steps    []Step
	Cautions []string

	// Front is the drawing of the front's net, Face the rectangle within its scores and Depth its walls' height, all in
	// mm, as for Mockup: the figures of folded trays have these proportions. Steps whose figures show none need no
	// Front.
	Front *Drawing
	Face  *geom.Bounds
	Depth float64
}

// A Part is one piece of paper to cut, with its measures.
type Part struct {
	Name, Paper string
	Measures    []NamedMeasure
}

// A NamedMeasure is a line of a Part: what is measured, and the length as it is to be read.
type NamedMeasure struct{ Name, Text string }

// A Step is one thing to do.
type Step struct {
	Title, Text string
	Figure      Figure
	Net         *Drawing // what a figure of flat paper shows
}

// Figure says what is drawn beside a step.
type Figure int

// The figures. Those of flat paper show the step's net with the lines in question set off, the others trays in the
// proportions of the guide's front.
const (
	NoFigure     Figure = iota
	ScoreFigure         // flat: the scores
	CutOutFigure        // flat: the openings
	SnipFigure          // flat: the slits and other open cuts
	TrimFigure          // flat: the outline
	FoldFigure          // a tray with its walls half folded up
	GlueFigure          // a tray whose tabs are glued inside the walls
	LineFigure          // a tray and the paper that lines it
	JoinFigure          // the front going over the base
	HangFigure          // the box on a wall
)

// FigureError is returned for a figure that there is none of.
type FigureError struct {
	Step   int // counts from 1
	Figure Figure
}

func (e *FigureError) Error() string {
	return fmt.Sprintf("export: step %d of the guide has a figure %d, which is unknown", e.Step, int(e.Figure))
}

// flat says whether the figure shows a net.
func (f Figure) flat() bool { return f >= ScoreFigure && f <= TrimFigure }

// ErrNoSteps is returned for a guide without a step.
var ErrNoSteps = errors.New("export: the guide has no steps")

//go:embed guide.html
var guidePage string

var guideTemplate = template.Must(template.New("guide").Parse(guidePage))

// A guideStep is a step as the page shows it.
type guideStep struct {
	Step
	Number int
	Drawn  template.HTML
}

// HTML writes g as one self-contained page that browsers show on any screen and print on paper: figures and picture are
// in it, and it loads and runs nothing.
//
// Errors: [ErrNoSteps], [*FigureError], those of [Mockup] for Front, Face and Depth if a step's figure needs them, and
// those of [SVG] for nets, before a byte is written, and those of w.
func HTML(w io.Writer, g *Guide) error {
	if g == nil || len(g.Steps) == 0 {
		return ErrNoSteps
	}
	page := struct {
		*Guide
		PictureURL template.URL
		Done       []guideStep
	}{Guide: g}
	if len(g.Picture) > 0 {
		page.PictureURL = template.URL("data:image/png;base64," + base64.StdEncoding.EncodeToString(g.Picture))
	}
	for i, s := range g.Steps {
		if s.Figure < NoFigure || s.Figure > HangFigure {
			return &FigureError{i + 1, s.Figure}
		}
		figure, err := g.figure(s)
		if err != nil {
			return err
		}
		page.Done = append(page.Done, guideStep{s, i + 1, template.HTML(figure)})
	}
	p := newPen(w)
	if err := guideTemplate.Execute(p, page); err != nil {
		return err
	}
	return p.flush()
}

// Write makes a pen an io.Writer.
func (p *pen) Write(b []byte) (int, error) {
	p.buf = append(p.buf, b...)
	if len(p.buf) >= penSize {
		p.flush()
	}
	return len(b), p.err
}

// figure draws what stands beside a step, as an SVG element, or nothing.
func (g *Guide) figure(s Step) (string, error) {
	switch {
	case s.Figure == NoFigure:
		return "", nil
	case s.Figure.flat():
		if err := s.Net.check(); err != nil {
			return "", err
		}
		return flatFigure(s.Net, s.Figure), nil
	}
	if err := g.Front.check(); err != nil {
		return "", err
	}
	if !g.Front.holdsFace(g.Face, g.Depth) || g.Depth == 0 {
		return "", &FaceError{g.Face, g.Depth, g.Front.Width, g.Front.Height}
	}
	return trayFigure(g, s.Figure), nil
}
