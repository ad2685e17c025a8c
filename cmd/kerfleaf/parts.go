package main

import (
	"fmt"
	"io"
	"slices"

	"example.org/kerfleaf/box"
	"example.org/kerfleaf/export"
	"example.org/kerfleaf/paper"
	"example.org/kerfleaf/proof"
	"example.org/kerfleaf/stencil"
	"github.com/twpayne/go-geom"
)

// part is one thing to cut: its drawing for machines and what a picture of it
// says.
type part struct {
	file, plan string // names of the files, without extension
	title      string
	notes      []string
	measures   []export.Measure
	openings   bool // the cut lines are openings in the sheet itself
	labels     []export.Mark
	areas      []export.Area
	drawing    *export.Drawing
	outline    *geom.Polygon   // of the tool's path round it in drawing; nil for openings in a sheet
	back       motion          // from the photographed sheet that drawing lies on; nil without one
	pattern    *export.Drawing // to print and cut by knife, which removes nothing
	stock      paper.Stock
	grain      box.Grain
	design     *proof.Design // what the drawing is meant to make; nil: not to be proved
}

// curves is how far the curves in a part's files may depart from its lines: the
// half of the paper's tolerance that tracing leaves them.
func (p *part) curves() float64 { return max(p.stock.Tolerance/2, finestCurve) }

// finestCurve is the finest fit that export makes, in mm.
const finestCurve = 0.001

// printedGrain is the arrow that a pattern shows.
var printedGrain = map[box.Grain]export.Grain{box.Unknown: export.UnknownGrain, box.AlongWidth: export.AlongWidth, box.AlongHeight: export.AlongHeight}

// partNames lists the files that a part will have.
func partNames(formats []string, file, plan string) []string {
	var names []string
	for _, f := range formats {
		switch f {
		case "png":
			names = append(names, plan+".png")
		case "html": // the guide of a whole box
		default:
			names = append(names, file+"."+f)
		}
	}
	return names
}

// writePart makes the files of one part.
func (s *settings) writePart(out *output, formats []string, p part, sum *summary) error {
	unit, err := s.unit()
	if err != nil {
		return err
	}
	dxf := &export.DXFOptions{Unit: unit}
	if s.curves {
		dxf.Curves = p.curves()
	}
	page, err := s.page()
	if err != nil {
		return err
	}
	machine, err := s.ordered(p, sum)
	if err != nil {
		return err
	}
	writers := map[string]func(io.Writer) error{
		p.file + ".svg": func(w io.Writer) error {
			return export.SVG(w, machine, &export.SVGOptions{Title: p.title, Curves: p.curves()})
		},
		p.file + ".dxf": func(w io.Writer) error { return export.DXF(w, machine, dxf) },
		p.file + ".pdf": func(w io.Writer) error {
			return export.PDF(w, p.pattern, &export.PDFOptions{Title: p.title, Notes: p.notes, PageWidth: page.Width, PageHeight: page.Height, Curves: p.curves(), Grain: printedGrain[p.grain]})
		},
		p.plan + ".png": func(w io.Writer) error {
			return export.PNG(w, p.pattern, &export.PNGOptions{Title: p.title, Notes: p.notes, Measures: p.measures, Marks: p.labels, Areas: p.areas, Openings: p.openings})
		},
	}
	for _, name := range partNames(formats, p.file, p.plan) {
		if err := out.write(name, writers[name]); err != nil {
			return err
		}
	}
	return s.readBack(out, p, partNames(formats, p.file, p.plan), &sum.claims)
}

// page reads --page.
func (s *settings) page() (paper.Size, error) {
	size, err := paper.ParseSize(s.printPage)
	if err != nil {
		return paper.Size{}, usageError{fmt.Errorf("--page: %w", err)}
	}
	return size, nil
}

// unit reads --units.
func (s *settings) unit() (export.Unit, error) {
	switch s.units {
	case "mm":
		return export.Millimetre, nil
	case "in":
		return export.Inch, nil
	}
	return 0, usagef("--units %q: write mm or in", s.units)
}

// report adds what tracing and checking found.
func (d *design) report(sum *summary, src *source) {
	win := d.window()
	sum.size("cut-out", "cut_out", win.Max(0)-win.Min(0), win.Max(1)-win.Min(1))
	sum.text("paper", "paper", paperLine(d.stock))
	if t := d.traced; t != nil {
		than := "darker"
		if d.invert {
			than = "lighter"
		}
		sum.add("cut away", fmt.Sprintf("what is %s than a grey of %.0f %%", than, 100*t.Level), "level", round3(t.Level))
		sum.add("line", fmt.Sprintf("%d nodes, %d of them corners, at most %.3f mm from the drawn edge", t.Nodes, t.Corners, t.Departure), "nodes", t.Nodes)
		sum.add("", "", "corners", t.Corners)
		sum.add("", "", "departure_mm", round3(t.Departure))
		sum.add("", "", "outline_length_mm", round3(t.Length))
	}
	if len(d.straps) > 0 {
		sum.add("bridges", fmt.Sprintf("%d, to tie what would fall out", len(d.straps)), "bridges", len(d.straps))
	}
	if d.thin > 0 {
		sum.warnf("%d thin webs could not grow without closing an opening", d.thin)
	}
	if src != nil {
		src.report(sum)
	}
	d.warn(sum)
}

// warn says what will fall out or tear: all islands, and of the rest the worst.
func (d *design) warn(sum *summary) {
	const most = 5
	byKind := map[stencil.Kind][]stencil.Fault{}
	var kinds []stencil.Kind
	for _, f := range d.faults {
		if !slices.Contains(kinds, f.Kind) {
			kinds = append(kinds, f.Kind)
		}
		byKind[f.Kind] = append(byKind[f.Kind], f)
	}
	for _, k := range kinds {
		list := byKind[k]
		for _, f := range list[:min(len(list), most)] {
			sum.warnf("%v", f)
		}
		if n := len(list) - most; n > 0 {
			sum.warnf("and %d more of this kind", n)
		}
	}
	sum.faults(d.faults)
}
