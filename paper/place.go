package paper

import (
	"fmt"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/length"
)

// Grain is the direction in which most of a paper's fibres lie, seen on a sheet or
// asked for on a part.
type Grain int

const (
	AnyGrain    Grain = iota // not known, or of no matter
	AlongWidth               // fibres run along x
	AlongHeight              // fibres run along y
)

// PlaceOptions tells how parts may lie. Lengths are in mm.
type PlaceOptions struct {
	Margin  float64  // free strip along every edge of the sheet; default 0
	Spacing float64  // least distance between two parts; default 0
	Turn    bool     // parts may be turned a quarter, as far as their grain leaves it open
	Names   []string // of the parts, for error messages; default: their numbers from 1

	// Grain is the sheet's, Grains are what the parts ask for. Where both are known
	// the part lies so that they agree, turned if need be, whatever Turn says.
	// Default: of no matter.
	Grain  Grain
	Grains []Grain
}

func (o *PlaceOptions) orDefault() PlaceOptions {
	if o == nil {
		return PlaceOptions{}
	}
	return *o
}

// ways tells how part i may lie.
func (o *PlaceOptions) ways(i int) (upright, turned bool) {
	if i < len(o.Grains) && o.Grains[i] != AnyGrain && o.Grain != AnyGrain {
		return o.Grains[i] == o.Grain, o.Grains[i] != o.Grain
	}
	return true, o.Turn
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
	o := opts.orDefault()
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
	items := make([]item, len(parts))
	for i, p := range parts {
		w, h := p.Max(0)-p.Min(0), p.Max(1)-p.Min(1)
		if !(w >= 0 && h >= 0 && w <= longest && h <= longest) {
			return nil, fmt.Errorf("paper: %s has no size", partName(i, &o))
		}
		items[i].w, items[i].h = w+o.Spacing, h+o.Spacing
		items[i].upright, items[i].turned = o.ways(i)
		if !items[i].fits(room) {
			return nil, fitError(i, w, h, s, &o)
		}
	}
	best := pack(items, room)
	out := make([]Placement, len(parts))
	for i, b := range best {
		out[i] = Placement{Part: i, Sheet: b.sheet, X: o.Margin + b.x, Y: o.Margin + b.y, Turned: b.turned}
	}
	return out, nil
}

// item is a part to be placed, w by h, and how it may lie.
type item struct {
	w, h            float64
	upright, turned bool
}

func (p item) fits(room rect) bool {
	return p.upright && p.w <= room.w && p.h <= room.h || p.turned && p.h <= room.w && p.w <= room.h
}

func partName(i int, o *PlaceOptions) string {
	if i < len(o.Names) {
		return o.Names[i]
	}
	return fmt.Sprint("part ", i+1)
}

// fitError reports the way round that lacks less.
func fitError(i int, w, h float64, s Size, o *PlaceOptions) error {
	e := &FitError{Part: i, Name: partName(i, o), Width: w, Height: h, Sheet: s, Margin: o.Margin}
	over := func(w, h float64) (x, y float64) {
		return max(0, w+2*o.Margin-s.Width), max(0, h+2*o.Margin-s.Height)
	}
	upright, turned := o.ways(i)
	e.TooWide, e.TooHigh = over(w, h)
	if x, y := over(h, w); turned && (!upright || x+y < e.TooWide+e.TooHigh) {
		e.TooHigh, e.TooWide = x, y // seen on the part as it was given
	}
	e.Smallest = smallestFor(item{w, h, true, true}, s, o.Margin)
	return e
}

// smallestFor returns the smallest named sheet that holds the part, of the same
// series as s if one does.
func smallestFor(part item, s Size, margin float64) *Size {
	var best *Size
	rank := func(k *Size) float64 {
		if series(k.Name) != series(s.Name) {
			return longest*longest + k.Width*k.Height
		}
		return k.Width * k.Height
	}
	for _, k := range Sizes() {
		room := rect{w: k.Width - 2*margin + hair, h: k.Height - 2*margin + hair}
		if part.fits(room) && (best == nil || rank(&k) < rank(best)) {
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
