// Package offset grows and shrinks cut areas: a margin, a bolder drawing, the
// path of a tool that removes a kerf.
//
// Areas are MultiPolygons of layout XY in millimetres, x right and y down,
// rings closed, outer rings of positive Area() and holes negative. Growing by d
// adds every point closer than d to the area, shrinking by d keeps every point
// that is further than d from its outside; the joins of Options say what happens
// around corners. Inputs are never changed, results are valid and the same to
// the byte on any machine and number of cores.
package offset

import (
	"fmt"
	"math"

	"github.com/twpayne/go-geom"
)

// Join is how the moved edges are joined around a corner that they part at: an
// outward corner of the area when growing, an inward one when shrinking.
type Join int

// The joins.
const (
	// Round follows the circle around the corner: no point of the result is
	// further than the distance from the area.
	Round Join = iota
	// Miter prolongs the edges until they meet, but no further from the
	// corner than MiterLimit times the distance: there the tip is cut off
	// square.
	Miter
	// Bevel joins the ends of the moved edges by a straight line.
	Bevel
)

// DefaultTolerance is the bound on the error of round joins, in millimetres,
// where Options give none.
const DefaultTolerance = 0.01

// DefaultMiterLimit is the reach of a mitre as a multiple of the distance where
// Options give none: that of strokes in SVG 2. Corners sharper than 29 degrees
// lose their tip.
const DefaultMiterLimit = 4

// Options say how Polygons joins edges. The zero value, like nil, gives round
// joins within 0.01 mm.
type Options struct {
	// Join is Round unless set.
	Join Join
	// MiterLimit bounds how far the tip of a Miter join lies from its corner,
	// as a multiple of the distance: 1 to 100, default 4.
	MiterLimit float64
	// Tolerance bounds how far the chords of a Round join run from the true
	// circle, in millimetres: 0.000001 to 1000, default 0.01. Corners of the
	// result lie on the true curve.
	Tolerance float64
}

// InputError says what makes an area unfit to be offset and where.
type InputError struct {
	Ring   int     // index over all rings, polygon by polygon
	X, Y   float64 // in mm
	Reason string
}

func (e *InputError) Error() string {
	return fmt.Sprintf("offset: ring %d at (%.6g, %.6g): %s", e.Ring, e.X, e.Y, e.Reason)
}

// settings are Options with defaults filled in.
type settings struct {
	join             Join
	limit, tolerance float64
}

func (o *Options) settings() (settings, error) {
	s := settings{Round, DefaultMiterLimit, DefaultTolerance}
	if o == nil {
		return s, nil
	}
	if o.Join < Round || o.Join > Bevel {
		return s, fmt.Errorf("offset: unknown join %d", o.Join)
	}
	s.join = o.Join
	if o.MiterLimit != 0 {
		if !(o.MiterLimit >= 1 && o.MiterLimit <= 100) {
			return s, fmt.Errorf("offset: miter limit %g, need 1 to 100", o.MiterLimit)
		}
		s.limit = o.MiterLimit
	}
	if o.Tolerance != 0 {
		if !(o.Tolerance >= 1e-6 && o.Tolerance <= 1e3) {
			return s, fmt.Errorf("offset: tolerance %g mm, need 0.000001 to 1000", o.Tolerance)
		}
		s.tolerance = o.Tolerance
	}
	return s, nil
}

// Polygons returns mp grown by distance millimetres, or shrunk where distance is
// negative. Rings that meet merge, necks that close split their polygon, and what
// is too small vanishes: the result may be empty.
//
// Every point of the result lies within Tolerance of the true curve, the set of
// points at distance from mp (with Miter and Bevel joins, of what the joins make
// of it), and every ring of that whose area is more than Tolerance² is there.
// Points closer than 1e-9 mm count as one. Its time and memory grow with the
// number of vertices, and little with a distance of up to some tens of times the
// vertices' spacing.
//
// A Bevel that is partly covered by something else goes straight between the
// ends of what is left of the circle.
//
// Spikes, repeated points and rings without area are dropped; where rings cross
// or overlap, what they wind around more than zero times counts as the area. A
// ring that is not closed, an outer ring of negative or a hole of positive area, a
// coordinate that is not finite or beyond 1e9 mm gives an *InputError.
func Polygons(mp *geom.MultiPolygon, distance float64, opts *Options) (*geom.MultiPolygon, error) {
	s, err := opts.settings()
	if err != nil {
		return nil, err
	}
	if !(math.Abs(distance) <= 1e6) {
		return nil, fmt.Errorf("offset: distance %g mm, need -1000000 to 1000000", distance)
	}
	return polygons(mp, distance, s)
}
