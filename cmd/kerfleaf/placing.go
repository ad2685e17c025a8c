package main

import (
	"fmt"

	"example.org/kerfleaf/box"
	"example.org/kerfleaf/export"
	"example.org/kerfleaf/paper"
	"example.org/kerfleaf/proof"
	"github.com/twpayne/go-geom"
	"github.com/urfave/cli/v2"
)

// placeSettings say on what sheets the parts lie.
type placeSettings struct {
	sheet      string
	onSheets   bool
	edge, room lengthValue
	grain      string
	at         string
	centre     bool
}

// defaultEdge and defaultRoom are what machines cannot reach at a sheet's edge,
// and what keeps two parts from tearing (common practice, no source).
const defaultEdge, defaultRoom = 6.35, 3.0

func (s *settings) placeFlags() []cli.Flag {
	p := &s.place
	return append([]cli.Flag{
		&cli.StringFlag{Name: "sheet", Usage: "`SIZE` of the sheets: a4, letter, 30x40cm …; each part must fit", Category: groupSheet, Value: defaultSheet, DefaultText: defaultSheet, Destination: &p.sheet},
		switchFlag("on-sheets", "write whole sheets with the parts placed on them, in place of a file for each part", groupSheet, &p.onSheets),
		&cli.StringFlag{Name: "sheet-grain", Usage: "how the sheets' fibres run: `width, height or unknown`; parts with a grain are turned to it, and not turned where it is unknown", Category: groupSheet, Value: "unknown", DefaultText: "unknown", Destination: &p.grain},
		s.edgeFlag("the sheet's edges, or the scrap's", "1/4 in; 1/300 of the sheet round a scrap"),
		lengthFlag("room", "least distance `LENGTH` between two parts", "3 mm", groupSheet, &p.room),
		s.atFlag("put the front, or what lies on --paper-photo,"),
		switchFlag("centre", "put the front in the middle of the sheet", groupSheet, &p.centre),
	}, s.layFlags(boxPart)...)
}

func (s *settings) edgeFlag(edges, byDefault string) cli.Flag {
	return lengthFlag("sheet-edge", "free strip `LENGTH` along "+edges, byDefault, groupSheet, &s.place.edge)
}

func (s *settings) atFlag(put string) cli.Flag {
	return &cli.StringFlag{Name: "at", Usage: put + " with its top left at `X,Y` on the sheet, where the paper lies", Category: groupSheet, Destination: &s.place.at}
}

func (s *settings) sheetSize() (paper.Size, error) {
	size, err := paper.ParseSize(s.place.sheet)
	if err != nil {
		return size, usageError{err}
	}
	return size, nil
}

// rectangle is a part's size as paper.Place takes it.
func rectangle(w, h float64) *geom.Bounds { return geom.NewBounds(geom.XY).Set(0, 0, w, h) }

// onSheets lays parts on sheets of their paper, as few as possible, and returns a
// part for each sheet.
func (s *settings) onSheets(parts []part) ([]part, error) {
	size, err := s.sheetSize()
	if err != nil {
		return nil, err
	}
	var sheets []part
	for len(parts) > 0 {
		stock := parts[0].stock
		var same, rest []part
		for _, p := range parts {
			if p.stock.Name == stock.Name {
				same = append(same, p)
			} else {
				rest = append(rest, p)
			}
		}
		laid, err := s.layOut(same, size, len(sheets))
		if err != nil {
			return nil, err
		}
		sheets, parts = append(sheets, laid...), rest
	}
	return sheets, nil
}

// layOut places parts of one paper; first is the number of sheets so far.
func (s *settings) layOut(parts []part, size paper.Size, first int) ([]part, error) {
	opts := &paper.PlaceOptions{Margin: s.place.edge.or(defaultEdge), Spacing: s.place.room.or(defaultRoom)}
	if err := s.grainOf(opts, parts...); err != nil {
		return nil, err
	}
	blanks := make([]*geom.Bounds, len(parts))
	for i, p := range parts {
		blanks[i] = rectangle(p.drawing.Width, p.drawing.Height)
		opts.Names = append(opts.Names, p.file)
	}
	places, err := paper.Place(blanks, size, opts)
	if err != nil {
		return nil, fmt.Errorf("%w; choose another with --sheet", err)
	}
	var sheets []part
	for i, at := range places {
		for len(sheets) <= at.Sheet {
			name := fmt.Sprintf("sheet-%d", first+len(sheets)+1)
			sheets = append(sheets, part{
				file: name, plan: name, title: fmt.Sprintf("Sheet %d", first+len(sheets)+1), stock: parts[i].stock, notes: []string{size.String() + " of " + paperLine(parts[i].stock)},
				drawing: &export.Drawing{Width: size.Width, Height: size.Height}, pattern: &export.Drawing{Width: size.Width, Height: size.Height},
			})
		}
		if err := sheets[at.Sheet].put(parts[i], at); err != nil {
			return nil, err
		}
	}
	return sheets, nil
}

