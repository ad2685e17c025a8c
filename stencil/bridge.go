package stencil

import (
	"fmt"
	"math"

	"github.com/twpayne/go-geom"
)

// BridgeOptions tell how islands are tied. Zero fields have their defaults.
type BridgeOptions struct {
	// Width of a strap in mm. Default 2.
	Width float64
	// Sheet that the cut areas are cut from. Paper that they cut off at its edge
	// is tied as well. Default: one that reaches beyond them on all sides.
	Sheet *geom.Bounds
	// Slack is by what share a strap may be longer than the shortest if it then
	// crosses more squarely, away from corners and fine detail. Default 0.25;
	// negative for the shortest straps, wherever they are. With slack, a strap
	// that would lie on another moves even if that makes it 2.5 times as long.
	Slack float64
	// Second is the reach in mm, from the strap that holds it, beyond which an
	// island is held by a second one. Default 10 widths; negative for never.
	Second float64
	// Flare widens the ends of straps in a round, which looks drawn and tears
	// less easily than a sharp corner.
	Flare bool
	// Pins are bridges that are wanted, whether they tie an island or not.
	Pins []Pin
	// Avoid are places in mm that no bridge may come near, other than a pinned one.
	Avoid []geom.Coord
	// Clear is how near, in mm from the strap's edge. Default: one width.
	Clear float64
}

func (o *BridgeOptions) filled() (BridgeOptions, error) {
	f := BridgeOptions{}
	if o != nil {
		f = *o
	}
	if f.Width == 0 {
		f.Width = 2
	}
	if f.Slack == 0 {
		f.Slack = 0.25
	}
	if f.Second == 0 {
		f.Second = 10 * f.Width
	}
	if f.Clear == 0 {
		f.Clear = f.Width
	}
	if !(f.Width > 2*hold) || math.IsInf(f.Width, 0) {
		return f, fmt.Errorf("stencil: bridge %.3f mm wide, need more than %.2f", f.Width, 2*hold)
	}
	if math.IsNaN(f.Slack) || math.IsInf(f.Slack, 0) || math.IsNaN(f.Second) || !(f.Clear >= 0) {
		return f, fmt.Errorf("stencil: slack %g, second %g and clear %g must be numbers", f.Slack, f.Second, f.Clear)
	}
	return f, nil
}

// Strap is a strip of paper kept across a cut area.
type Strap struct {
	From, To geom.Coord    // where it leaves the one piece of paper and reaches the other, in mm
	Width    float64       // in mm
	Second   bool          // it steadies what is held already
	Pinned   bool          // it was asked for
	Shape    *geom.Polygon // the strip, with what it overlaps of the paper at both ends
}

// Length is how far the strap reaches across the cut area, in mm.
func (s Strap) Length() float64 {
	return math.Hypot(s.To[0]-s.From[0], s.To[1]-s.From[1])
}

// ForbiddenError says that an island cannot be tied without coming near a place to
// avoid.
type ForbiddenError struct{ At geom.Coord } // inside the island

func (e *ForbiddenError) Error() string {
	return fmt.Sprintf("stencil: island at (%.1f, %.1f) can be tied only where bridges are not wanted", e.At[0], e.At[1])
}

// rounds is how often Bridge may look again for what is still loose. One is enough
// unless a strap ends on paper that is narrower than itself.
const rounds = 8

// Bridge ties every island to the rest of the paper by straight straps and returns
// the cut areas that are left, with the straps. Afterwards Check finds no island.
//
// Which pieces of paper are tied to which is the Euclidean minimum spanning tree over
// them: no set of straight bridges that connects them all is shorter in total than
// the shortest gaps between those, near which the straps lie within the slack. An
// island that reaches far from its strap gets a second one, where it best stops the
// swing, unless that would be more than about three times as long. The result is
// valid, without areas below 0.001 mm², such as a strap may leave beside it; the cut
// areas given stay as they are.
func Bridge(cut *geom.MultiPolygon, opts *BridgeOptions) (*geom.MultiPolygon, []Strap, error) {
	o, err := opts.filled()
	if err != nil {
		return nil, nil, err
	}
	out := geom.NewMultiPolygon(geom.XY)
	if cut != nil {
		out = cut.Clone()
	}
	var straps []Strap
	for again := range rounds {
		added, err := tie(out, o, again)
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
		o.Pins = nil
	}
	return nil, nil, fmt.Errorf("stencil: islands are left after %d straps of %.2f mm", len(straps), o.Width)
}

// tie finds the straps that the loose pieces need. Each time again, they may be two
// widths longer to end on paper that holds.
func tie(cut *geom.MultiPolygon, o BridgeOptions, again int) ([]Strap, error) {
	p, err := newPlane(cut, o.Sheet)
	if err != nil {
		return nil, err
	}
	pieces := p.pieces(p.passages())
	if len(pieces.list) < 2 && len(o.Pins) == 0 {
		return nil, nil
	}
	var refuse func(gap) bool
	longest := 0.0
	if len(o.Avoid) > 0 {
		refuse, longest = o.refuse, o.Width
	}
	s := newShore(p, pieces, longest)
	joined := newForest(len(pieces.list))
	placed := newTaken(o.Width)
	var straps []Strap
	var ties []gap // those that make a tree
	for _, pin := range o.Pins {
		gaps, err := s.pinned(pin)
		if err != nil {
			return nil, err
		}
		for _, g := range gaps {
			if joined.join(s.edges[g.fromEdge].piece, s.edges[g.edge].piece) {
				ties = append(ties, g)
			}
			placed.add(g)
			strap := s.strap(g, o)
			strap.Pinned = true
			straps = append(straps, strap)
		}
	}
	found := s.spanning(joined, refuse)
	for i := range pieces.list {
		if joined.find(int32(i)) != joined.find(pieces.frame) {
			return nil, &ForbiddenError{pieces.list[i].in.coord()}
		}
	}
	s.group(func(piece int32) int32 { return piece })
	for i, g := range found {
		found[i] = s.settle(g, o, again, placed, refuse)
		placed.add(found[i])
		straps = append(straps, s.strap(found[i], o))
	}
	ties = append(ties, found...)
	if o.Second < 0 {
		return straps, nil
	}
	free := func(g gap) bool { return !placed.crowded(g) && (refuse == nil || !refuse(g)) }
	for _, g := range s.seconds(ties, o.Width, o.Second, placed, free) {
		strap := s.strap(g, o)
		strap.Second = true
		straps = append(straps, strap)
	}
	return straps, nil
}

// settle finds the place for a strap along the shortest gap g: within the slack, or
// where it would lie on another strap, up to two and a half times as long.
func (s *shore) settle(g gap, o BridgeOptions, again int, placed *taken, refuse func(gap) bool) gap {
	free := func(g gap) bool { return !placed.crowded(g) && (refuse == nil || !refuse(g)) }
	more := float64(2*again) * o.Width
	failed := again > 0 && g.length < 2*hold // the pieces touch, and that has not held
	best := g
	if o.Slack > 0 || failed {
		best = s.better(g, o.Width, (1+math.Max(0, o.Slack))*g.length+more, failed, free)
	}
	if o.Slack > 0 && placed.crowded(best) {
		best = s.better(g, o.Width, 2.5*g.length+more, true, free)
	}
	return best
}

// refuse reports whether a strap along g would come too near a place to avoid.
func (o BridgeOptions) refuse(g gap) bool {
	for _, c := range o.Avoid {
		p := xy{c[0], c[1]}
		if nearest(g.from, g.to, p).distance(p) < o.Clear+o.Width/2 {
			return true
		}
	}
	return false
}
