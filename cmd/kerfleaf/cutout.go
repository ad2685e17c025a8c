package main

import (
	"errors"

	"example.org/kerfleaf/export"
	"example.org/kerfleaf/internal/length"
	"example.org/kerfleaf/internal/region"
	"example.org/kerfleaf/offset"
	"example.org/kerfleaf/proof"
	"github.com/twpayne/go-geom"
)

// writeCutOut writes a cut-out whose openings are cut in its own sheet, or as a
// card that is cut from a photographed sheet. It returns how many pieces of paper
// fall out.
func (s *settings) writeCutOut(d *design, name, title string, sum *summary, out *output, formats []string, bar *progress) (int, error) {
	x, y := d.frame.Min(0), d.frame.Min(1)
	w, h := d.frame.Max(0)-x, d.frame.Max(1)-y
	p := part{
		file: name, plan: name + "-plan", title: title, stock: d.stock, areas: d.bridges(-x, -y),
		notes: []string{paperLine(d.stock)},
	}
	tool, err := d.path()
	if err != nil {
		return 0, err
	}
	openings := moved(d.cut, -x, -y)
	bar.step("writing")
	if !s.laid() {
		p.openings, p.design = true, &proof.Design{Openings: openings}
		p.drawing, p.pattern = cutOut(w, h, moved(tool, -x, -y)), cutOut(w, h, openings)
		p.measures = append(sides(rectangle(w, h)), window(openings)...)
		return d.islands(), s.writePart(out, formats, p, sum)
	}
	stays, err := p.card(openings, w, h)
	if err != nil {
		return 0, err
	}
	ps, err := s.readSheet()
	if err != nil {
		return 0, err
	}
	if p, _, err = s.lay(p, ps, sum, out, formats); err != nil {
		return 0, err
	}
	return stays.NumPolygons() - 1, s.writePart(out, formats, p, sum)
}

// card makes a part of what the openings leave of a card of w x h mm, whose edge
// is cut, too, and returns that paper. Where openings reach the edge, it ends at
// them.
func (p *part) card(openings *geom.MultiPolygon, w, h float64) (*geom.MultiPolygon, error) {
	whole, err := one(corners(rectangle(w, h)))
	if err != nil {
		return nil, err
	}
	stays := paperOf(whole, openings)
	b := openings.Bounds()
	inner := b.Min(0) > 0 && b.Min(1) > 0 && b.Max(0) < w && b.Max(1) < h
	if !inner {
		if stays, err = region.Difference(whole, openings); err != nil {
			return nil, err
		}
	}
	if stays.NumPolygons() == 0 {
		return nil, errors.New("nothing of the card would be left")
	}
	half := p.stock.Kerf / 2
	path, err := offset.Outline(stays, p.stock.Kerf)
	if err != nil {
		return nil, err
	}
	path = moved(path, half, half)
	p.drawing, p.pattern = cutOut(w+p.stock.Kerf, h+p.stock.Kerf, path), cutOut(w, h, stays)
	p.design = &proof.Design{Paper: moved(stays, half, half)}
	p.outline = path.Polygon(0)
	if path.NumPolygons() > 1 { // pieces keep their places
		p.outline = corners(path.Bounds())
	}
	p.measures = sides(stays.Bounds())
	if inner {
		p.measures = append(p.measures, window(openings)...)
	}
	return stays, nil
}

// sides measures a rectangle at its foot and left, window what is cut out at its
// top and right.
func sides(b *geom.Bounds) []export.Measure {
	x0, y0, x1, y1 := b.Min(0), b.Min(1), b.Max(0), b.Max(1)
	return []export.Measure{
		{From: geom.Coord{x0, y1}, To: geom.Coord{x1, y1}, Text: length.Format(x1 - x0)},
		{From: geom.Coord{x0, y0}, To: geom.Coord{x0, y1}, Text: length.Format(y1 - y0)},
	}
}

func window(openings *geom.MultiPolygon) []export.Measure {
	b := openings.Bounds()
	x0, y0, x1, y1 := b.Min(0), b.Min(1), b.Max(0), b.Max(1)
	return []export.Measure{
		{From: geom.Coord{x0, y0}, To: geom.Coord{x1, y0}, Text: length.Format(x1 - x0)},
		{From: geom.Coord{x1, y0}, To: geom.Coord{x1, y1}, Text: length.Format(y1 - y0)},
	}
}

// cutOut is a sheet with nothing but cuts.
func cutOut(w, h float64, cuts *geom.MultiPolygon) *export.Drawing {
	return &export.Drawing{Width: w, Height: h, Layers: []export.Layer{{Role: export.Cut, Shapes: []geom.T{cuts}}}}
}
