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
	after := make([][]float64, len(before))
	inBatches(len(before), func(from, to int) {
		for i := from; i < to; i++ {
			r := before[i]
			after[i] = smoothRing(r, wobble)
			if (ring.Area(after[i]) > 0) != (ring.Area(r) > 0) {
				after[i] = r
			}
		}
	})
	for {
		m := assemble(cut, after)
		if !restore(m, before, after) {
			return m
		}
	}
}

// restore puts those rings of after back to what they were that are in each other's way, and says whether there were any.
func restore(m *geom.MultiPolygon, before, after [][]float64) bool {
	back := false
	put := func(i int) {
		if &after[i][0] != &before[i][0] {
			after[i], back = before[i], true
		}
	}
	ix := ring.NewIndex(slices.Clone(after)) // put changes after while the index is of use
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
	if fault, ok := ix.CheckApart(m).(*ring.Fault); ok {
		at := ring.EmptyBox().Add(fault.X, fault.Y)
		for i := range after {
			if boxOf(before[i]).Join(boxOf(after[i])).Meets(at) {
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

// assemble makes polygons of rings in the order of those of like.
func assemble(like *geom.MultiPolygon, rings [][]float64) *geom.MultiPolygon {
	size := 0
	for _, r := range rings {
		size += len(r)
	}
	flat := make([]float64, 0, size)
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
