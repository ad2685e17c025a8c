package main

import (
	"context"
	"fmt"
	"io"
	"slices"

	"example.org/kerfleaf/box"
	"example.org/kerfleaf/export"
	"example.org/kerfleaf/internal/length"
	"example.org/kerfleaf/offset"
	"example.org/kerfleaf/paper"
	"example.org/kerfleaf/words"
	"github.com/twpayne/go-geom"
	"github.com/urfave/cli/v2"
)

func boxCommand() *cli.Command {
	s := newSettings()
	return &cli.Command{
		Name:  "box",
		Usage: "front and base of a shadow box around a drawing or words",
		UsageText: "kerfleaf box [flags] DRAWING\nkerfleaf box [flags] --words TEXT [DRAWING]\n\nExamples: a heron 3 in wide in walls of 3/4 in, on a base of heavy card; a guest's name\n" +
			"  kerfleaf box heron.png --width 3in --depth 3/4in --base-paper heavy-card\n  kerfleaf box --words \"Marlo Quay\" --letter-height 15mm\n\n" +
			"Words beside a drawing stand below it. Loose islands are tied unless --bridge off; what stays loose is exit status 3.",
		Flags: joinFlags(s.sizeFlags(), s.cleanFlags(), s.lineFlags(), []cli.Flag{
			&cli.StringFlag{Name: "words", Usage: "`TEXT` to cut, alone or below the drawing; \\n starts a line", Category: groupWords, Destination: &s.words},
		}, s.wordFlags(), s.paperFlags(true), s.boxFlags(), s.outputFlags()),
		Action: func(c *cli.Context) error {
			path := ""
			if s.words == "" || c.Args().Present() {
				var err error
				if path, err = drawingArgument(c); err != nil {
					return err
				}
			}
			return s.finish(c, func(out *output, bar *progress) (*summary, error) {
				formats, err := s.formats()
				if err != nil {
					return nil, err
				}
				if err := out.reserve(append(boxNames(formats), s.explainNames(stem(path))...)...); err != nil {
					return nil, err
				}
				var src *source
				if path != "" {
					bar.step("reading")
					if src, err = s.readDrawing(path); err != nil {
						return nil, err
					}
				}
				return s.boxOf(c.Context, "box", path, src, out, formats, bar)
			})
		},
	}
}

// boxNames lists the files that a box will have.
func boxNames(formats []string) []string {
	names := append(partNames(formats, "front", "front"), partNames(formats, "base", "base")...)
	if slices.Contains(formats, "png") {
		names = append(names, "mockup.png")
	}
	if slices.Contains(formats, "html") {
		names = append(names, "guide.html")
	}
	return names
}

// boxOf makes a box around a picture, around --words, or both. src may be nil.
func (s *settings) boxOf(ctx context.Context, command, path string, src *source, out *output, formats []string, bar *progress) (*summary, error) {
	stock, err := s.stock(s.paper)
	if err != nil {
		return nil, err
	}
	base, err := s.stock(s.basePaper)
	if err != nil {
		return nil, err
	}
	base.Kerf = s.kerf.or(base.Kerf)
	sum := &summary{command: command}
	d := &design{stock: s.own(stock)}
	if src != nil {
		if d, err = s.traceDrawing(ctx, src, d.stock, bar); err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
		sum.text("drawing", "drawing", path)
	}
	title := stem(path)
	if s.words != "" {
		title = oneLine(s.words)
		if err := s.addWords(d); err != nil {
			return nil, err
		}
		sum.text("words", "words", oneLine(s.words))
	}
	margin := s.margin.or(box.DefaultMargin)
	d.fold = widened(d.window(), margin)
	d.within(margin + s.depth.or(box.DefaultDepth))
	if err := s.prepare(d, bar); err != nil {
		return nil, err
	}
	if err := s.makeBox(d, title, base, sum, out, formats, bar); err != nil {
		return nil, err
	}
	if src != nil {
		if err := src.writeExplain(out, stem(path)); err != nil {
			return nil, err
		}
	}
	d.report(sum, src)
	sum.loose = !d.holds()
	return sum, nil
}

