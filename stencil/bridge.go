package stencil

import (
	"fmt"
	"math"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/region"
)

// BridgeOptions tell how islands are tied.
type BridgeOptions struct {
	// Width of a strap in mm. Default 2.
	Width float64
	// Sheet that the cut areas are cut from. Paper that they cut off at its edge
	// is tied as well. Default: one that reaches beyond them on all sides.
	Sheet *geom.Bounds
}

// Strap is a strip of paper kept across a cut area.
type Strap struct {
	From, To geom.Coord    // where it leaves the one piece of paper and reaches the other, in mm
	Width    float64       // in mm
	Shape    *geom.Polygon // the strip, with what it overlaps of the paper at both ends
}

// Length is how far the strap reaches across the cut area, in mm.
func (s Strap) Length() float64 {
	return math.Hypot(s.To[0]-s.From[0], s.To[1]-s.From[1])
}

// rounds is how often Bridge may look again for what is still loose. One is enough
// unless a strap ends on paper that is narrower than itself.
const rounds = 6

// Bridge ties every island to the rest of the paper by straight straps and returns
// the cut areas that are left, with the straps. The straps join the islands at the
// least total length that straight bridges can have: they are the Euclidean minimum
// spanning tree over the pieces of paper. Afterwards Check finds no island.
func Bridge(cut *geom.MultiPolygon, opts *BridgeOptions) (*geom.MultiPolygon, []Strap, error) {
	o := BridgeOptions{}
	if opts != nil {
		o = *opts
	}
	if o.Width == 0 {
		o.Width = 2
	}
	if !(o.Width > hold) || math.IsInf(o.Width, 0) {
		return nil, nil, fmt.Errorf("stencil: bridge %.3f mm wide, need more than %.2f", o.Width, hold)
	}
	out := geom.NewMultiPolygon(geom.XY)
	if cut != nil {
		out = cut.Clone()
	}
	var straps []Strap
	for range rounds {
		added, err := tie(out, o)
		if err != nil {
			return nil, nil, err
		}
		if len(added) == 0 {
			return out, straps, nil
		}
		straps = append(straps, added...)
		if out, err = without(out, added); err != nil {
			return nil, nil, err
		}
	}
	return nil, nil, fmt.Errorf("stencil: islands are left after %d straps of %.2f mm", len(straps), o.Width)
}

// tie finds the straps that the loose pieces need.
func tie(cut *geom.MultiPolygon, o BridgeOptions) ([]Strap, error) {
	p, err := newPlane(cut, o.Sheet)
	if err != nil {
		return nil, err
	}
	s := p.pieces(p.passages())
	if len(s.list) < 2 {
		return nil, nil
	}
	t := newTree(p.borders(s))
	var straps []Strap
	for _, g := range t.spanning(newForest(len(s.list)), nil) {
		straps = append(straps, p.strap(s, t, g, o))
	}
	return straps, nil
}

// without takes straps out of the cut areas.
func without(cut *geom.MultiPolygon, straps []Strap) (*geom.MultiPolygon, error) {
	shapes := make([]*geom.Polygon, len(straps))
	for i, s := range straps {
		shapes[i] = s.Shape
	}
	union, err := region.UnionAll(shapes)
	if err != nil {
		return nil, fmt.Errorf("stencil: %w", err)
	}
	out, err := region.Difference(cut, union)
	if err != nil {
		return nil, fmt.Errorf("stencil: %w", err)
	}
	return out, nil
}
