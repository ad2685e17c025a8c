package trace

import (
	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/ring"
)

// Simplify returns cut, polygons of layout XY in mm as the package's comment
// tells, with as few of its vertices as one pass finds so that no point of the
// old outline is further than tolerance mm from the new one, nor the other way
// round. Rings stay simple, do not touch, and lie in each other as before;
// where it needs a vertex more for that, it has one. No ring is lost. cut is
// not changed; if it is not valid, rings that cross may still do so.
//
// From a vertex on, the cone that leads past all the next ones within the
// tolerance is narrowed until it is empty: the condition of Imai and Iri,
// Polygonal approximations of a curve, 1988, found as by Chan and Chin,
// Approximation of polygonal curves with minimum number of line segments or
// minimum error, 1996.
func Simplify(cut *geom.MultiPolygon, tolerance float64) *geom.MultiPolygon {
	if !(tolerance > 0) {
		return cut.Clone()
	}
	return simplified(cut, tolerance, false)
}

// simplified is Simplify or, of what has been smoothed, keeps corners and moves
// other nodes as balance tells.
func simplified(cut *geom.MultiPolygon, tolerance float64, smoothed bool) *geom.MultiPolygon {
	d := design{rings: ring.Rings(cut), tolerance: tolerance, bound: tolerance, corners: smoothed}
	for i, r := range d.rings {
		d.rings[i] = r[:max(0, len(r)-2)] // without the closing vertex
	}
	d.draw(nil)
	if smoothed {
		d.balance()
	}
	d.untangle()
	return d.polygons(cut.Endss())
}

// polygons gives the nodes as polygons with the rings' order of endss.
func (d *design) polygons(endss [][]int) *geom.MultiPolygon {
	ends := make([]int, len(d.spans))
	n := 0
	for r, s := range d.spans {
		if s.from < s.to {
			n += 2 * (s.to - s.from + 1)
		}
		ends[r] = n
	}
	flat := make([]float64, n)
	inBatches(len(d.spans), func(from, to int) {
		for r := from; r < to; r++ {
			if s := d.spans[r]; s.from < s.to {
				at := d.at[2*s.from : 2*s.to]
				copy(flat[ends[r]-len(at)-2:], at)
				copy(flat[ends[r]-2:], at[:2])
			}
		}
	})
	out := make([][]int, 0, len(endss))
	for _, e := range endss {
		out = append(out, ends[:len(e):len(e)])
		ends = ends[len(e):]
	}
	return geom.NewMultiPolygonFlat(geom.XY, flat, out)
}