// addWords puts --words into a design: alone, or centred below its drawing and
// no wider than that, half a letter's height apart.
func (s *settings) addWords(d *design) error {
	if d.cut == nil {
		cut, err := s.setWords(s.words, d.stock, words.Size{Cap: s.letterHeight.mm, Width: s.width.mm, Height: s.height.mm})
		d.cut = cut
		return err
	}
	win := d.window()
	letters := s.letterHeight.or((win.Max(1) - win.Min(1)) / 8)
	cut, err := s.setWords(s.words, d.stock, words.Size{Cap: letters, Width: win.Max(0) - win.Min(0)})
	if err != nil {
		return err
	}
	b := cut.Bounds()
	cut = moved(cut, (win.Min(0)+win.Max(0)-b.Min(0)-b.Max(0))/2, win.Max(1)+letters/2-b.Min(1))
	both := d.cut.Clone()
	for i := range cut.NumPolygons() {
		if err := both.Push(cut.Polygon(i)); err != nil {
			return err
		}
	}
	d.cut = both
	return nil
}

// makeBox lays out both trays around a prepared cut-out and writes them.
func (s *settings) makeBox(d *design, title string, base paper.Stock, sum *summary, out *output, formats []string, bar *progress) error {
	win := d.window()
	spec := box.Spec{
		Width: win.Max(0) - win.Min(0), Height: win.Max(1) - win.Min(1),
		Margin: s.margin.or(box.DefaultMargin), Depth: s.depth.or(box.DefaultDepth),
		FrontThickness: d.stock.Thickness, BaseThickness: base.Thickness,
		Gap: s.gap.mm, MinWeb: d.stock.MinWeb,
	}
	measures, err := spec.Measures()
	if err != nil {
		return err
	}
	if err := s.fits(measures); err != nil {
		return err
	}
	front, err := spec.Front()
	if err != nil {
		return err
	}
	back, err := spec.Base()
	if err != nil {
		return err
	}
	tool, err := d.path()
	if err != nil {
		return err
	}
	bar.step("writing")
	half := d.stock.Kerf / 2
	dx, dy := front.Window.Min(0)-win.Min(0), front.Window.Min(1)-win.Min(1)
	f, err := netPart("front", "Front", front, spec.Depth, d.stock, moved(d.cut, dx, dy), moved(tool, dx, dy))
	if err != nil {
		return err
	}
	b, err := netPart("base", "Base", back, spec.Depth, base, nil, nil)
	if err != nil {
		return err
	}
	for _, p := range []part{f, b} {
		if err := s.writePart(out, formats, p); err != nil {
			return err
		}
	}
	if slices.Contains(formats, "png") {
		face := geom.NewBounds(geom.XY).Set(front.Face.Min(0)+half, front.Face.Min(1)+half, front.Face.Max(0)+half, front.Face.Max(1)+half)
		err := out.write("mockup.png", func(w io.Writer) error { return export.Mockup(w, f.drawing, face, spec.Depth, nil) })
		if err != nil {
			return err
		}
	}
	if slices.Contains(formats, "html") {
		face := geom.NewBounds(geom.XY).Set(front.Face.Min(0), front.Face.Min(1), front.Face.Max(0), front.Face.Max(1))
		guide, err := boxGuide(title, measures, spec, d.stock, base, f, b, face)
		if err != nil {
			return err
		}
		if err := out.write("guide.html", func(w io.Writer) error { return export.HTML(w, guide) }); err != nil {
			return err
		}
	}
	sum.size("front", "front_blank", measures.FrontBlank.Width, measures.FrontBlank.Height)
	sum.size("  its face", "front_face", measures.FrontFace.Width, measures.FrontFace.Height)
	sum.size("base", "base_blank", measures.BaseBlank.Width, measures.BaseBlank.Height)
	sum.size("  its face", "base_face", measures.BaseFace.Width, measures.BaseFace.Height)
	sum.text("  of", "base_paper", paperLine(base))
	sum.length("margin", "margin", spec.Margin)
	sum.length("walls", "depth", spec.Depth)
	sum.add("fit", measures.SlidesIn(), "gap_mm", round3(min(measures.Gap.Width, measures.Gap.Height)))
	return nil
}

