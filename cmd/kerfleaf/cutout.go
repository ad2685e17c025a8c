package main

import (
	"example.org/kerfleaf/export"
	"example.org/kerfleaf/internal/length"
	"example.org/kerfleaf/proof"
	"github.com/twpayne/go-geom"
)

// writeCutOut writes a cut-out whose openings are cut in its own sheet.
func (s *settings) writeCutOut(d *design, name, title string, sum *summary, out *output, formats []string, bar *progress) error {
	tool, err := d.path()
	if err != nil {
		return err
	}
	x, y := d.frame.Min(0), d.frame.Min(1)
	w, h := d.frame.Max(0)-x, d.frame.Max(1)-y
	win := d.window()
	x0, y0, x1, y1 := win.Min(0)-x, win.Min(1)-y, win.Max(0)-x, win.Max(1)-y
	bar.step("writing")
	return s.writePart(out, formats, part{
		file: name, plan: name + "-plan", title: title, openings: true, stock: d.stock, areas: d.bridges(-x, -y),
		design:  &proof.Design{Openings: moved(d.cut, -x, -y)},
		drawing: cutOut(w, h, moved(tool, -x, -y)), pattern: cutOut(w, h, moved(d.cut, -x, -y)),
		notes: []string{paperLine(d.stock)},
		measures: []export.Measure{
			{From: geom.Coord{0, h}, To: geom.Coord{w, h}, Text: length.Format(w)},
			{From: geom.Coord{0, 0}, To: geom.Coord{0, h}, Text: length.Format(h)},
			{From: geom.Coord{x0, y0}, To: geom.Coord{x1, y0}, Text: length.Format(x1 - x0)},
			{From: geom.Coord{x1, y0}, To: geom.Coord{x1, y1}, Text: length.Format(y1 - y0)},
		},
	}, sum)
}

// cutOut is a sheet with nothing but openings.
func cutOut(w, h float64, openings *geom.MultiPolygon) *export.Drawing {
	return &export.Drawing{Width: w, Height: h, Layers: []export.Layer{{Role: export.Cut, Shapes: []geom.T{openings}}}}
}
