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
	flat := make([]float64, 0, len(d.at)+2*len(d.spans))
	ends := make([]int, 0, len(d.spans))
	out := make([][]int, 0, len(endss))
	r := 0
	for _, e := range endss {
		n := len(ends)
		for range e {
			s := d.spans[r]
			r++
			if s.from < s.to {
				flat = append(flat, d.at[2*s.from:2*s.to]...)
				flat = append(flat, d.at[2*s.from], d.at[2*s.from+1])
			}
			ends = append(ends, len(flat))
		}
		out = append(out, ends[n:len(ends):len(ends)])
	}
	return geom.NewMultiPolygonFlat(geom.XY, flat, out)
}
