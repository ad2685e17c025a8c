package paper

import (
	"fmt"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/length"
)

// OffSheetError says that a part would fit on the sheet but not where it was
// put: it reaches over one side's margin by Over mm.
type OffSheetError struct {
	Name  string
	Sheet Size
	Side  string // "left", "right", "top" or "bottom"
	Over  float64
}

func (e *OffSheetError) Error() string {
	return fmt.Sprintf("paper: %s lies %s beyond the %s margin of %s", e.Name, length.MM(e.Over), e.Side, e.Sheet)
}

// PlaceAt lays one part with the top-left corner of its bounds at (x, y) mm on the
// sheet, where the paper happens to lie. It is turned only if it has to be. It
// fails with a *[FitError] or an *[OffSheetError].
func PlaceAt(part *geom.Bounds, s Size, x, y float64, opts *PlaceOptions) (Placement, error) {
	o := opts.orDefault()
	p, room, err := single(part, s, o)
	if err != nil {
		return Placement{}, err
	}
	for _, side := range []struct {
		name string
		over float64
	}{
		{"left", o.Margin - x},
		{"right", x + room.w - (s.Width - o.Margin)},
		{"top", o.Margin - y},
		{"bottom", y + room.h - (s.Height - o.Margin)},
	} {
		if !(side.over <= hair) {
			return Placement{}, &OffSheetError{partName(0, &o), s, side.name, side.over}
		}
	}
	p.X, p.Y = x, y
	return p, nil
}

// Centre lays one part in the middle of the sheet. It is turned only if it has to
// be. It fails with a *[FitError].
func Centre(part *geom.Bounds, s Size, opts *PlaceOptions) (Placement, error) {
	p, room, err := single(part, s, opts.orDefault())
	if err != nil {
		return Placement{}, err
	}
	p.X, p.Y = (s.Width-room.w)/2, (s.Height-room.h)/2
	return p, nil
}

// single places one part somewhere and returns how much room it takes.
func single(part *geom.Bounds, s Size, o PlaceOptions) (Placement, rect, error) {
	if o.Turn { // only if need be
		o.Turn = false
		if p, r, err := single(part, s, o); err == nil {
			return p, r, nil
		}
		o.Turn = true
	}
	ps, err := Place([]*geom.Bounds{part}, s, &o)
	if err != nil {
		return Placement{}, rect{}, err
	}
	r := rect{w: part.Max(0) - part.Min(0), h: part.Max(1) - part.Min(1)}
	if ps[0].Turned {
		r.w, r.h = r.h, r.w
	}
	return ps[0], r, nil
}
