package proof

import (
	"fmt"
	"math"

	"github.com/twpayne/go-geom"
)

// scaleError is by how much two lengths may differ and still count as the same size.
const scaleError = 0.005

// ratios are those by which drawings change their size on the way from program to program: px of 72, 90 or 96 to the inch taken for one another,
// and units taken for others.
var ratios = []struct {
	ratio float64
	why   string
}{
	{72.0 / 96, "written at 72 to the inch and read at 96"}, {96.0 / 72, "written at 96 to the inch and read at 72"},
	{90.0 / 96, "written at 90 to the inch and read at 96"}, {96.0 / 90, "written at 96 to the inch and read at 90"},
	{72.0 / 90, "written at 72 to the inch and read at 90"}, {90.0 / 72, "written at 90 to the inch and read at 72"},
	{25.4, "millimetres taken for inches"}, {1 / 25.4, "inches taken for millimetres"},
	{10, "millimetres taken for centimetres"}, {0.1, "centimetres taken for millimetres"},
	{96 / 25.4, "px of 1/96 in taken for millimetres"}, {25.4 / 96, "millimetres taken for px of 1/96 in"},
	{72 / 25.4, "points of 1/72 in taken for millimetres"}, {25.4 / 72, "millimetres taken for points of 1/72 in"},
}

// scale claims that the closed cuts are as large as they should be. How exactly they are where they should be is for the comparison with a design to
// say; here a sharp corner may end a kerf further out.
func (r *run) scale() {
	w, h := r.opts.Width, r.opts.Height
	grown := 0.0
	if r.wanted != nil {
		if r.wanted.Empty() {
			return
		}
		grown = r.kerf
		if r.opts.Reading == Openings {
			grown = -r.kerf
		}
		b := r.wanted.Bounds()
		w, h = b.Max(0)-b.Min(0), b.Max(1)-b.Min(1)
	}
	if w == 0 && h == 0 || len(r.closed) == 0 {
		return
	}
	b := geom.NewBounds(geom.XY)
	for _, t := range r.closed {
		b.Extend(geom.NewLineStringFlat(geom.XY, t.pts))
	}
	gotW, gotH := b.Max(0)-b.Min(0)-grown, b.Max(1)-b.Min(1)-grown
	fits := func(got, want float64) bool {
		return want == 0 || math.Abs(got-want) <= max(scaleError*want, 2*r.kerf)
	}
	text := fmt.Sprintf("%.2f x %.2f mm", gotW, gotH)
	if fits(gotW, w) && fits(gotH, h) {
		r.claim(true, nil, "it is as large as it should be: %s", text)
		return
	}
	text = "it measures " + text
	switch {
	case w == 0:
		text += fmt.Sprintf(" and should be %.2f mm high", h)
	case h == 0:
		text += fmt.Sprintf(" and should be %.2f mm wide", w)
	default:
		text += fmt.Sprintf(" and should measure %.2f x %.2f", w, h)
	}
	for _, s := range ratios {
		if fits(gotW/s.ratio, w) && fits(gotH/s.ratio, h) {
			text += fmt.Sprintf(", which is %.4f times that: probably %s", s.ratio, s.why)
			break
		}
	}
	r.claim(false, nil, "%s", text)
}
