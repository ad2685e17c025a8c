package main

import (
	"fmt"

	"github.com/twpayne/go-geom"
)

// shape is any geometry of a drawing.
type shape[T any] interface {
	Clone() T
	FlatCoords() []float64
}

// mapped returns g with f applied to every point.
func mapped[T shape[T]](g T, f func(x, y float64) (float64, float64)) T {
	m := g.Clone()
	flat := m.FlatCoords()
	for i := 0; i+1 < len(flat); i += 2 {
		flat[i], flat[i+1] = f(flat[i], flat[i+1])
	}
	return m
}

// A motion takes points to another place, turned perhaps, but neither stretched
// nor mirrored.
type motion func(x, y float64) (float64, float64)

// back is the motion that undoes m.
func (m motion) back() motion {
	x0, y0 := m(0, 0)
	x1, y1 := m(1, 0)
	c, s := x1-x0, y1-y0
	return func(x, y float64) (float64, float64) {
		x, y = x-x0, y-y0
		return c*x + s*y, c*y - s*x
	}
}

// moved returns g shifted by (dx, dy) mm.
func moved[T shape[T]](g T, dx, dy float64) T {
	return mapped(g, func(x, y float64) (float64, float64) { return x + dx, y + dy })
}

// mappedAny is mapped for a geometry whose type is not known.
func mappedAny(g geom.T, f func(x, y float64) (float64, float64)) (geom.T, error) {
	switch g := g.(type) {
	case *geom.Polygon:
		return mapped(g, f), nil
	case *geom.MultiPolygon:
		return mapped(g, f), nil
	case *geom.LinearRing:
		return mapped(g, f), nil
	case *geom.LineString:
		return mapped(g, f), nil
	case *geom.MultiLineString:
		return mapped(g, f), nil
	}
	return nil, fmt.Errorf("a %T cannot be placed", g)
}

// one returns a MultiPolygon of a single polygon.
func one(p *geom.Polygon) (*geom.MultiPolygon, error) {
	mp := geom.NewMultiPolygon(geom.XY)
	return mp, mp.Push(p)
}

// corners returns b as a polygon of positive Area, which its own Polygon is not.
func corners(b *geom.Bounds) *geom.Polygon {
	x0, y0, x1, y1 := b.Min(0), b.Min(1), b.Max(0), b.Max(1)
	return geom.NewPolygonFlat(geom.XY, []float64{x0, y0, x1, y0, x1, y1, x0, y1, x0, y0}, []int{10})
}

// joined returns the polygons of a and b together; they must not meet.
func joined(a, b *geom.MultiPolygon) (*geom.MultiPolygon, error) {
	both := a.Clone()
	for i := range b.NumPolygons() {
		if err := both.Push(b.Polygon(i)); err != nil {
			return nil, err
		}
	}
	return both, nil
}

// widened returns b with every side moved outward by mm.
func widened(b *geom.Bounds, mm float64) *geom.Bounds {
	return geom.NewBounds(geom.XY).Set(b.Min(0)-mm, b.Min(1)-mm, b.Max(0)+mm, b.Max(1)+mm)
}