// grainOf lets parts turn as far as the grain allows.
func (s *settings) grainOf(o *paper.PlaceOptions, parts ...part) error {
	placed := map[box.Grain]paper.Grain{box.Unknown: paper.AnyGrain, box.AlongWidth: paper.AlongWidth, box.AlongHeight: paper.AlongHeight}
	sheet, err := choose("sheet-grain", s.place.grain, grains)
	if err != nil {
		return err
	}
	o.Grain, o.Turn = placed[sheet], true
	for _, p := range parts {
		o.Grains = append(o.Grains, placed[p.grain])
		o.Turn = o.Turn && (p.grain == box.Unknown || sheet != box.Unknown)
	}
	return nil
}

// put lays a part on a sheet.
func (sheet *part) put(p part, at paper.Placement) error {
	sheet.notes = append(sheet.notes, "with the "+p.file)
	// The pattern is smaller than the machine's drawing by the kerf.
	d := p.drawing
	move := at.Move(rectangle(d.Width, d.Height))
	if err := overlay(sheet.drawing, d, move); err != nil {
		return err
	}
	if p.design != nil {
		if sheet.design == nil {
			sheet.design = &proof.Design{Paper: geom.NewMultiPolygon(geom.XY)}
		}
		paper, err := joined(sheet.design.Paper, mapped(p.design.Paper, move))
		if err != nil {
			return err
		}
		sheet.design = &proof.Design{Paper: paper, Lines: openLines(sheet.drawing)}
	}
	return overlay(sheet.pattern, p.pattern, at.Move(rectangle(p.pattern.Width, p.pattern.Height)))
}

// overlay adds a drawing's layers to another, moved.
func overlay(to, from *export.Drawing, move func(x, y float64) (float64, float64)) error {
	for _, l := range from.Layers {
		layer := export.Layer{Role: l.Role}
		for _, g := range l.Shapes {
			m, err := mappedAny(g, move)
			if err != nil {
				return err
			}
			layer.Shapes = append(layer.Shapes, m)
		}
		to.Layers = append(to.Layers, layer)
	}
	return nil
}

// placeOn is the middle of a sheet, or the place that --at names.
func (s *settings) placeOn(size paper.Size, p part, blank *geom.Bounds) (paper.Placement, error) {
	opts := &paper.PlaceOptions{Margin: s.place.edge.mm, Names: []string{p.file}}
	if err := s.grainOf(opts, p); err != nil {
		return paper.Placement{}, err
	}
	if s.place.at == "" {
		return paper.Centre(blank, size, opts)
	}
	at, err := spot(s.place.at)
	if err != nil || at[0] < 0 || at[1] < 0 {
		return paper.Placement{}, usagef("--at %q: write two lengths from the sheet's top left, such as 20mm,35mm", s.place.at)
	}
	return paper.PlaceAt(blank, size, at[0], at[1], opts)
}

// whereItLies puts one part on a sheet at the place that --at or --centre names.
func (s *settings) whereItLies(p part) (part, error) {
	size, err := s.sheetSize()
	if err != nil {
		return p, err
	}
	at, err := s.placeOn(size, p, rectangle(p.drawing.Width, p.drawing.Height))
	if err != nil {
		return p, err
	}
	sheet := part{
		file: p.file, plan: p.plan, title: p.title, stock: p.stock, notes: []string{size.String() + " of " + paperLine(p.stock)},
		drawing: &export.Drawing{Width: size.Width, Height: size.Height}, pattern: &export.Drawing{Width: size.Width, Height: size.Height},
	}
	return sheet, sheet.put(p, at)
}
