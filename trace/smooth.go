package trace

import (
	"math"
	"slices"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/ring"
)

// Smooth returns cut, polygons of layout XY in mm as the package's comment tells, with the wobble of their outlines
// evened out: what swings to and fro within a length of wobble mm along the outline. Corners stay where they are and
// sharp, and curves keep their bend, so that areas do not shrink: a circle keeps its radius within 0.2 % whatever the
// wobble. Rings shorter than a wobble are left alone, and so are rings that would meet themselves or each other. cut is
// not changed; a wobble of 0 or less gives a copy.
//
// Between corners each point moves to where the parabola that fits the outline round it best has it, the nearer the
// weightier: local regression after Cleveland, "Robust locally weighted regression and smoothing scatterplots", Journal
// of the American Statistical Association 74, 1979. A mean alone would pull every bend inward.
func Smooth(cut *geom.MultiPolygon, wobble float64) *geom.MultiPolygon {
	if !(wobble > 0) || math.IsInf(wobble, 0) {
		return cut.Clone()
	}
	before := ring.Rings(cut)
	starts := make([]int, len(before)+1) // of the room for each ring
	for i, r := range before {
		starts[i+1] = starts[i] + roomFor(r, wobble)
	}
	flat := make([]float64, starts[len(before)])
	after := make([][]float64, len(before))
	boxes := make([]ring.Box, len(before)) // of each ring before and after
	inBatches(len(before), func(from, to int) {
		var s smoother
		for i := from; i < to; i++ {
			r := before[i]
			if after[i] = s.ring(flat[starts[i]:starts[i]:starts[i+1]], r, wobble); (ring.Area(after[i]) > 0) != (ring.Area(r) > 0) {
				after[i] = r
			}
			boxes[i] = boxOf(r).Join(boxOf(after[i]))
		}
	})
	restore(cut, before, after, boxes)
	return assemble(flat[:0], cut, after)
}

// restore puts those rings of after back to what they were that are in each other's way, or in their own. Most shells
// have no other ring near them, and are looked at by themselves.
func restore(cut *geom.MultiPolygon, before, after [][]float64, boxes []ring.Box) {
	tree := ring.NewTree(boxes)
	endss := cut.Endss()
	first := make([]int, len(endss)) // ring of each polygon
	for p, n := 0, 0; p < len(endss); p++ {
		first[p] = n
		n += len(endss[p])
	}
	crowded := make([]bool, len(endss))
	inBatches(len(endss), func(from, to int) {
		var near []int32
		for p := from; p < to; p++ {
			i := first[p]
			if len(endss[p]) == 1 {
				near = tree.Search(boxes[i], near[:0])
			}
			if crowded[p] = len(endss[p]) > 1 || len(near) > 1; !crowded[p] && len(endss[p]) == 1 && !ring.Sound(after[i]) {
				after[i] = before[i]
			}
		}
	})
	var c crowd
	for p, ends := range endss {
		if crowded[p] {
			i, j := first[p], first[p]+len(ends)
			c.before, c.after, c.boxes = append(c.before, before[i:j]...), append(c.after, after[i:j]...), append(c.boxes, boxes[i:j]...)
			c.endss = append(c.endss, ends)
		}
	}
	for c.putBack() {
	}
	for p, ends := range endss {
		if crowded[p] {
			c.after = c.after[copy(after[first[p]:first[p]+len(ends)], c.after):]
		}
	}
}

// crowd is some of the polygons of a value, their rings before and after.
type crowd struct {
	before, after [][]float64
	boxes         []ring.Box // of each ring before and after
	endss         [][]int
}

// putBack puts those rings back that are in each other's way, and says whether there were any.
func (c *crowd) putBack() bool {
	back := false
	put := func(i int) {
		if &c.after[i][0] != &c.before[i][0] {
			c.after[i], back = c.before[i], true
		}
	}
	ix := ring.NewIndex(slices.Clone(c.after)) // put changes after while the index is of use
	const grain = 256
	met := make([][]int, (len(ix.Blocks)+grain-1)/grain)
	ring.Parts(len(ix.Blocks), grain, func(part, from, to int) {
		ix.Meetings(from, to, func(g ring.Meeting) bool {
			met[part] = append(met[part], g.RingA, g.RingB)
			return true
		})
	})
	for _, rings := range met {
		for _, i := range rings {
			put(i)
		}
	}
	if back {
		return true
	}
	// Nothing meets; but a ring may have passed over a tiny one.
	if fault, ok := ix.CheckApart(c.endss).(*ring.Fault); ok {
		at := ring.EmptyBox().Add(fault.X, fault.Y)
		for i := range c.after {
			if c.boxes[i].Meets(at) {
				put(i)
			}
		}
	}
	return back
}

func boxOf(r []float64) ring.Box {
	box := ring.EmptyBox()
	for i := 0; i < len(r); i += 2 {
		box = box.Add(r[i], r[i+1])
	}
	return box
}

// assemble makes polygons of rings in the order of those of like, in the memory of flat, where a ring may lie that does
// not begin further on than its place.
func assemble(flat []float64, like *geom.MultiPolygon, rings [][]float64) *geom.MultiPolygon {
	var endss [][]int
	for _, ends := range like.Endss() {
		var out []int
		for range ends {
			flat = append(flat, rings[0]...)
			out = append(out, len(flat))
			rings = rings[1:]
		}
		endss = append(endss, out)
	}
	return geom.NewMultiPolygonFlat(geom.XY, flat, endss)
}
