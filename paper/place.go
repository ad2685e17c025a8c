package paper

import (
	"fmt"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/length"
)

// PlaceOptions tells how parts may lie. Lengths are in mm.
type PlaceOptions struct {
	Margin  float64  // free strip along every edge of the sheet; default 0
	Spacing float64  // least distance between two parts; default 0
	Turn    bool     // parts may be turned a quarter; leave it off where the grain has to run one way
	Names   []string // of the parts, for error messages; default: their numbers from 1
}

// Placement says where one part lies: the top-left corner of its bounds on its
// sheet, in mm.
type Placement struct {
	Part   int // index into the parts given
	Sheet  int // from 0
	X, Y   float64
	Turned bool // a quarter turn clockwise, as seen
}

// Move returns the map from the part's own frame to the sheet. It turns and
// shifts, and never mirrors.
func (p Placement) Move(part *geom.Bounds) func(x, y float64) (float64, float64) {
	x0, y0, h := part.Min(0), part.Min(1), part.Max(1)-part.Min(1)
	if p.Turned {
		return func(x, y float64) (float64, float64) { return p.X + h - (y - y0), p.Y + x - x0 }
	}
	return func(x, y float64) (float64, float64) { return p.X + x - x0, p.Y + y - y0 }
}

// FitError says which part is larger than what the sheet has to give, and by how
// much, in mm.
type FitError struct {
	Part             int
	Name             string
	Width, Height    float64 // of the part
	Sheet            Size
	Margin           float64
	TooWide, TooHigh float64 // 0 where that side fits
	Turn             bool    // the part was tried both ways round
	Smallest         *Size   // the smallest named sheet that it would fit on, or nil
}

func (e *FitError) Error() string {
	over := ""
	switch {
	case e.TooWide > 0 && e.TooHigh > 0:
		over = length.MM(e.TooWide) + " too wide and " + length.MM(e.TooHigh) + " too high"
	case e.TooWide > 0:
		over = length.MM(e.TooWide) + " too wide"
	default:
		over = length.MM(e.TooHigh) + " too high"
	}
	margin := ""
	if e.Margin > 0 {
		margin = " with margins of " + length.MM(e.Margin)
	}
	hint := ""
	if e.Smallest != nil {
		hint = "; it would fit on " + e.Smallest.Name
	}
	return fmt.Sprintf("paper: %s, %s x %s, does not fit on %s%s: %s%s",
		e.Name, trimMM(e.Width), length.MM(e.Height), e.Sheet, margin, over, hint)
}

// hair is how far a part may reach beyond a sheet's edge or spacing and still
// fit: two lids of 5 1/2 in fill 11 in of paper although binary numbers are
// not exact.
const hair = 1e-6

// Place lays rectangles (bounds in mm; their position is ignored) on as few
// sheets as it can find, none overlapping, none outside the margins. It returns
// one Placement for each part in the parts' order, sheets numbered from 0, the
// first the fullest. The same input gives the same answer. The number of sheets is
// proven to be the least when it equals what the parts' areas and the parts that
// exclude each other demand; otherwise, finding it being a hard problem, it may be
// one more than possible.
//
// It fails with a *[FitError] for a part that no sheet can hold.
func Place(parts []*geom.Bounds, s Size, opts *PlaceOptions) ([]Placement, error) {
	var o PlaceOptions
	if opts != nil {
		o = *opts
	}
	for _, v := range []struct {
		what string
		v    float64
		ok   bool
	}{
		{"sheet width", s.Width, s.Width > 0},
		{"sheet height", s.Height, s.Height > 0},
		{"margin", o.Margin, o.Margin >= 0},
		{"spacing", o.Spacing, o.Spacing >= 0},
	} {
		if !v.ok || v.v > longest {
			return nil, fmt.Errorf("paper: %s %s is not possible", v.what, length.MM(v.v))
		}
	}
	// every part and the room for all grow by the spacing, so that parts may touch
	room := rect{w: s.Width - 2*o.Margin + o.Spacing + hair, h: s.Height - 2*o.Margin + o.Spacing + hair}
	items := make([]rect, len(parts))
	for i, p := range parts {
		w, h := p.Max(0)-p.Min(0), p.Max(1)-p.Min(1)
		if !(w >= 0 && h >= 0 && w <= longest && h <= longest) {
			return nil, fmt.Errorf("paper: %s has no size", partName(i, &o))
		}
		items[i] = rect{w: w + o.Spacing, h: h + o.Spacing}
		if !fits(items[i], room, o.Turn) {
			return nil, fitError(i, w, h, s, &o)
		}
	}
	best := pack(items, room, o.Turn)
	out := make([]Placement, len(parts))
	for i, b := range best {
		out[i] = Placement{Part: i, Sheet: b.sheet, X: o.Margin + b.x, Y: o.Margin + b.y, Turned: b.turned}
	}
	return out, nil
}

func fits(part, room rect, turn bool) bool {
	return part.w <= room.w && part.h <= room.h || turn && part.h <= room.w && part.w <= room.h
}

func partName(i int, o *PlaceOptions) string {
	if i < len(o.Names) {
		return o.Names[i]
	}
	return fmt.Sprint("part ", i+1)
}

// fitError reports the way round that lacks less.
func fitError(i int, w, h float64, s Size, o *PlaceOptions) error {
	e := &FitError{Part: i, Name: partName(i, o), Width: w, Height: h, Sheet: s, Margin: o.Margin, Turn: o.Turn}
	over := func(w, h float64) (x, y float64) {
		return max(0, w+2*o.Margin-s.Width), max(0, h+2*o.Margin-s.Height)
	}
	e.TooWide, e.TooHigh = over(w, h)
	if x, y := over(h, w); o.Turn && x+y < e.TooWide+e.TooHigh {
		e.TooHigh, e.TooWide = x, y // seen on the part as it was given
	}
	e.Smallest = smallestFor(rect{w: w, h: h}, s, o.Margin)
	return e
}

// smallestFor returns the smallest named sheet that holds the part, of the same
// series as s if one does.
func smallestFor(part rect, s Size, margin float64) *Size {
	var best *Size
	rank := func(k *Size) float64 {
		if series(k.Name) != series(s.Name) {
			return longest*longest + k.Width*k.Height
		}
		return k.Width * k.Height
	}
	for _, k := range Sizes() {
		room := rect{w: k.Width - 2*margin + hair, h: k.Height - 2*margin + hair}
		if fits(part, room, true) && (best == nil || rank(&k) < rank(best)) {
			best = &k
		}
	}
	return best
}

// series is "a" or "b" for a size of ISO 216, else "".
func series(name string) string {
	if len(name) > 1 && (name[0] == 'a' || name[0] == 'b') && name[1] >= '0' && name[1] <= '9' {
		return name[:1]
	}
	return ""
}
