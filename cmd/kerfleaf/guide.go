package main

import (
	"bytes"
	"fmt"

	"example.org/kerfleaf/box"
	"example.org/kerfleaf/export"
	"example.org/kerfleaf/internal/length"
	"example.org/kerfleaf/paper"
	"github.com/twpayne/go-geom"
)

// boxGuide writes down how the box is made, for the table.
func boxGuide(title string, m *box.Measures, spec box.Spec, front, base paper.Stock, f, b part, face *geom.Bounds, look *export.MockupOptions) (*export.Guide, error) {
	var picture bytes.Buffer
	if err := export.Mockup(&picture, f.pattern, face, spec.Depth, look); err != nil {
		return nil, err
	}
	both := func(e box.Extent) string {
		return fmt.Sprintf("%s by %s", length.Format(e.Width), length.Format(e.Height))
	}
	tray := func(name string, p paper.Stock, blank, face box.Extent, depth float64) export.Part {
		return export.Part{Name: name, Paper: paperLine(p), Measures: []export.NamedMeasure{
			{Name: "blank", Text: both(blank)}, {Name: "score to score", Text: both(face)}, {Name: "score to edge", Text: length.Format(depth)},
		}}
	}
	shape, err := spec.Liner()
	if err != nil {
		return nil, err
	}
	liner := box.Extent{Width: shape.Bounds().Max(0), Height: shape.Bounds().Max(1)}
	baseDepth := spec.Depth
	edges := "Every line lies " + length.Format(spec.Depth) + " from an edge."
	if spec.BaseDepth != 0 && spec.BaseDepth != spec.Depth {
		baseDepth = spec.BaseDepth
		edges = fmt.Sprintf("Lines lie %s from an edge of the front, %s of the base.", length.Format(spec.Depth), length.Format(baseDepth))
	}
	return &export.Guide{
		Title: title, Picture: picture.Bytes(), Front: f.pattern, Face: face, Depth: spec.Depth,
		Parts: []export.Part{
			tray("Front", front, m.FrontBlank, m.FrontFace, spec.Depth),
			tray("Base", base, m.BaseBlank, m.BaseFace, baseDepth),
			{Name: "Liner", Paper: "painted or patterned paper", Measures: []export.NamedMeasure{{Name: "cut to", Text: both(liner)}}},
		},
		Steps: []export.Step{
			{Title: "Score", Figure: export.ScoreFigure, Net: f.pattern, Text: "Score front and base while the sheets are whole and flat. " + edges},
			{Title: "Cut the openings", Figure: export.CutOutFigure, Net: f.pattern, Text: "Small ones first, then large ones, from the middle outward. Peel the mat from the paper and not the paper from the mat."},
			{Title: "Snip", Figure: export.SnipFigure, Net: b.pattern, Text: "Cut the four snips on each part, only as far as the crossing of the scores."},
			{Title: "Cut out", Figure: export.TrimFigure, Net: b.pattern, Text: "Cut the outlines last, so that the sheet lies firm until then."},
			{Title: "Fold", Figure: export.FoldFigure, Text: "With the outer side up, fold every wall away from you. Crease along the grain first, gently."},
			{Title: "Glue", Figure: export.GlueFigure, Text: "Glue the tabs inside the walls that they meet: thin glue or dry tape, so that the paper does not warp."},
			{Title: "Line the base", Figure: export.LineFigure, Text: "Glue the liner into the base, facing you. It is a little smaller than the base, so that it never catches."},
			{Title: "Slide together", Figure: export.JoinFigure, Text: "Slide the front over the base: " + m.SlidesIn() + "."},
			{Title: "Hang", Figure: export.HangFigure, Text: "Hang it by two strips of tape on the back of the base, or stand it on the table."},
		},
		Cautions: cautions,
	}, nil
}

// guidePixels is the size of the guide's picture.
const guidePixels = 800

// cautions are common practice, no source.
var cautions = []string{
	"Cut away from your fingers along a metal ruler, with a fresh blade; cap blades, and bin them where they cannot cut anyone.",
	"Never leave a laser alone; use its extraction, keep an extinguisher near, and cut no stock that its maker does not allow.",
	"Use glue as its label says; spray it outdoors only.",
	"Light a paper box with an LED, never with a flame.",
	"Your machine's own instructions, local rules and licensed practice come before this page.",
}
