package main

import (
	"example.org/kerfleaf/box"
	"example.org/kerfleaf/export"
	"example.org/kerfleaf/internal/length"
	"example.org/kerfleaf/offset"
	"example.org/kerfleaf/paper"
	"example.org/kerfleaf/proof"
	"github.com/twpayne/go-geom"
)

// tray is a net with what is cut into it, on its way to a part.
type tray struct {
	net      *box.Net
	openings *geom.MultiPolygon // as they shall be; nil for none
	path     *geom.MultiPolygon // where the tool's centre runs to cut them
	depth    float64
	stock    paper.Stock
}

// trayPart turns a tray into the drawing that machines follow and the pattern to
// print, with the measures for people.
func (s *settings) trayPart(file, title string, t tray) (part, error) {
	style, err := s.scoreStyle()
	if err != nil {
		return part{}, err
	}
	net, path, openings := t.net, t.path, t.openings
	if s.box.faceDown {
		net, path = t.net.FaceDown(t.path)
		_, openings = t.net.FaceDown(t.openings)
	}
	tool, around, err := netDrawing(net, path, t.stock.Kerf, style)
	if err != nil {
		return part{}, err
	}
	pattern, _, err := netDrawing(t.net, t.openings, 0, scoreStyle{style: "line"})
	if err != nil {
		return part{}, err
	}
	outline, err := one(net.Outline)
	if err != nil {
		return part{}, err
	}
	half := t.stock.Kerf / 2
	w, h := t.net.Outline.Bounds().Max(0), t.net.Outline.Bounds().Max(1)
	x0, y0, x1, y1 := t.net.Face.Min(0), t.net.Face.Min(1), t.net.Face.Max(0), t.net.Face.Max(1)
	notes := []string{paperLine(t.stock), "outer side up; all folds go away from you"}
	if s.box.faceDown {
		notes = append(notes, "the machine's files are mirrored, to be cut from the back")
	}
	return part{
		file: file, plan: file, title: title, drawing: tool, outline: around, pattern: pattern, stock: t.stock, notes: notes,
		design: &proof.Design{Paper: moved(paperOf(outline, openings), half, half), Lines: openLines(tool)},
		measures: []export.Measure{
			{From: geom.Coord{0, h}, To: geom.Coord{w, h}, Text: length.Format(w)},
			{From: geom.Coord{0, 0}, To: geom.Coord{0, h}, Text: length.Format(h)},
			{From: geom.Coord{x0, y0}, To: geom.Coord{x1, y0}, Text: length.Format(x1 - x0)},
			{From: geom.Coord{x1, y0}, To: geom.Coord{x1, y1}, Text: length.Format(y1 - y0)},
			{From: geom.Coord{x1, y1}, To: geom.Coord{w, y1}, Text: length.Format(t.depth)},
		},
	}, nil
}

// endMark is how long the marks for scoring by hand are.
const endMark = 4.0

// netDrawing puts a net's lines on a page: scores first, then the openings, the
// slits and last the outline, half a kerf outside of the paper that stays, which
// it returns, too. The page is as large as the path around the outline.
func netDrawing(n *box.Net, openings *geom.MultiPolygon, kerf float64, style scoreStyle) (*export.Drawing, *geom.Polygon, error) {
	half := kerf / 2
	outline, err := one(n.Outline)
	if err != nil {
		return nil, nil, err
	}
	around, err := offset.Outline(outline, kerf)
	if err != nil {
		return nil, nil, err
	}
	d := &export.Drawing{Width: n.Outline.Bounds().Max(0) + kerf, Height: n.Outline.Bounds().Max(1) + kerf}
	for _, scores := range []struct {
		role  export.Role
		lines *geom.MultiLineString
	}{{export.Mountain, n.Mountain}, {export.Valley, n.Valley}} {
		lines, role := scores.lines, scores.role
		if lines.NumLineStrings() == 0 {
			continue
		}
		switch style.style {
		case "perforation":
			lines, err = box.Perforate(lines, style.cut, style.gap)
			role = export.Perforation
		case "marks":
			lines, err = box.EndMarks(lines, endMark)
		}
		if err != nil {
			return nil, nil, err
		}
		d.Layers = append(d.Layers, export.Layer{Role: role, Shapes: []geom.T{moved(lines, half, half)}})
	}
	var cuts []geom.T
	if openings != nil {
		cuts = append(cuts, moved(openings, half, half))
	}
	if n.Slits.NumLineStrings() > 0 {
		cuts = append(cuts, moved(n.Slits, half, half))
	}
	around = moved(around, half, half)
	d.Layers = append(d.Layers, export.Layer{Role: export.Cut, Shapes: append(cuts, around)})
	return d, around.Polygon(0), nil
}

// flatPart is a part without folds: a liner, a spacer, a test card's frame.
func flatPart(file, title string, p *geom.Polygon, stock paper.Stock, notes ...string) (part, error) {
	shape, err := one(p)
	if err != nil {
		return part{}, err
	}
	path, err := offset.Outline(shape, stock.Kerf)
	if err != nil {
		return part{}, err
	}
	half := stock.Kerf / 2
	path = moved(path, half, half)
	w, h := p.Bounds().Max(0), p.Bounds().Max(1)
	sheet := func(w, h float64, mp *geom.MultiPolygon) *export.Drawing {
		return &export.Drawing{Width: w, Height: h, Layers: []export.Layer{{Role: export.Cut, Shapes: []geom.T{mp}}}}
	}
	return part{
		file: file, plan: file, title: title, stock: stock, notes: notes,
		drawing: sheet(w+stock.Kerf, h+stock.Kerf, path), outline: path.Polygon(0), pattern: sheet(w, h, shape),
		design: &proof.Design{Paper: moved(shape, half, half)},
		measures: []export.Measure{
			{From: geom.Coord{0, h}, To: geom.Coord{w, h}, Text: length.Format(w)},
			{From: geom.Coord{0, 0}, To: geom.Coord{0, h}, Text: length.Format(h)},
		},
	}, nil
}
