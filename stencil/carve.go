package stencil

import (
	"fmt"
	"slices"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/region"
	"example.org/kerfleaf/internal/ring"
)

// without takes straps out of the cut areas that they meet; the others stay as they
// are.
func without(cut *geom.MultiPolygon, straps []Strap) (*geom.MultiPolygon, error) {
	boxes := make([]ring.Box, len(straps))
	for i, s := range straps {
		boxes[i] = boxAround(s.Shape)
	}
	tree := ring.NewTree(boxes)
	out := geom.NewMultiPolygon(geom.XY)
	var ids []int32
	for i := range cut.NumPolygons() {
		area, err := alone(cut.Polygon(i))
		if err != nil {
			return nil, err
		}
		if ids = tree.Search(boxAround(area), ids[:0]); len(ids) > 0 {
			near := make([]*geom.Polygon, len(ids))
			for k, j := range ids {
				near[k] = straps[j].Shape
			}
			if area, err = less(area, near); err != nil {
				return nil, err
			}
		}
		if err := add(out, area); err != nil {
			return nil, err
		}
	}
	return withoutCrumbs(out)
}

// less is an area without the shapes, which may overlap one another.
func less(area *geom.MultiPolygon, shapes []*geom.Polygon) (*geom.MultiPolygon, error) {
	union, err := region.UnionAll(shapes)
	if err != nil {
		return nil, fmt.Errorf("stencil: %w", err)
	}
	out, err := region.Difference(area, union)
	if err != nil {
		return nil, fmt.Errorf("stencil: %w", err)
	}
	return out, nil
}

// alone is the multipolygon of p only.
func alone(p *geom.Polygon) (*geom.MultiPolygon, error) {
	out := geom.NewMultiPolygon(geom.XY)
	if err := out.Push(p); err != nil {
		return nil, fmt.Errorf("stencil: %w", err)
	}
	return out, nil
}

// add appends the polygons of more to mp.
func add(mp, more *geom.MultiPolygon) error {
	for i := range more.NumPolygons() {
		if err := mp.Push(more.Polygon(i)); err != nil {
			return fmt.Errorf("stencil: %w", err)
		}
	}
	return nil
}

// boxAround is the box around shape g.
func boxAround(g geom.T) ring.Box {
	b := g.Bounds()
	return ring.Box{MinX: b.Min(0), MinY: b.Min(1), MaxX: b.Max(0), MaxY: b.Max(1)}
}

// grow takes the strips out of the cut areas, each area on its own, and reports
// whether that changed anything.
func grow(cut *geom.MultiPolygon, strips []*geom.MultiPolygon) (*geom.MultiPolygon, bool, error) {
	boxes := make([]ring.Box, len(strips))
	for i, s := range strips {
		boxes[i] = boxAround(s)
	}
	tree := ring.NewTree(boxes)
	out := geom.NewMultiPolygon(geom.XY)
	changed := false
	var ids []int32
	for i := range cut.NumPolygons() {
		area, err := alone(cut.Polygon(i))
		if err != nil {
			return nil, false, err
		}
		ids = tree.Search(boxAround(area), ids[:0])
		slices.Sort(ids)
		near := make([]*geom.MultiPolygon, len(ids))
		for k, j := range ids {
			near[k] = strips[j]
		}
		left, err := carve(area, near)
		if err != nil {
			return nil, false, err
		}
		changed = changed || area.Area()-left.Area() > short*short
		if err := add(out, left); err != nil {
			return nil, false, err
		}
	}
	return out, changed, nil
}

// carve takes those strips out of one cut area that leave it in one piece. It halves
// the list until it has found those that do not.
func carve(area *geom.MultiPolygon, strips []*geom.MultiPolygon) (*geom.MultiPolygon, error) {
	if len(strips) == 0 {
		return area, nil
	}
	var ps []*geom.Polygon
	for _, s := range strips {
		for i := range s.NumPolygons() {
			ps = append(ps, s.Polygon(i))
		}
	}
	left, err := less(area, ps)
	if err != nil {
		return nil, err
	}
	if left, err = withoutCrumbs(left); err != nil {
		return nil, err
	}
	if left.NumPolygons() == 1 && left.Area() > area.Area()/2 {
		return left, nil
	}
	if len(strips) == 1 {
		return area, nil
	}
	half := len(strips) / 2
	if left, err = carve(area, strips[:half]); err != nil {
		return nil, err
	}
	return carve(left, strips[half:])
}

// withoutCrumbs drops areas that are next to nothing.
func withoutCrumbs(mp *geom.MultiPolygon) (*geom.MultiPolygon, error) {
	const crumb = 1e-3 // mm²
	out := geom.NewMultiPolygon(geom.XY)
	for i := range mp.NumPolygons() {
		if p := mp.Polygon(i); p.Area() > crumb {
			if err := out.Push(p); err != nil {
				return nil, fmt.Errorf("stencil: %w", err)
			}
		}
	}
	return out, nil
}
