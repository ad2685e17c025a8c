package words

import (
	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/region"
	"example.org/kerfleaf/internal/ring"
)

// unite joins the polygons that overlap or touch, and leaves the others alone.
// A united area takes the place of its first part.
func unite(mp *geom.MultiPolygon) (*geom.MultiPolygon, error) {
	parts := polygons(mp)
	boxes := make([]ring.Box, len(parts))
	for i, p := range parts {
		boxes[i] = boxOf(p.LinearRing(0).FlatCoords())
	}
	tree := ring.NewTree(boxes)
	group := make([]int, len(parts)) // union-find: an earlier member
	for i := range group {
		group[i] = i
	}
	find := func(i int) int {
		for group[i] != i {
			group[i] = group[group[i]]
			i = group[i]
		}
		return i
	}
	alone := true
	var near []int32
	for i, p := range parts {
		near = tree.Search(boxes[i], near[:0])
		for _, id := range near {
			j := int(id)
			if j >= i || find(i) == find(j) {
				continue
			}
			meet, err := meets(p, parts[j])
			if err != nil {
				return nil, err
			}
			if meet {
				a, b := find(i), find(j)
				group[max(a, b)] = min(a, b)
				alone = false
			}
		}
	}
	if alone {
		return mp, nil
	}
	members := make([][]*geom.Polygon, len(parts))
	for i, p := range parts {
		members[find(i)] = append(members[find(i)], p)
	}
	out := geom.NewMultiPolygon(geom.XY)
	for _, m := range members {
		if len(m) > 1 {
			united, err := region.UnionAll(m)
			if err != nil {
				return nil, err
			}
			m = polygons(fromTop(united))
		}
		for _, p := range m {
			if err := out.Push(p); err != nil {
				return nil, err
			}
		}
	}
	return out, nil
}

// meets tells whether two polygons have a point in common, if only on their
// boundaries.
func meets(p, q *geom.Polygon) (bool, error) {
	for i := range p.NumLinearRings() {
		r := p.LinearRing(i).FlatCoords()
		b := boxOf(r)
		for j := range q.NumLinearRings() {
			o := q.LinearRing(j).FlatCoords()
			if !b.Meets(boxOf(o)) {
				continue
			}
			met, err := crossings([][]float64{r, o})
			if err != nil || len(met) > 0 {
				return len(met) > 0, err
			}
		}
	}
	return covers(p, q.FlatCoords()) || covers(q, p.FlatCoords()), nil
}

// covers tells whether the first of the given points lies in the polygon.
func covers(p *geom.Polygon, xy []float64) bool {
	for i := range p.NumLinearRings() {
		if in := ring.Locate(p.LinearRing(i).FlatCoords(), xy[0], xy[1]) == ring.Inside; in != (i == 0) {
			return false
		}
	}
	return true
}

func boxOf(xy []float64) ring.Box {
	b := ring.EmptyBox()
	for i := 0; i < len(xy); i += 2 {
		b = b.Add(xy[i], xy[i+1])
	}
	return b
}

// fromTop returns the polygons with each ring beginning at its topmost, then
// leftmost vertex, so that equal areas have equal bytes.
func fromTop(mp *geom.MultiPolygon) *geom.MultiPolygon {
	flat := make([]float64, 0, len(mp.FlatCoords()))
	for _, r := range ring.Rings(mp) {
		first := 0
		for i := 0; i < len(r); i += 2 {
			if r[i+1] < r[first+1] || r[i+1] == r[first+1] && r[i] < r[first] {
				first = i
			}
		}
		flat = append(append(flat, r[first:len(r)-2]...), r[:first+2]...)
	}
	return geom.NewMultiPolygonFlat(geom.XY, flat, mp.Endss())
}
