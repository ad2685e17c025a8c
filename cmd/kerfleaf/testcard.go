package main

import (
	"strings"

	"example.org/kerfleaf/export"
	"example.org/kerfleaf/internal/length"
	"example.org/kerfleaf/offset"
	"example.org/kerfleaf/paper"
	"github.com/twpayne/go-geom"
	"github.com/urfave/cli/v2"
)

func testcardCommand() *cli.Command {
	s := newSettings()
	return &cli.Command{
		Name:      "testcard",
		Usage:     "a small card to cut first: is the kerf right, are webs and holes of each size clean?",
		UsageText: "kerfleaf testcard [flags]\n\nExample: before the good sheet of watercolour paper is cut\n  kerfleaf testcard --paper watercolour --kerf 0.1mm",
		Flags:     joinFlags(s.paperFlags(false), s.toolFlags(), s.outputFlags()),
		Action: func(c *cli.Context) error {
			if c.Args().Present() {
				return usagef("testcard takes no argument, got %q", c.Args().First())
			}
			return s.finish(c, func(out *output, bar *progress) (*summary, error) {
				formats, err := s.formats()
				if err != nil {
					return nil, err
				}
				if err := out.reserve(partNames(formats, "testcard", "testcard-plan")...); err != nil {
					return nil, err
				}
				stock, err := s.stock(s.paper)
				if err != nil {
					return nil, err
				}
				return s.runTestcard(s.own(stock), out, formats)
			})
		},
	}
}

func (s *settings) runTestcard(stock paper.Stock, out *output, formats []string) (*summary, error) {
	card, err := paper.TestCard(stock)
	if err != nil {
		return nil, err
	}
	machine, err := cardDrawing(card, stock.Kerf)
	if err != nil {
		return nil, err
	}
	pattern, err := cardDrawing(card, 0)
	if err != nil {
		return nil, err
	}
	p := part{
		file: "testcard", plan: "testcard-plan", title: "Test card", drawing: machine, pattern: pattern, stock: stock,
		notes: append([]string{paperLine(stock)}, card.HowToRead...),
		measures: []export.Measure{
			{From: geom.Coord{0, card.Height}, To: geom.Coord{card.Width, card.Height}, Text: length.Format(card.Width)},
			{From: geom.Coord{0, 0}, To: geom.Coord{0, card.Height}, Text: length.Format(card.Height)},
		},
	}
	for _, l := range card.Labels {
		p.labels = append(p.labels, export.Mark{At: l.At, Text: l.Text, Bare: true})
	}
	sum := &summary{command: "testcard"}
	sum.text("paper", "paper", paperLine(stock))
	sum.size("card", "card", card.Width, card.Height)
	if err := s.writePart(out, formats, p, sum); err != nil {
		return nil, err
	}
	for i, line := range card.HowToRead {
		label := " "
		if i == 0 {
			label = "to read it"
		}
		sum.add(label, line, "", nil)
	}
	sum.add("", "", "how_to_read", strings.Join(card.HowToRead, "\n"))
	return sum, nil
}

// cardDrawing puts the card's lines on a page. The kerf is allowed for around
// the openings and the outline; the comb shows the kerf and is cut as drawn.
func cardDrawing(card *paper.Card, kerf float64) (*export.Drawing, error) {
	openings, err := offset.Kerf(card.Openings, kerf)
	if err != nil {
		return nil, err
	}
	shape, err := one(card.Outline)
	if err != nil {
		return nil, err
	}
	outline, err := offset.Outline(shape, kerf)
	if err != nil {
		return nil, err
	}
	h := kerf / 2
	return &export.Drawing{Width: card.Width + kerf, Height: card.Height + kerf, Layers: []export.Layer{
		{Role: export.Mountain, Shapes: []geom.T{moved(card.Mountain, h, h)}},
		{Role: export.Perforation, Shapes: []geom.T{moved(card.Perforation, h, h)}},
		{Role: export.Cut, Shapes: []geom.T{moved(openings, h, h), moved(card.Teeth, h, h), moved(card.Comb, h, h), moved(card.Slits, h, h), moved(outline, h, h)}},
	}}, nil
}
