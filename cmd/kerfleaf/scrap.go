package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"

	"example.org/kerfleaf/box"
	"example.org/kerfleaf/export"
	"example.org/kerfleaf/internal/length"
	"example.org/kerfleaf/proof"
	"example.org/kerfleaf/trace"
	"github.com/twpayne/go-geom"
	"github.com/urfave/cli/v2"
)

// layFlags lay a part on a sheet that a photo shows.
func (s *settings) layFlags(part string) []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "scrap", Usage: "`PHOTO` of a scrap of decorated paper on a plain sheet, whose size --photo gives: " + part + " is laid wholly inside, turned if need be, and leaves the largest rest; its SVG and DXF are in that sheet's millimetres", Category: groupSheet, Destination: &s.scrap},
		&cli.StringFlag{Name: "paper-photo", Usage: "`PHOTO` of the sheet as it lies, whose size --photo gives: " + part + " is laid in its middle, or --at a place, and seen over it", Category: groupSheet, Destination: &s.paperPhoto},
	}
}

// cardFlags lay a cut-out on a photographed sheet, as a card with its edge.
func (s *settings) cardFlags(card string) []cli.Flag {
	return append(s.layFlags(card),
		s.atFlag("put what lies on --paper-photo"), s.edgeFlag("the edges of what --scrap or --paper-photo shows", "1/300 of the sheet round a scrap"))
}

// checkCard refuses flags that have no meaning for a cut-out in a sheet of its own.
func (s *settings) checkCard() error {
	if !s.laid() && s.place.at != "" {
		return usagef("--at is for --paper-photo, a picture of the sheet")
	}
	return s.checkPhotos()
}

// A laying is where a part lies on a photographed sheet.
type laying struct {
	x, y float64 // mm from the sheet's top left to the part's bounds
	turn float64 // degrees clockwise
	rest float64 // mm² that the part leaves of a scrap
	move motion
}

// lay lays a part on the photographed sheet, tells where, and shows it.
func (s *settings) lay(p part, ps *photoSheet, sum *summary, out *output, formats []string) (part, laying, error) {
	var at laying
	var err error
	if ps.usable != nil {
		at, err = s.onScrap(p, ps)
	} else {
		at, err = s.onPaper(p, ps)
	}
	if err != nil {
		return p, at, err
	}
	d := &export.Drawing{Width: ps.size.Width, Height: ps.size.Height}
	if err := overlay(d, p.drawing, at.move); err != nil {
		return p, at, err
	}
	p.drawing, p.back = d, at.move.back()
	if p.design != nil {
		p.design = &proof.Design{Paper: mapped(p.design.Paper, at.move), Lines: openLines(d)}
	}
	bounds := mapped(p.outline, at.move).Bounds()
	at.x, at.y = bounds.Min(0), bounds.Min(1)
	where := fmt.Sprintf("%s from the left and %s from the top of the sheet", length.MM(at.x), length.MM(at.y))
	if at.turn != 0 {
		where += fmt.Sprintf(", turned clockwise by %g°", at.turn)
	}
	sum.add("on the "+s.sheetKind(), s.sheetPath()+", "+ps.size.String(), "laid", laidJSON{p.file, s.sheetPath(), round3(at.x), round3(at.y), at.turn})
	sum.add(" ", p.file+": "+where, "", nil)
	if ps.usable != nil {
		sum.add(" ", fmt.Sprintf("%.0f of %.0f usable mm² are left, in as large a piece as can be", at.rest, ps.usable.Area()), "scrap_left_mm2", round3(at.rest))
	}
	sum.steps(" ", "sheet_steps", ps.steps())
	for _, n := range slices.Concat(ps.photo.Notes, ps.report.Warnings) {
		sum.warnf("%s: %s", s.sheetPath(), n)
	}
	name := p.file + "-on-" + s.sheetKind()
	if slices.Contains(formats, "png") {
		err := out.write(name+".png", func(w io.Writer) error { return s.showLaid(w, p, ps, bounds, where) })
		if err != nil {
			return p, at, err
		}
	}
	return p, at, out.write(name+"-explain.png", ps.explain)
}

// laidNames lists the files that show where a part lies.
func (s *settings) laidNames(formats []string, file string) []string {
	if !s.laid() {
		return nil
	}
	name := file + "-on-" + s.sheetKind()
	names := []string{name + "-explain.png"}
	if slices.Contains(formats, "png") {
		names = append(names, name+".png")
	}
	return names
}

type laidJSON struct {
	Part  string  `json:"part"`
	Photo string  `json:"photo"`
	X     float64 `json:"x_mm"`
	Y     float64 `json:"y_mm"`
	Turn  float64 `json:"turned_degrees"`
}

