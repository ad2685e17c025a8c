package main

import (
	"context"
	"fmt"
	"image"
	"io"
	"slices"

	"example.org/kerfleaf/box"
	"example.org/kerfleaf/export"
	"example.org/kerfleaf/paper"
	"example.org/kerfleaf/words"
	"github.com/twpayne/go-geom"
	"github.com/urfave/cli/v2"
)

func boxCommand() *cli.Command { return newSettings().boxCommand() }

func (s *settings) boxCommand() *cli.Command {
	return &cli.Command{
		Name:  "box",
		Usage: "front and base of a shadow box around a drawing or words",
		UsageText: "kerfleaf box [flags] DRAWING\nkerfleaf box [flags] --words TEXT [DRAWING]\n\nExamples: a heron 3 in wide in walls of 3/4 in, on a base of heavy card; a guest's name\n" +
			"  kerfleaf box heron.png --width 3in --depth 3/4in --base-paper heavy-card\n  kerfleaf box --words \"Marlo Quay\" --letter-height 15mm\n\n" +
			"Words beside a drawing stand below it. Loose islands are tied unless --bridge off; what stays loose is exit status 3.",
		Flags: joinFlags(s.sizeFlags(), s.cleanFlags(), s.lineFlags(), []cli.Flag{
			&cli.StringFlag{Name: "words", Usage: "`TEXT` to cut, alone or below the drawing; \\n starts a line", Category: groupWords, Destination: &s.words},
		}, s.wordFlags(), s.paperFlags(true), s.boxFlags(), s.placeFlags(), s.toolFlags(), s.outputFlags()),
		Action: func(c *cli.Context) error {
			path := ""
			if s.words == "" || c.Args().Present() {
				var err error
				if path, err = drawingArgument(c); err != nil {
					return err
				}
			}
			return s.finish(c, func(out *output, bar *progress) (*summary, error) {
				if err := s.checkPhotos(); err != nil {
					return nil, err
				}
				if path == "" && s.drawingPhoto() != "" {
					return nil, usagef("--photo %q: there is no photo of a drawing; see --scrap and --paper-photo", s.photo)
				}
				formats, err := s.formats()
				if err != nil {
					return nil, err
				}
				if err := out.reserve(append(s.boxNames(formats), s.explainNames(stem(path))...)...); err != nil {
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

// boxOf makes a box around a picture, around --words, or both. src may be nil.
func (s *settings) boxOf(ctx context.Context, command, path string, src *source, out *output, formats []string, bar *progress) (*summary, error) {
	stock, err := s.stock(s.paper)
	if err != nil {
		return nil, err
	}
	base, err := s.stock(s.box.basePaper)
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
	s.frameBox(d)
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
	d.cut, err = joined(d.cut, cut)
	return err
}

// frameBox says what paper lies around a box's cut-out: the margin to the folds,
// and the walls.
func (s *settings) frameBox(d *design) {
	margin := s.box.margin.or(box.DefaultMargin)
	d.fold = widened(d.window(), margin)
	d.within(margin + s.box.depth.or(box.DefaultDepth))
}

// trays are both parts of a box, laid out around a cut-out.
type trays struct {
	spec        box.Spec
	measures    *box.Measures
	face        *geom.Bounds // of the front, in its pattern
	front, base part
}

// layTrays lays out both trays around a prepared cut-out, whose openings the tool
// cuts along path.
func (s *settings) layTrays(d *design, path *geom.MultiPolygon, base paper.Stock) (*trays, error) {
	spec, err := s.spec(d, base)
	if err != nil {
		return nil, err
	}
	t := &trays{spec: spec}
	if t.measures, err = spec.Measures(); err != nil {
		return nil, err
	}
	if err := s.fits(t.measures); err != nil {
		return nil, err
	}
	front, err := spec.Front()
	if err != nil {
		return nil, err
	}
	back, err := spec.Base()
	if err != nil {
		return nil, err
	}
	t.face = front.Face
	win := d.window()
	dx, dy := front.Window.Min(0)-win.Min(0), front.Window.Min(1)-win.Min(1)
	if t.front, err = s.trayPart("front", "Front", tray{front, moved(d.cut, dx, dy), moved(path, dx, dy), spec.Depth, d.stock}); err != nil {
		return nil, err
	}
	t.front.areas, t.front.grain = d.bridges(dx, dy), spec.FrontGrain
	baseDepth := spec.BaseDepth
	if baseDepth == 0 {
		baseDepth = spec.Depth
	}
	t.base, err = s.trayPart("base", "Base", tray{back, nil, nil, baseDepth, base})
	t.base.grain = spec.BaseGrain
	return t, err
}

// makeBox lays out both trays around a prepared cut-out and writes them.
func (s *settings) makeBox(d *design, title string, base paper.Stock, sum *summary, out *output, formats []string, bar *progress) error {
	path, err := d.path()
	if err != nil {
		return err
	}
	t, err := s.layTrays(d, path, base)
	if err != nil {
		return err
	}
	spec, measures := t.spec, t.measures
	parts := []part{t.front, t.base}
	if s.box.liner {
		shape, err := spec.Liner()
		if err != nil {
			return err
		}
		p, err := flatPart("liner", "Liner", shape, linerStock, "decorated paper for the floor of the base")
		if err != nil {
			return err
		}
		parts = append(parts, p)
	}
	if s.box.spacer {
		shape, err := spec.Spacer()
		if err != nil {
			return err
		}
		p, err := flatPart("spacer", "Spacer", shape, d.stock, paperLine(d.stock), "goes behind the front's face")
		if err != nil {
			return err
		}
		parts = append(parts, p)
	}
	sum.size("front", "front_blank", measures.FrontBlank.Width, measures.FrontBlank.Height)
	sum.size("  its face", "front_face", measures.FrontFace.Width, measures.FrontFace.Height)
	sum.size("base", "base_blank", measures.BaseBlank.Width, measures.BaseBlank.Height)
	sum.size("  its face", "base_face", measures.BaseFace.Width, measures.BaseFace.Height)
	sum.text("  of", "base_paper", paperLine(base))
	sum.length("margin", "margin", spec.Margin)
	sum.length("walls", "depth", spec.Depth)
	sum.add("fit", measures.SlidesIn(), "gap_mm", round3(min(measures.Gap.Width, measures.Gap.Height)))
	bar.step("writing")
	decor, err := s.writeParts(parts, sum, out, formats)
	if err != nil {
		return err
	}
	if err := sum.claims.slides(t.front, t.base, min(measures.Gap.Width, measures.Gap.Height)); err != nil {
		return err
	}
	return s.writeLooks(title, measures, spec, base, d.stock, t.front, t.base, t.face, decor, out, formats)
}

// boxPart is what help says of the part that is laid on a photographed sheet.
const boxPart = "the liner if there is a --liner, else the front,"

// laidPart is that part's file.
func (s *settings) laidPart() string {
	if s.box.liner {
		return "liner"
	}
	return "front"
}

// linerStock is decorated paper, cut with a knife.
var linerStock = paper.Stock{Name: "decorated paper"}

// boxNames lists the files that a box will have, as far as they are known
// before it is laid out.
func (s *settings) boxNames(formats []string) []string {
	var names []string
	files := []string{"front", "base"}
	if s.box.liner {
		files = append(files, "liner")
	}
	if s.box.spacer {
		files = append(files, "spacer")
	}
	if s.place.onSheets {
		files = []string{"sheet-1", "sheet-2"}
	}
	for _, f := range files {
		names = append(names, partNames(formats, f, f)...)
	}
	if slices.Contains(formats, "png") {
		names = append(names, "mockup.png")
	}
	if slices.Contains(formats, "html") {
		names = append(names, "guide.html")
	}
	return append(names, s.laidNames(formats, s.laidPart())...)
}

// writeParts writes parts one by one, or on sheets, and the one that is meant for
// it on a photographed sheet. It returns what the liner looks like, if known.
func (s *settings) writeParts(parts []part, sum *summary, out *output, formats []string) (image.Image, error) {
	var decor image.Image
	var err error
	p := &s.place
	spotted := (p.centre || p.at != "") && s.paperPhoto == ""
	if p.onSheets && spotted {
		return nil, usagef("--on-sheets places all parts; --at and --centre are for the front alone")
	}
	if s.laid() {
		i := slices.IndexFunc(parts, func(p part) bool { return p.file == s.laidPart() })
		if decor, err = s.writeLaid(parts[i], sum, out, formats); err != nil {
			return nil, err
		}
		parts = slices.Delete(parts, i, i+1)
	}
	switch {
	case p.onSheets:
		if parts, err = s.onSheets(parts); err != nil {
			return nil, err
		}
		sum.add("sheets", fmt.Sprintf("%d of %s", len(parts), p.sheet), "sheets", len(parts))
	case spotted:
		if parts[0], err = s.whereItLies(parts[0]); err != nil {
			return nil, err
		}
	}
	for _, p := range parts {
		if err := s.writePart(out, formats, p, sum); err != nil {
			return nil, err
		}
	}
	return decor, nil
}

// writeLaid writes a part on a photographed sheet, and returns what the photo
// shows of a liner.
func (s *settings) writeLaid(p part, sum *summary, out *output, formats []string) (image.Image, error) {
	ps, err := s.readSheet()
	if err != nil {
		return nil, err
	}
	w, h := p.drawing.Width, p.drawing.Height
	p, at, err := s.lay(p, ps, sum, out, formats)
	if err != nil {
		return nil, err
	}
	if err := s.writePart(out, formats, p, sum); err != nil || p.file != "liner" {
		return nil, err
	}
	return ps.seen(w, h, photoPixels, at.move), nil
}

// writeLooks writes what is for people only: the mock-up and the guide.
func (s *settings) writeLooks(title string, m *box.Measures, spec box.Spec, base, stock paper.Stock, f, b part, face *geom.Bounds, decor image.Image, out *output, formats []string) error {
	look, err := s.mockup()
	if err != nil {
		return err
	}
	if s.box.backing == "" {
		look.Backing = decor
	}
	if slices.Contains(formats, "png") {
		err := out.write("mockup.png", func(w io.Writer) error { return export.Mockup(w, f.pattern, face, spec.Depth, look) })
		if err != nil {
			return err
		}
	}
	if slices.Contains(formats, "html") {
		look.Pixels = guidePixels
		guide, err := boxGuide(title, m, spec, stock, base, f, b, face, look)
		if err != nil {
			return err
		}
		return out.write("guide.html", func(w io.Writer) error { return export.HTML(w, guide) })
	}
	return nil
}
