package box

import (
	"math"
	"slices"

	"github.com/twpayne/go-geom"
)

// mitreSlope is the cotangent of 60 degrees, the angle between the hinge of a
// mitred tab and its ends (45 to 60 degrees is common practice, no source).
var mitreSlope = 1 / math.Sqrt(3)

// maxMitred is the length of a mitred tab, as a share of the depth, that still
// leaves a quarter of the hinge's width at its far end.
var maxMitred = 0.75 / 2 * math.Sqrt(3)

// longestMitred is as far as a mitred tab reaches unless asked: 10 to 15 mm of
// glue hold a corner (common practice, no source).
const longestMitred = 15.0

// glued is the length of the walls that the tabs are glued to.
func (t tray) glued() float64 {
	if t.tall {
		return t.h
	}
	return t.w
}

// longestTab is the length at which tabs end at the edge of the corner, or meet
// in the middle of the wall they are glued to, or taper to nothing.
func (t tray) longestTab() float64 {
	corner := t.depth
	if t.tab == Mitred {
		corner *= maxMitred
	}
	return min(corner, t.glued()/2-t.t)
}

func (t tray) usualTab() float64 {
	l := t.longestTab()
	if t.tab == Mitred {
		l = min(l, t.depth/2, longestMitred)
	}
	return l
}

// point is one vertex of a net.
type point [2]float64

// net lays the tray flat. It draws tabs that hang on the left and right walls;
// a tall tray is the same with x and y exchanged.
func (t tray) net() *Net {
	w, h := t.w, t.h
	if t.tall {
		w, h = h, w
	}
	d := t.depth
	bw, bh := w+2*d, h+2*d
	flipX := func(p point) point { return point{bw - p[0], p[1]} }
	flipY := func(p point) point { return point{p[0], bh - p[1]} }

	corner, slit := t.corner()
	var ring []point
	var slits [][]point
	for i, flip := range []func(point) point{
		func(p point) point { return p },
		flipX,
		func(p point) point { return flipX(flipY(p)) },
		flipY,
	} {
		c := mapped(corner, flip)
		if i%2 == 1 { // one reflection turns the direction round
			slices.Reverse(c)
		}
		ring = append(ring, c...)
		if slit != nil {
			slits = append(slits, mapped(slit, flip))
		}
	}
	scores := [][]point{
		{{0, d}, {bw, d}}, {{0, d + h}, {bw, d + h}},
		{{d, d}, {d, d + h}}, {{d + w, d}, {d + w, d + h}},
	}
	if t.tall {
		swap := func(p point) point { return point{p[1], p[0]} }
		ring = mapped(ring, swap)
		slices.Reverse(ring)
		for i := range slits {
			slits[i] = mapped(slits[i], swap)
		}
		for i := range scores {
			scores[i] = mapped(scores[i], swap)
		}
	}
	return &Net{
		Outline:  polygon(ring),
		Slits:    lines(slits),
		Mountain: lines(scores),
		Valley:   lines(nil),
		Face:     geom.NewBounds(geom.XY).Set(d, d, d+t.w, d+t.h),
	}
}

// corner gives the outline of the top-left corner from the left wall to the top
// one, and the snip between tab and top wall, or nil where a notch parts them.
func (t tray) corner() (outline, slit []point) {
	d, l := t.depth, t.tabLength
	switch {
	case t.tab == Mitred:
		a := l * mitreSlope
		return []point{{0, d}, {a, d - l}, {d - a, d - l}, {d, d}, {d, 0}}, nil
	case l == d:
		return []point{{0, 0}}, []point{{d, 0}, {d, d}}
	default:
		return []point{{0, d - l}, {d, d - l}, {d, 0}}, []point{{d, d - l}, {d, d}}
	}
}

func mapped(ps []point, f func(point) point) []point {
	out := make([]point, len(ps))
	for i, p := range ps {
		out[i] = f(p)
	}
	return out
}

func polygon(rings ...[]point) *geom.Polygon {
	var flat []float64
	var ends []int
	for _, ring := range rings {
		for _, p := range ring {
			flat = append(flat, p[0], p[1])
		}
		flat = append(flat, ring[0][0], ring[0][1])
		ends = append(ends, len(flat))
	}
	return geom.NewPolygonFlat(geom.XY, flat, ends)
}

func lines(ls [][]point) *geom.MultiLineString {
	var flat []float64
	var ends []int
	for _, l := range ls {
		for _, p := range l {
			flat = append(flat, p[0], p[1])
		}
		ends = append(ends, len(flat))
	}
	return geom.NewMultiLineStringFlat(geom.XY, flat, ends)
}
