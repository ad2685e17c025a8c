package stencil

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/twpayne/go-geom"
)

// Kind is what is wrong at a place.
type Kind int

// The kinds of fault.
const (
	// Island is paper that nothing holds: cut area lies all round it, or cuts
	// it off at the sheet's edge. It falls out.
	Island Kind = iota
	// ThinWeb is a strip of paper between two cut areas, or a cut area and the
	// sheet's edge, that is narrower than the stock bears.
	ThinWeb
	// WeakNeck is a place that all by itself holds a part of the paper which
	// reaches so far that a snag at its end tears the place.
	WeakNeck
	// Tongue is a strip of paper that hangs on one end and is so long that it
	// sags, or so slender that it catches.
	Tongue
	// FoldWeb is paper between a cut area and a fold that is too narrow to fold
	// cleanly.
	FoldWeb
	// SmallCut is a cut area too small to be cut and lifted out.
	SmallCut
)

var kinds = [...]string{"island", "thin web", "weak neck", "tongue", "web to the fold", "small cut area"}

// String is the kind in words.
func (k Kind) String() string {
	if k < 0 || int(k) >= len(kinds) {
		return fmt.Sprintf("Kind(%d)", int(k))
	}
	return kinds[k]
}

// Fault is a place where the paper will not hold or will need care. Quantities that
// say nothing about a kind are zero. Lengths are in mm, areas in mm².
type Fault struct {
	Kind    Kind
	At      geom.Coord    // where: inside the island or cut area, otherwise the middle of the narrow place
	Across  [2]geom.Coord // the ends of the narrow place, for kinds that have a width
	Width   float64       // of the paper at its narrowest; exact for the polygons given
	Need    float64       // the width, reach or area that would do
	Length  float64       // of the stretch of a thin web or web to a fold that is too narrow
	Area    float64       // of the island or cut area, or of what hangs on the place alone
	Reach   float64       // how far what hangs on the place alone reaches from it
	Single  bool          // nothing but this place holds the part that hangs on it
	Caution bool          // it may well hold, but wants care in cutting and lifting
	Shape   *geom.Polygon // the island, or what hangs on the place alone; nil for other faults

	off int32 // triangle below which hangs what hangs on the place alone
}

// String says what is wrong, where and how much.
func (f Fault) String() string {
	x, y := f.At[0], f.At[1]
	switch f.Kind {
	case Island:
		return fmt.Sprintf("island of %.1f mm² at (%.1f, %.1f), held by nothing", f.Area, x, y)
	case ThinWeb:
		return fmt.Sprintf("web %.2f mm wide at (%.1f, %.1f), need %.2f", f.Width, x, y, f.Need)
	case WeakNeck:
		return fmt.Sprintf("neck %.2f mm wide at (%.1f, %.1f) holds all of %.0f mm² that reach %.0f mm, need %.2f",
			f.Width, x, y, f.Area, f.Reach, f.Need)
	case Tongue:
		return fmt.Sprintf("tongue %.0f mm long and %.2f wide at (%.1f, %.1f), need at most %.0f mm", f.Reach, f.Width, x, y, f.Need)
	case FoldWeb:
		return fmt.Sprintf("web to the fold %.2f mm wide at (%.1f, %.1f), need %.2f", f.Width, x, y, f.Need)
	case SmallCut:
		return fmt.Sprintf("cut area of %.2f mm² at (%.1f, %.1f), need %.2f to lift it out", f.Area, x, y, f.Need)
	}
	return fmt.Sprintf("%v at (%.1f, %.1f)", f.Kind, x, y)
}

// strain says how soon a place tears: what hangs there, times how far it reaches,
// over the square of the width, as bending sets the limit and not pull.
func (f Fault) strain() float64 {
	w := math.Max(f.Width, hold)
	if f.Single || f.Kind == Tongue {
		return f.Reach * f.Area / (w * w)
	}
	return f.Length * f.Length / w
}

// rank puts first what falls out, then what will tear, then what wants care, and
// within these what is largest or most strained.
func rank(faults []Fault) {
	group := func(f Fault) int {
		switch {
		case f.Kind == Island:
			return 0
		case f.Kind == SmallCut:
			return 3
		case f.Caution:
			return 2
		}
		return 1
	}
	slices.SortStableFunc(faults, func(a, b Fault) int {
		size := func(f Fault) float64 {
			if f.Kind == Island || f.Kind == SmallCut {
				return f.Area
			}
			return f.strain()
		}
		return cmp.Or(
			cmp.Compare(group(a), group(b)),
			cmp.Compare(size(b), size(a)),
			cmp.Compare(a.At[1], b.At[1]),
			cmp.Compare(a.At[0], b.At[0]),
		)
	})
}
