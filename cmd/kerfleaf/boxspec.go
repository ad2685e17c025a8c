package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.org/kerfleaf/box"
	"example.org/kerfleaf/internal/length"
	"example.org/kerfleaf/paper"
	"github.com/urfave/cli/v2"
)

// boxSettings are the flags of a box beyond those of its cut-out.
type boxSettings struct {
	margin, depth, baseDepth, gap lengthValue
	basePaper                     string
	tab                           string
	tabLength                     lengthValue
	ruler                         string
	grain, baseGrain              string
	damp                          bool
	score, perforation            string
	faceDown                      bool
	liner, spacer                 bool
	backing                       string
}

func (s *settings) boxFlags() []cli.Flag {
	b := &s.box
	return []cli.Flag{
		lengthFlag("margin", "paper `LENGTH` between the cut-out and the fold", "1/4 in", groupBox, &b.margin),
		lengthFlag("depth", "height `LENGTH` of the walls", "1 in", groupBox, &b.depth),
		lengthFlag("base-depth", "height `LENGTH` of the base's walls", "as the front's", groupBox, &b.baseDepth),
		lengthFlag("gap", "room `LENGTH` on either side of the base in the front", "0.9 mm", groupBox, &b.gap),
		&cli.StringFlag{Name: "base-paper", Usage: "stock of the base, a `NAME`", Category: groupBox, Value: defaultBasePaper, DefaultText: defaultBasePaper, Destination: &b.basePaper},
		&cli.StringFlag{Name: "tab", Usage: "shape of the corner tabs: `square or mitred`", Category: groupBox, Value: "square", DefaultText: "square", Destination: &b.tab},
		lengthFlag("tab-length", "how far `LENGTH` the tabs reach along the wall", "as far as fits", groupBox, &b.tabLength),
		&cli.StringFlag{Name: "ruler", Usage: "make every measure readable on a ruler with marks of this `FRACTION` of an inch, 1/8, 1/16 …: the front rounded up, the base down", DefaultText: "off", Category: groupBox, Destination: &b.ruler},
		&cli.StringFlag{Name: "grain", Usage: "how the front's fibres run: `width, height or unknown`", Category: groupBox, Value: "unknown", DefaultText: "unknown", Destination: &b.grain},
		&cli.StringFlag{Name: "base-grain", Usage: "how the base's fibres run: `width, height or unknown`", Category: groupBox, Value: "unknown", DefaultText: "unknown", Destination: &b.baseGrain},
		switchFlag("damp", "leave room for paper that grows in damp air, by the grains", groupBox, &b.damp),
		&cli.StringFlag{Name: "score", Usage: "how folds are marked: `line, perforation or marks`, the last for scoring by hand", Category: groupBox, Value: "line", DefaultText: "line", Destination: &b.score},
		&cli.StringFlag{Name: "perforation", Usage: "lengths of `CUT,GAP` along a perforation", Category: groupBox, Value: "2mm,1.5mm", DefaultText: "2mm,1.5mm", Destination: &b.perforation},
		switchFlag("face-down", "cut from the back of the paper: everything mirrored, mountain and valley exchanged", groupBox, &b.faceDown),
		&cli.StringFlag{Name: "backing", Usage: "what lies behind the cut-out in the mock-up: a colour such as #2f6f73, or a `PICTURE` of your paper", Category: groupBox, Destination: &b.backing},
		switchFlag("liner", "also the rectangle of decorated paper for the base", groupBox, &b.liner),
		switchFlag("spacer", "also a frame that holds the cut-out off what lies behind it", groupBox, &b.spacer),
	}
}

// grains are what --grain and its like say.
var grains = map[string]box.Grain{"unknown": box.Unknown, "width": box.AlongWidth, "height": box.AlongHeight}

// spec puts the flags, the cut-out and both papers together.
func (s *settings) spec(d *design, base paper.Stock) (box.Spec, error) {
	b := &s.box
	win := d.window()
	spec := box.Spec{
		Width: win.Max(0) - win.Min(0), Height: win.Max(1) - win.Min(1),
		Margin: b.margin.or(box.DefaultMargin), Depth: b.depth.or(box.DefaultDepth), BaseDepth: b.baseDepth.mm,
		FrontThickness: d.stock.Thickness, BaseThickness: base.Thickness,
		Gap: b.gap.mm, MinWeb: d.stock.MinWeb, TabLength: b.tabLength.mm, Damp: b.damp,
	}
	var err error
	if spec.Tab, err = choose("tab", b.tab, map[string]box.Tab{"square": box.Square, "mitred": box.Mitred}); err != nil {
		return spec, err
	}
	if spec.FrontGrain, err = choose("grain", b.grain, grains); err != nil {
		return spec, err
	}
	if spec.BaseGrain, err = choose("base-grain", b.baseGrain, grains); err != nil {
		return spec, err
	}
	if b.ruler != "" {
		// A tenth of a millimetre that nobody sees shall not cost a whole mark.
		spec.Width, spec.Height = math.Round(10*spec.Width)/10, math.Round(10*spec.Height)/10
		den, ok := strings.CutPrefix(strings.TrimSuffix(strings.TrimSpace(b.ruler), " in"), "1/")
		if spec.Ruler, err = strconv.Atoi(den); err != nil || !ok || spec.Ruler < 1 || spec.Ruler > 64 {
			return spec, usagef("--ruler %q: write the part of an inch between two marks, such as 1/16", b.ruler)
		}
	}
	return spec, nil
}

// scoreStyle says what becomes of a net's scores on the machine's sheet.
type scoreStyle struct {
	style    string
	cut, gap float64
}

func (s *settings) scoreStyle() (scoreStyle, error) {
	style, err := choose("score", s.box.score, map[string]string{"line": "line", "perforation": "perforation", "marks": "marks"})
	if err != nil {
		return scoreStyle{}, err
	}
	cut, gap, ok := strings.Cut(s.box.perforation, ",")
	st := scoreStyle{style: style}
	var err1, err2 error
	st.cut, err1 = length.Parse(cut)
	st.gap, err2 = length.Parse(gap)
	if !ok || err1 != nil || err2 != nil || !(st.cut > 0 && st.gap > 0) {
		return st, usagef("--perforation %q: write the length of a cut and of a gap, such as 2mm,1.5mm", s.box.perforation)
	}
	return st, nil
}

// fits makes sure that each part can be cut from the sheet.
func (s *settings) fits(m *box.Measures) error {
	sheet, err := s.sheetSize()
	if err != nil {
		return err
	}
	for _, p := range []struct {
		name  string
		blank box.Extent
	}{{"front", m.FrontBlank}, {"base", m.BaseBlank}} {
		if s.laid() && p.name == s.laidPart() {
			continue // its sheet is another
		}
		if _, err := paper.Centre(rectangle(p.blank.Width, p.blank.Height), sheet, &paper.PlaceOptions{Turn: true, Names: []string{p.name}}); err != nil {
			return fmt.Errorf("%w; choose another with --sheet, or a smaller --width, --margin or --depth", err)
		}
	}
	return nil
}