// onPaper is the middle of the sheet, or the place that --at names.
func (s *settings) onPaper(p part, ps *photoSheet) (laying, error) {
	blank := rectangle(p.drawing.Width, p.drawing.Height)
	place, err := s.placeOn(ps.size, p, blank)
	if err != nil {
		return laying{}, fmt.Errorf("%s: %w", s.paperPhoto, err)
	}
	at := laying{move: place.Move(blank)}
	if place.Turned {
		at.turn = 90
	}
	return at, nil
}

// onScrap is the place inside the scrap that leaves the largest rest.
func (s *settings) onScrap(p part, ps *photoSheet) (laying, error) {
	opts := &trace.ScrapOptions{}
	quarter := func(x, y float64) (float64, float64) { return x, y }
	if p.grain != box.Unknown { // it may be turned about, and to the sheet's grain
		opts.Turn = 180
		sheet, err := choose("sheet-grain", s.place.grain, grains)
		if err != nil {
			return laying{}, err
		}
		if sheet != box.Unknown && sheet != p.grain {
			quarter = trace.ScrapPlacement{Angle: 90}.Move
		}
	}
	shape := mapped(p.outline, quarter)
	place, err := trace.PlaceOnScrap(ps.usable, shape, opts)
	var lost *trace.ScrapError
	if errors.As(err, &lost) && lost.Area < lost.Scrap { // places between the steps
		place, err = trace.PlaceOnScrap(ps.usable, shape, &trace.ScrapOptions{Step: 0.5, Turn: max(2, opts.Turn)})
	}
	if errors.As(err, &lost) {
		return laying{}, fmt.Errorf("%s: the %s, %s, does not fit inside the scrap, of which %.0f mm² are usable, at any angle; %s",
			s.scrap, p.file, sizeText(lost.Width, lost.Height), lost.Scrap, largest(ps.usable, shape, opts))
	}
	if err != nil {
		return laying{}, err
	}
	at := laying{turn: place.Angle, rest: ps.usable.Area() - math.Abs(p.outline.Area())}
	at.move = func(x, y float64) (float64, float64) { return place.Move(quarter(x, y)) }
	if x, _ := quarter(0, 1); x != 0 {
		at.turn = math.Mod(at.turn+90, 360)
	}
	return at, nil
}

// largest says how large a part of a shape may be on a scrap.
func largest(scrap *geom.MultiPolygon, shape *geom.Polygon, opts *trace.ScrapOptions) string {
	b := shape.Bounds()
	fits, fails := 0, int(100*math.Sqrt(min(1, scrap.Area()/math.Abs(shape.Area()))))+1 // percent
	for fails-fits > 1 {
		half := (fits + fails) / 2
		scale := float64(half) / 100
		small := mapped(shape, func(x, y float64) (float64, float64) { return x * scale, y * scale })
		if _, err := trace.PlaceOnScrap(scrap, small, opts); err == nil {
			fits = half
		} else {
			fails = half
		}
	}
	if fits == 0 {
		return "nor would the smallest"
	}
	scale := float64(fits) / 100
	return fmt.Sprintf("at %d %% of its size, %s, it would", fits, sizeText(scale*(b.Max(0)-b.Min(0)), scale*(b.Max(1)-b.Min(1))))
}

func sizeText(w, h float64) string { return fmt.Sprintf("%.1f x %.1f mm", w, h) }

// photoPixels is the longer side of a picture of a photographed sheet.
const photoPixels = 1500

// showLaid draws a part on its sheet, over the photo.
func (s *settings) showLaid(w io.Writer, p part, ps *photoSheet, b *geom.Bounds, where string) error {
	size := ps.size
	o := &export.PNGOptions{
		Title: p.title, Notes: []string{"on the sheet in " + s.sheetPath() + ", " + size.String(), where},
		Photo: ps.seen(size.Width, size.Height, photoPixels, func(x, y float64) (float64, float64) { return x, y }),
		Measures: []export.Measure{
			{From: geom.Coord{0, b.Min(1)}, To: geom.Coord{b.Min(0), b.Min(1)}, Text: length.Format(b.Min(0))},
			{From: geom.Coord{b.Min(0), 0}, To: geom.Coord{b.Min(0), b.Min(1)}, Text: length.Format(b.Min(1))},
		},
	}
	if s.box.faceDown && p.file != "liner" {
		o.Notes = append(o.Notes, "cut from the back: that is the side to photograph")
	}
	if ps.usable != nil {
		for i := range ps.usable.NumPolygons() {
			o.Areas = append(o.Areas, export.Area{Shape: ps.usable.Polygon(i), Look: export.Usable})
		}
	}
	return export.PNG(w, p.drawing, o)
}
