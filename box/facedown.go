package box

import (
	"slices"

	"github.com/twpayne/go-geom"
)

// FaceDown returns the net and its cut-out as they are cut from the back of the
// paper, so that tool marks stay out of sight: both mirrored left to right
// within the blank, mountain and valley folds exchanged. The cut-out is in the
// net's frame and may be nil. Neither n nor cut is changed; rings keep the sign
// of their areas.
func (n *Net) FaceDown(cut *geom.MultiPolygon) (*Net, *geom.MultiPolygon) {
	w := n.Outline.Bounds().Max(0)
	m := &Net{
		Outline:  geom.NewPolygonFlat(geom.XY, mirrorRings(w, n.Outline.FlatCoords(), n.Outline.Ends()), slices.Clone(n.Outline.Ends())),
		Slits:    mirrorLines(w, n.Slits),
		Mountain: mirrorLines(w, n.Valley),
		Valley:   mirrorLines(w, n.Mountain),
		Face:     mirrorBounds(w, n.Face),
	}
	if n.Window != nil {
		m.Window = mirrorBounds(w, n.Window)
	}
	if cut == nil {
		return m, nil
	}
	var ends []int // of rings, across all polygons
	endss := make([][]int, 0, cut.NumPolygons())
	for _, e := range cut.Endss() {
		ends = append(ends, e...)
		endss = append(endss, slices.Clone(e))
	}
	return m, geom.NewMultiPolygonFlat(geom.XY, mirrorRings(w, cut.FlatCoords(), ends), endss)
}

// mirrorRings also turns each ring's direction round, which the mirror image
// would otherwise have done.
func mirrorRings(w float64, flat []float64, ends []int) []float64 {
	out := make([]float64, 0, len(flat))
	start := 0
	for _, end := range ends {
		for i := end - 2; i >= start; i -= 2 {
			out = append(out, w-flat[i], flat[i+1])
		}
		start = end
	}
	return out
}

func mirrorLines(w float64, l *geom.MultiLineString) *geom.MultiLineString {
	flat := slices.Clone(l.FlatCoords())
	for i := 0; i < len(flat); i += 2 {
		flat[i] = w - flat[i]
	}
	return geom.NewMultiLineStringFlat(geom.XY, flat, slices.Clone(l.Ends()))
}

func mirrorBounds(w float64, b *geom.Bounds) *geom.Bounds {
	return geom.NewBounds(geom.XY).Set(w-b.Max(0), b.Min(1), w-b.Min(0), b.Max(1))
}