// fits makes sure that each part can be cut from the sheet.
func (s *settings) fits(m *box.Measures) error {
	sheet, err := paper.ParseSize(s.sheet)
	if err != nil {
		return usageError{err}
	}
	extents := []box.Extent{m.FrontBlank, m.BaseBlank}
	for i, name := range []string{"front", "base"} {
		blank := geom.NewBounds(geom.XY).Set(0, 0, extents[i].Width, extents[i].Height)
		if _, err := paper.Place([]*geom.Bounds{blank}, sheet, &paper.PlaceOptions{Turn: true, Names: []string{name}}); err != nil {
			return fmt.Errorf("%w; choose another with --sheet, or a smaller --width, --margin or --depth", err)
		}
	}
	return nil
}

// netPart turns a net into the drawing that machines follow and the pattern to
// print, with the measures for people. Its openings are given as they shall be,
// and as the tool's path.
func netPart(file, title string, n *box.Net, depth float64, stock paper.Stock, openings, path *geom.MultiPolygon) (part, error) {
	tool, err := netDrawing(n, path, stock.Kerf)
	if err != nil {
		return part{}, err
	}
	pattern, err := netDrawing(n, openings, 0)
	if err != nil {
		return part{}, err
	}
	half := stock.Kerf / 2
	w, h := n.Outline.Bounds().Max(0)+half, n.Outline.Bounds().Max(1)+half
	x0, y0, x1, y1 := n.Face.Min(0)+half, n.Face.Min(1)+half, n.Face.Max(0)+half, n.Face.Max(1)+half
	return part{
		file: file, plan: file, title: title, drawing: tool, pattern: pattern,
		notes: []string{paperLine(stock), "outer side up; all folds go away from you"},
		measures: []export.Measure{
			{From: geom.Coord{half, h}, To: geom.Coord{w, h}, Text: length.Format(w - half)},
			{From: geom.Coord{half, half}, To: geom.Coord{half, h}, Text: length.Format(h - half)},
			{From: geom.Coord{x0, y0}, To: geom.Coord{x1, y0}, Text: length.Format(x1 - x0)},
			{From: geom.Coord{x1, y0}, To: geom.Coord{x1, y1}, Text: length.Format(y1 - y0)},
			{From: geom.Coord{x1, y1}, To: geom.Coord{w, y1}, Text: length.Format(depth)},
		},
	}, nil
}

// netDrawing puts a net's lines on a page: scores first, then the openings, the
// slits and last the outline, half a kerf outside of the paper that stays. The
// page is as large as the path around the outline.
func netDrawing(n *box.Net, openings *geom.MultiPolygon, kerf float64) (*export.Drawing, error) {
	half := kerf / 2
	outline := geom.NewMultiPolygon(geom.XY)
	if err := outline.Push(n.Outline); err != nil {
		return nil, err
	}
	around, err := offset.Outline(outline, kerf)
	if err != nil {
		return nil, err
	}
	cuts := []geom.T{movedLines(n.Slits, half, half), moved(around, half, half)}
	if openings != nil {
		cuts = append([]geom.T{moved(openings, half, half)}, cuts...)
	}
	return &export.Drawing{Width: n.Outline.Bounds().Max(0) + kerf, Height: n.Outline.Bounds().Max(1) + kerf, Layers: []export.Layer{
		{Role: export.Mountain, Shapes: []geom.T{movedLines(n.Mountain, half, half)}},
		{Role: export.Cut, Shapes: cuts},
	}}, nil
}

// movedLines returns m shifted by (dx, dy) mm.
func movedLines(m *geom.MultiLineString, dx, dy float64) *geom.MultiLineString {
	c := m.Clone()
	flat := c.FlatCoords()
	for i := 0; i < len(flat); i += 2 {
		flat[i] += dx
		flat[i+1] += dy
	}
	return c
}
