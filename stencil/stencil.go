// Package stencil tells whether a cut-out will hold together, and mends it.
//
// Cut areas are multipolygons in millimetres, x right and y down, rings closed,
// outer rings of positive Area and holes of negative, valid and never changed. What
// the sheet has left when they are gone is paper. Paper that meets at a corner only
// has no width there and does not hold; nor does paper narrower than 0.01 mm.
package stencil

import (
	"errors"
	"fmt"
	"math"

	"github.com/twpayne/go-geom"
)

// Options are the limits that Check measures by. Zero fields have their defaults,
// which suit card of 200 to 250 g/m² cut with a knife (common practice, no source).
type Options struct {
	// MinWeb is the width in mm below which a web tears. Default 0.8.
	MinWeb float64
	// Caution is the width in mm below which a web wants care. Default 1.25
	// times MinWeb.
	Caution float64
	// Snag is the sideways pull in newtons that the end of a part must bear
	// that hangs on one neck only. Default 0.05.
	Snag float64
	// Strength of the paper in newtons a mm of width, in its weaker direction:
	// tensile index in N·m/g times g/m² over 1000. Default 5.5, which is
	// 25 N·m/g (from memory) at 220 g/m².
	Strength float64
	// Sag is the length in mm beyond which a free tongue sags. Default 60.
	Sag float64
	// MinCut is the diameter in mm of the smallest disc that can be cut and
	// lifted out; smaller areas are reported. Default 1.5; negative for none.
	MinCut float64
	// Fold are the lines to fold on: the sides of a rectangle. Default: none.
	Fold *geom.Bounds
	// MinFold is the least width in mm of paper between a cut area and a fold.
	// Default 3 (a die-maker's rule for parallel lines).
	MinFold float64
}

func (o *Options) filled() (Options, error) {
	f := Options{}
	if o != nil {
		f = *o
	}
	for _, v := range []struct {
		name  string
		value *float64
		usual float64
	}{
		{"MinWeb", &f.MinWeb, 0.8},
		{"Snag", &f.Snag, 0.05},
		{"Strength", &f.Strength, 5.5},
		{"Sag", &f.Sag, 60},
		{"MinFold", &f.MinFold, 3},
	} {
		if *v.value == 0 {
			*v.value = v.usual
		}
		if !(*v.value > 0) || math.IsInf(*v.value, 0) {
			return f, fmt.Errorf("stencil: %s is %g, need more than 0", v.name, *v.value)
		}
	}
	if f.Caution == 0 {
		f.Caution = 1.25 * f.MinWeb
	}
	if f.MinCut == 0 {
		f.MinCut = 1.5
	}
	if !(f.Caution >= f.MinWeb) || math.IsInf(f.Caution, 0) || math.IsNaN(f.MinCut) {
		return f, fmt.Errorf("stencil: Caution is %g, need at least MinWeb, %g", f.Caution, f.MinWeb)
	}
	return f, nil
}

// ErrNoPaper says that the cut areas take the whole sheet.
var ErrNoPaper = errors.New("stencil: the cut areas leave no paper on the sheet")

// Check lists what will not hold when the cut areas are cut out of the sheet, the
// worst first: what falls out, then what will tear, in the order of what hangs on
// it times how far that reaches over the square of the width, then what wants care.
//
// Paper holds if it hangs together with the frame: the piece that has most of the
// sheet's edge. Cut areas may reach beyond the sheet, which cuts them off. Check
// fails if edges of the cut areas cross, a coordinate is not finite or no paper is
// left (ErrNoPaper).
func Check(cut *geom.MultiPolygon, sheet *geom.Bounds, opts *Options) ([]Fault, error) {
	o, err := opts.filled()
	if err != nil {
		return nil, err
	}
	s, err := surveyOf(cut, sheet, o.Caution)
	if err != nil {
		return nil, err
	}
	faults := s.islands()
	faults = append(faults, s.thinWebs(o)...)
	faults = append(faults, s.weakNecks(o)...)
	faults = append(faults, s.longTongues(o)...)
	faults = append(faults, foldWebs(cut, o)...)
	faults = append(faults, smallCuts(cut, o)...)
	rank(faults)
	s.shapes(faults)
	return faults, nil
}

// surveyOf measures the paper that the cut areas leave of the sheet, all along the
// places that are narrower than limit.
func surveyOf(cut *geom.MultiPolygon, sheet *geom.Bounds, limit float64) (*survey, error) {
	if sheet == nil {
		return nil, errors.New("stencil: no sheet to cut from")
	}
	p, err := newPlane(cut, sheet)
	if err != nil {
		return nil, err
	}
	p.divide(limit)
	s := p.survey()
	if s.pieces.frame < 0 {
		return nil, ErrNoPaper
	}
	return s, nil
}
