package main

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"

	"example.org/kerfleaf/export"
	"example.org/kerfleaf/paper"
	"github.com/twpayne/go-geom"
)

// sheetsFolder is where the shared sheets of a batch go.
const sheetsFolder = "sheets"

// laidPart is a part of some row on a shared sheet: the file that it stands in.
type laidPart struct {
	file, name, stock string
	size              *geom.Bounds
	at                paper.Placement
}

// together places the parts of all rows on shared sheets, as few as possible of
// each paper. Parts are read from their files, a sheet's at a time, so that
// memory does not grow with what is on them.
func (b *batch) together(path string, sum *summary) error {
	size, err := b.s.sheetSize()
	if err != nil {
		return err
	}
	parts, err := b.partFiles(path)
	if err != nil {
		return err
	}
	slices.SortStableFunc(parts, func(a, b laidPart) int { return cmp.Compare(a.stock, b.stock) })
	out, err := newOutput(b.out, b.s.force)
	if err != nil {
		return err
	}
	defer out.discard()
	count := 0
	for len(parts) > 0 {
		n := slices.IndexFunc(parts, func(p laidPart) bool { return p.stock != parts[0].stock })
		if n < 0 {
			n = len(parts)
		}
		made, err := b.laySheets(parts[:n], size, out)
		if err != nil {
			return err
		}
		count, parts = count+made, parts[n:]
	}
	if sum.files, err = out.commit(); err != nil {
		return err
	}
	sum.add("sheets", fmt.Sprintf("%d of %s, in %s", count, size, filepath.Join(b.out, sheetsFolder)), "sheets", count)
	return nil
}

// partFiles lists the parts that the rows' folders hold.
func (b *batch) partFiles(path string) ([]laidPart, error) {
	list, err := openList(path, b.columns())
	if err != nil {
		return nil, err
	}
	defer list.close()
	var parts []laidPart
	for r, ok := list.next(); ok; r, ok = list.next() {
		files, err := filepath.Glob(filepath.Join(b.out, r.name, "*.svg"))
		if err != nil {
			return nil, err
		}
		for _, f := range files {
			file, err := readLines(f)
			if err != nil {
				return nil, err
			}
			stock := cmp.Or(r.values["paper"], b.s.paper)
			if stem(f) == "base" {
				stock = cmp.Or(r.values["base-paper"], b.s.box.basePaper)
			}
			parts = append(parts, laidPart{file: f, name: r.name + " " + stem(f), stock: stock, size: rectangle(file.Drawing.Width, file.Drawing.Height)})
		}
	}
	return parts, list.err
}

// laySheets places the parts of one paper and writes their sheets.
func (b *batch) laySheets(parts []laidPart, size paper.Size, out *output) (int, error) {
	stock, err := b.s.stock(parts[0].stock)
	if err != nil {
		return 0, err
	}
	opts := &paper.PlaceOptions{Margin: b.s.place.edge.or(defaultEdge), Spacing: b.s.place.room.or(defaultRoom), Turn: true}
	blanks := make([]*geom.Bounds, len(parts))
	for i, p := range parts {
		blanks[i] = p.size
		opts.Names = append(opts.Names, p.name)
	}
	places, err := paper.Place(blanks, size, opts)
	if err != nil {
		return 0, fmt.Errorf("%w; choose another with --sheet", err)
	}
	for i := range places {
		parts[i].at = places[i]
	}
	slices.SortStableFunc(parts, func(a, b laidPart) int { return a.at.Sheet - b.at.Sheet })
	for from := 0; from < len(parts); {
		number := parts[from].at.Sheet
		name := fmt.Sprintf("%s-%d", safeName(stock.Name), number+1)
		d := &export.Drawing{Width: size.Width, Height: size.Height}
		for ; from < len(parts) && parts[from].at.Sheet == number; from++ {
			p := parts[from]
			file, err := readLines(p.file)
			if err != nil {
				return 0, err
			}
			from := file.Drawing
			if b.make != "box" { // openings only: on a shared sheet their card is cut out, too
				from.Layers = append(from.Layers, export.Layer{Role: export.Cut, Shapes: []geom.T{corners(p.size)}})
			}
			if err := overlay(d, from, p.at.Move(p.size)); err != nil {
				return 0, err
			}
		}
		file := filepath.Join(sheetsFolder, name)
		sheet := part{file: file, plan: file, title: name, drawing: d, pattern: d, stock: b.s.own(stock), notes: []string{size.String() + " of " + paperLine(stock)}}
		if err := b.s.writePart(out, []string{"svg", "dxf", "png"}, sheet, &summary{}); err != nil {
			return 0, err
		}
	}
	return parts[len(parts)-1].at.Sheet + 1, nil
}
