// Package stencil tells whether a cut-out will hold together, and mends it.
//
// Cut areas are multipolygons in millimetres, x right and y down, rings closed,
// outer rings of positive Area and holes of negative, valid and never changed. What
// the sheet has left when they are gone is paper. Paper that meets at a corner only
// has no width there and does not hold.
package stencil

import (
	"fmt"

	"github.com/twpayne/go-geom"
)

// Kind is what is wrong at a place.
type Kind int

// The kinds of fault.
const (
	// Island is paper that nothing holds: cut area lies all round it, or cuts
	// it off at the sheet's edge. It falls out.
	Island Kind = iota
)

// String is the kind in words.
func (k Kind) String() string {
	if k == Island {
		return "island"
	}
	return fmt.Sprintf("Kind(%d)", int(k))
}

// Fault is a place where the paper will not hold.
type Fault struct {
	Kind Kind
	At   geom.Coord // where, in mm; inside the paper
	Area float64    // of the paper concerned, in mm²
}

// String says what is wrong, where and how much.
func (f Fault) String() string {
	return fmt.Sprintf("%v of %.1f mm² at (%.1f, %.1f), held by nothing", f.Kind, f.Area, f.At[0], f.At[1])
}

// Options are the limits that Check measures by.
type Options struct{}

// Check lists what will not hold when the cut areas are cut out of the sheet, the
// worst first. Paper holds if it hangs together with the frame: the piece that has
// most of the sheet's edge. Cut areas may reach beyond the sheet, which cuts them
// off. It fails if edges of the cut areas cross, a coordinate is not finite or no
// paper would be left.
func Check(cut *geom.MultiPolygon, sheet *geom.Bounds, opts *Options) ([]Fault, error) {
	if sheet == nil {
		return nil, fmt.Errorf("stencil: no sheet to cut from")
	}
	p, err := newPlane(cut, sheet)
	if err != nil {
		return nil, err
	}
	s := p.pieces(p.passages())
	if s.frame < 0 {
		return nil, fmt.Errorf("stencil: the cut areas leave no paper on the sheet")
	}
	var faults []Fault
	for _, i := range s.loose() {
		q := s.list[i]
		faults = append(faults, Fault{Kind: Island, At: q.in.coord(), Area: q.area})
	}
	return faults, nil
}
