package main

import (
	"fmt"
	"image"
	"io"
	"math"
	"strings"

	"example.org/kerfleaf/internal/length"
	"example.org/kerfleaf/paper"
	"example.org/kerfleaf/trace"
	"github.com/twpayne/go-geom"
	"golang.org/x/image/draw"
	"golang.org/x/image/math/f64"
)

// A photoSheet is a sheet as a photo shows it, for a part to be laid on.
type photoSheet struct {
	photo  *trace.Picture
	report *trace.Report
	flat   *trace.Picture     // seen from straight above
	size   paper.Size         // as it lies in the photo
	usable *geom.MultiPolygon // of a scrap on it; nil: the whole sheet
	inset  float64            // mm inside the scrap's edge that usable keeps
}

// laid reports whether a part is to be laid on a photographed sheet.
func (s *settings) laid() bool { return s.sheetPath() != "" }

func (s *settings) sheetPath() string { return s.scrap + s.paperPhoto } // one of them is empty

// sheetKind is what lies in the picture, in names of files.
func (s *settings) sheetKind() string {
	if s.scrap != "" {
		return "scrap"
	}
	return "paper"
}

// leastInset is how far inside a scrap's edge a part keeps, as a share of the
// sheet's longer side: trace.FindScrap knows the edge to 0.3 %.
const leastInset = 1.0 / 297

// readSheet finds the sheet in its photo, and the scrap on it.
func (s *settings) readSheet() (*photoSheet, error) {
	path := s.sheetPath()
	corners := s.corners[strings.Index(s.corners, "+")+1:]
	opts, err := s.photoOptions(s.sheetPhoto(), corners)
	if err != nil {
		return nil, err
	}
	ps := &photoSheet{}
	if ps.photo, err = s.openPicture(path, true); err != nil {
		return nil, err
	}
	if ps.photo.Colours == nil {
		return nil, fmt.Errorf("%s is a drawing, not a photo of a sheet", path)
	}
	if ps.flat, ps.report, err = ps.photo.Flatten(opts); err != nil {
		return nil, fmt.Errorf("%s: %w", path, nameCorners(err))
	}
	if ps.size, err = paper.ParseSize(s.sheetPhoto()); err != nil {
		return nil, usageError{fmt.Errorf("--photo: %w", err)}
	}
	if at := ps.flat.Gray.Rect; (at.Dx() > at.Dy()) != (ps.size.Width > ps.size.Height) {
		ps.size = ps.size.Turned()
	}
	if s.scrap == "" {
		return ps, nil
	}
	ps.inset = max(s.place.edge.mm, leastInset*max(ps.size.Width, ps.size.Height))
	if ps.usable, err = trace.FindScrap(ps.flat, ps.inset); err != nil {
		return nil, fmt.Errorf("%s: %w; lay it on a plain sheet that is lighter or darker than its edge", path, err)
	}
	ps.report.Steps = append(ps.report.Steps, trace.Step{Name: "find the scrap", Ran: true,
		Why: fmt.Sprintf("%.0f mm² that stand out from the sheet, with %s kept all round", ps.usable.Area(), length.MM(ps.inset))})
	return ps, nil
}

// seen is what the photo shows of a rectangle of w x h mm, long pixels along its
// longer side; move takes its points to the sheet.
func (ps *photoSheet) seen(w, h float64, long int, move motion) *image.RGBA {
	mm := max(w, h) / float64(long) // of a pixel
	out := image.NewRGBA(image.Rect(0, 0, max(1, int(math.Round(w/mm))), max(1, int(math.Round(h/mm)))))
	from, back := ps.flat.Colours, move.back()
	at := func(x, y float64) (float64, float64) {
		x, y = back(x*ps.flat.MMPerPixel, y*ps.flat.MMPerPixel)
		return x / mm, y / mm
	}
	x0, y0 := at(0, 0)
	x1, y1 := at(1, 0)
	x2, y2 := at(0, 1)
	draw.CatmullRom.Transform(out, f64.Aff3{x1 - x0, x2 - x0, x0, y1 - y0, y2 - y0, y0}, from, from.Rect, draw.Src, nil)
	return out
}

// explain draws what was understood of the photo.
func (ps *photoSheet) explain(w io.Writer) error {
	return quickPNG.Encode(w, ps.report.Explain(ps.photo, ps.flat))
}

// steps are what was done to find the sheet, and why.
func (ps *photoSheet) steps() []string {
	var out []string
	for _, step := range ps.report.Steps {
		out = append(out, step.String())
	}
	return out
}
