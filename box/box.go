// Package box lays out the two trays of a shadow box as flat nets: a front with
// the cut-out in its face, and a base that slides into it.
//
// All lengths are millimetres, x runs right and y down. A net has a frame of
// its own: the top-left corner of its blank (the rectangle of paper that it is
// cut from) is the origin. Nets are drawn with the outside of the tray up, so
// every wall folds away from the viewer: a mountain fold. Outlines are closed
// rings (first point = last) of positive Area().
//
// # How the two trays fit
//
// A score is a line on the middle of the paper's thickness. Once folded, a tray
// whose scores stand F apart therefore measures F + t outside and F - t inside,
// for paper of thickness t. At the corners four tabs hang on the ends of two
// opposite walls and are glued inside the other two. Between those two walls
// the front of thickness f holds a tab on either side, which leaves F - 3f; the
// base of thickness b has to pass with F' + b. With a gap g on either side
//
//	F - F' = 2g + 3f + b
//
// Across the other pair of walls no tab is in the way and 2g + f + b would do.
// The base is made smaller by the first amount on both axes all the same: a base
// that is square then goes in whichever way it is turned, both of its sides
// differ from the front by one number that can be remembered at the work table,
// and too small only shows while too big does not go in. The walls without tabs
// have f more room a side for it; [Spec.Measures] reports both gaps.
//
// The default gap is chosen so that a front of ordinary card (0.28 mm) over a
// base of heavy watercolour paper (0.52 mm) gives the makers' rule of an eighth
// of an inch (common practice, no source):
//
//	g = (25.4/8 - 3*0.28 - 0.52)/2 = 0.9075 mm
//
// Measures of a fold depend on the paper and on the hand: fold up one of plain
// card before the good sheet is cut.
package box

import "github.com/twpayne/go-geom"

const (
	// DefaultMargin is the usual strip of paper between the cut-out and the
	// fold, 1/4 in (common practice, no source).
	DefaultMargin = 25.4 / 4
	// DefaultDepth is the usual height of the walls, 1 in (common practice, no
	// source).
	DefaultDepth = 25.4
	// DefaultGap is the room on either side of the base; the package comment
	// derives it.
	DefaultGap = (25.4/8 - 3*0.28 - 0.52) / 2
	// MinGap is the narrowest gap that is accepted: below it the base jams
	// (common practice, no source).
	MinGap = 0.2
)

// Tab is the shape of the four corner tabs.
type Tab int

const (
	// Square tabs take the whole corner of the blank, so that four snips are
	// all there is to cut. They close the corner best.
	Square Tab = iota
	// Mitred tabs are shorter and taper at both ends, so that they neither
	// meet nor pile up in the corner; a notch takes the place of the snip.
	Mitred
)

// Spec holds the measures of a box, in mm. Width, Height, Margin, Depth and both
// thicknesses are required; zero in one of the other fields means its default.
// A Spec is a plain value: its methods change nothing.
type Spec struct {
	Width, Height float64 // of the window: the bounds of the cut-out
	Margin        float64 // paper from the window to the score, on all four sides
	Depth         float64 // height of the front's walls, score to edge

	FrontThickness, BaseThickness float64 // measured thickness of the two papers

	BaseDepth float64 // height of the base's walls; 0: Depth
	Gap       float64 // room on either side of the base; 0: DefaultGap; below MinGap is refused
	MinWeb    float64 // narrowest strip that the front's paper bears; a margin below it is refused

	Tab       Tab     // shape of the corner tabs
	TabLength float64 // how far tabs reach along the wall they are glued to; 0: as long as fits (Square), at most 15 mm (Mitred)

	// Damp leaves room for the paper to grow in damp air: nothing where both
	// grains are known and equal, as both trays then grow together, else
	// DampGrowth times the face.
	Damp                  bool
	FrontGrain, BaseGrain Grain

	// Ruler, if not 0, is the number of marks that the maker's ruler has to the
	// inch. Then all measures of the front move up to a mark and all measures of
	// the base move down to one, so that the gap can only grow.
	Ruler int
}

// Net is one tray laid flat, in mm, with the top-left corner of its blank as
// the origin. All its fields are set, if need be to an empty geometry; only
// Window is nil for a base.
type Net struct {
	Outline  *geom.Polygon         // one ring of positive area, cut last
	Slits    *geom.MultiLineString // cuts, each from the edge to the crossing of two scores
	Mountain *geom.MultiLineString // scores to fold away from the viewer
	Valley   *geom.MultiLineString // scores to fold toward the viewer
	Face     *geom.Bounds          // the rectangle within the scores
	Window   *geom.Bounds          // where the cut-out goes; nil for a base
}

// Front returns the net of the front tray, face up. Its face is the window and
// the margin around it, its blank adds the depth on every side. It fails with
// an *[Error] where the measures do not make a box.
func (s Spec) Front() (*Net, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	t := s.front()
	n := t.net()
	x, y := t.depth+(t.w-s.Width)/2, t.depth+(t.h-s.Height)/2
	n.Window = geom.NewBounds(geom.XY).Set(x, y, x+s.Width, y+s.Height)
	return n, nil
}

// Base returns the net of the base tray, outside up, made like the front's but
// smaller by what the package comment derives. It fails with an *[Error] where
// the measures do not make a box.
func (s Spec) Base() (*Net, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	return s.base().net(), nil
}
