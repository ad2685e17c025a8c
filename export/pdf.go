package export

import (
	"fmt"
	"io"
	"slices"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/font/gofont/goregular"
)

// Grain is the direction in which most of the paper's fibres lie.
type Grain int

// The directions of the grain on a sheet.
const (
	UnknownGrain Grain = iota // no arrow is printed
	AlongWidth                // fibres run along x
	AlongHeight               // fibres run along y
)

// PDFOptions are the choices of [PDF]; nil stands for the defaults. Lengths are in mm.
type PDFOptions struct {
	Title string   // on every page and of the document; default none
	Notes []string // small print at the foot of the first page; default none
	Grain Grain    // default UnknownGrain

	Curves float64 // as for SVGOptions; default 0, straight lines only

	// PageWidth and PageHeight are the paper in the printer, upright; default A4 (ISO 216), 210 x 297. It may be
	// turned.
	PageWidth, PageHeight float64
	Border                float64 // what the printer cannot reach on each side of a page; default 8
	Overlap               float64 // least strip that neighbouring pages share; default 12
}

// PageError is returned for pages that leave no room to print on, or of which more than a thousand would be needed.
type PageError struct {
	Width, Height float64 // of the page, mm
	Problem       string
}

func (e *PageError) Error() string {
	return fmt.Sprintf("export: a page of %g x %g mm %s", e.Width, e.Height, e.Problem)
}

// maxPages is where a print pattern stops being one.
const maxPages = 1000

func (o *PDFOptions) withDefaults() (PDFOptions, error) {
	var p PDFOptions
	if o != nil {
		p = *o
	}
	p.Title = printable(p.Title)
	p.Notes = slices.Clone(p.Notes)
	for i, s := range p.Notes {
		p.Notes[i] = printable(s)
	}
	for _, f := range []struct {
		field    *float64
		standard float64
	}{{&p.PageWidth, 210}, {&p.PageHeight, 297}, {&p.Border, 8}, {&p.Overlap, 12}} {
		if *f.field == 0 {
			*f.field = f.standard
		}
	}
	fault := func(problem string) error { return &PageError{p.PageWidth, p.PageHeight, problem} }
	switch {
	case !(p.PageWidth > 0 && p.PageWidth <= maxSide && p.PageHeight > 0 && p.PageHeight <= maxSide):
		return p, fault("cannot be printed on")
	case !(p.Border >= 0 && p.Overlap >= 0):
		return p, fault(fmt.Sprintf("cannot have a border of %g mm and an overlap of %g mm", p.Border, p.Overlap))
	case min(p.PageWidth, p.PageHeight)-2*p.Border < 70:
		return p, fault(fmt.Sprintf("with a border of %g mm leaves less than 70 mm to print on", p.Border))
	}
	return p, nil
}

// PDF writes d as a pattern to print at its true size and cut by hand: lines in the styles of their roles (ISO 128: cut
// continuous, mountain dashed and dotted, valley dashed, all in black), a bar of 50 mm and one of 2 in on every page,
// which prove that the printer kept the size, a legend, which side is up and an arrow along the grain. What is larger
// than a page is spread over several that overlap, with crosses to lay on one another; pages turn if that saves some,
// and those without a line are left out. Lines are written in whole micrometres; one unit of a page is 1/72 in (ISO
// 32000).
//
// Errors: [ErrEmpty], [*SizeError], [*OutsideError], [*ShapeError], [*PageError], before a byte is written, and those
// of w.
func PDF(w io.Writer, d *Drawing, opts *PDFOptions) error {
	if err := d.check(); err != nil {
		return err
	}
	o, err := opts.withDefaults()
	if err != nil {
		return err
	}
	if err := checkCurves(o.Curves); err != nil {
		return err
	}
	p, err := newPattern(d, o)
	if err != nil {
		return err
	}
	p.draw()
	return p.pdf.Output(w)
}

// newDocument is an empty document of pages of the given size in mm, equal to the byte whenever and wherever it is
// made.
func newDocument(width, height float64, title string) *fpdf.Fpdf {
	pdf := fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "mm", Size: fpdf.SizeType{Wd: width, Ht: height}})
	pdf.SetCreationDate(time.Unix(0, 0).UTC())
	pdf.SetModificationDate(time.Unix(0, 0).UTC())
	pdf.SetCatalogSort(true)
	pdf.SetProducer("kerfleaf", false)
	pdf.SetTitle(title, true)
	pdf.SetMargins(0, 0, 0)
	pdf.SetAutoPageBreak(false, 0)
	pdf.AddUTF8FontFromBytes("regular", "", goregular.TTF)
	pdf.AddUTF8FontFromBytes("medium", "", gomedium.TTF)
	return pdf
}
