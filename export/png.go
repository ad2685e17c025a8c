package export

import (
	"fmt"
	"image"
	"image/png"
	"io"
	"math"

	"github.com/twpayne/go-geom"
)

// A Measure is a length to be shown: From and To in mm on the sheet, and what is written there, such as "5 1/2 in
// (139.7 mm)". A level or upright one is shown outside the drawing on the nearer side, with thin lines that lead to its
// two points; one at a slant stands where it is.
type Measure struct {
	From, To geom.Coord
	Text     string
}

// A Mark points at a place: a circle of Radius mm, at least large enough to be seen, with Text beside it where there is
// room among the others; the first marks get it first.
type Mark struct {
	At     geom.Coord
	Radius float64
	Text   string
	Bare   bool // no circle: Text alone, which starts at At
}

// PNGOptions are the choices of [PNG]; nil stands for the defaults.
type PNGOptions struct {
	Title    string    // large, above the drawing; default none
	Notes    []string  // lines of small print below the title; default none
	Measures []Measure // default none
	Marks    []Mark    // default none
	Areas    []Area    // parts of the paper to point out; default none

	// Photo is a picture of the whole sheet from above, edge to edge. The lines are drawn over it, and all fades but the
	// paper that stays. Default: none, the sheet is plain.
	Photo image.Image

	// Openings says that closed cut lines are openings in the sheet itself, as in a traced drawing. Default: the
	// outermost closed cut lines are the outlines of parts, and those within them openings.
	Openings bool

	Pixels int // the picture's longest side, 200 to 2000; default 1600
}

// PixelsError is returned for a picture whose longest side is not within the limits.
type PixelsError struct{ Pixels int }

func (e *PixelsError) Error() string {
	return fmt.Sprintf("export: a picture of %d pixels cannot be drawn, its longest side must be from %d to %d", e.Pixels, minPixels, maxPixels)
}

const minPixels, maxPixels = 200, 2000

// pixels checks the longest side of a picture and puts in the default.
func pixels(n int) (int, error) {
	if n == 0 {
		n = 1600
	}
	if n < minPixels || n > maxPixels {
		return 0, &PixelsError{n}
	}
	return n, nil
}

// PNG draws a plan of d for people: the paper that stays, what is cut away in ink, the lines in the styles of their
// roles (ISO 128: cut continuous, mountain dashed and dotted, valley dashed), measures, marks, a legend of the styles
// used and a scale bar, all in the drawing's proportions. Over a photo, the paper that stays is as the photo shows it.
//
// Errors: [ErrEmpty], [*SizeError], [*OutsideError] (of a measure or mark too), [*ShapeError], [*PixelsError], before a
// byte is written, and those of w.
func PNG(w io.Writer, d *Drawing, opts *PNGOptions) error {
	if err := d.check(); err != nil {
		return err
	}
	if opts == nil {
		opts = &PNGOptions{}
	}
	px, err := pixels(opts.Pixels)
	if err != nil {
		return err
	}
	if err := opts.check(d); err != nil {
		return err
	}
	p := newPlan(d, opts, px)
	p.draw()
	return encodePNG(w, p.dc.Image())
}

// check returns an error if a measure or a mark is not on the sheet.
func (o *PNGOptions) check(d *Drawing) error {
	for _, m := range o.Measures {
		for _, c := range []geom.Coord{m.From, m.To} {
			if !d.holds(c) {
				return &OutsideError{Note, placed(c), d.Width, d.Height}
			}
		}
	}
	for _, m := range o.Marks {
		if !d.holds(m.At) || !(m.Radius >= 0 && m.Radius <= d.Width+d.Height) {
			return &OutsideError{Note, placed(m.At), d.Width, d.Height}
		}
	}
	return checkAreas(o.Areas)
}

// holds says whether c is on the sheet.
func (d *Drawing) holds(c geom.Coord) bool {
	return len(c) >= 2 && c[0] >= 0 && c[1] >= 0 && c[0] <= d.Width && c[1] <= d.Height
}

// placed returns c, or where it lacks coordinates a place that is no number.
func placed(c geom.Coord) geom.Coord {
	if len(c) < 2 {
		return geom.Coord{math.NaN(), math.NaN()}
	}
	return c
}

func encodePNG(w io.Writer, img image.Image) error {
	e := png.Encoder{CompressionLevel: png.BestSpeed}
	return e.Encode(w, img)
}
