// Package region unites, subtracts and intersects polygons.
//
// Every function takes and returns multipolygons in the XY layout, rings closed,
// outer rings of positive Area and holes of negative; inputs must be valid and
// stay as they are. A nil or empty multipolygon is the empty region. It is a thin
// layer over the overlay of github.com/peterstace/simplefeatures and suits small
// geometry, such as taking straps out of cut areas.
package region

import (
	"encoding/binary"
	"fmt"
	"math"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/wkb"
)

// Union is what lies in a or in b.
func Union(a, b *geom.MultiPolygon) (*geom.MultiPolygon, error) {
	return overlay("union", sf.Union, a, b)
}

// Difference is what lies in a but not in b.
func Difference(a, b *geom.MultiPolygon) (*geom.MultiPolygon, error) {
	return overlay("difference", sf.Difference, a, b)
}

// Intersection is what lies in both a and b.
func Intersection(a, b *geom.MultiPolygon) (*geom.MultiPolygon, error) {
	return overlay("intersection", sf.Intersection, a, b)
}

// UnionAll is what lies in any of the polygons, which may overlap one another.
func UnionAll(polygons []*geom.Polygon) (*geom.MultiPolygon, error) {
	gs := make([]sf.Geometry, len(polygons))
	for i, p := range polygons {
		mp := geom.NewMultiPolygon(geom.XY)
		if err := mp.Push(p); err != nil {
			return nil, fmt.Errorf("region: union: %w", err)
		}
		g, err := toSF(mp)
		if err != nil {
			return nil, fmt.Errorf("region: union: %w", err)
		}
		gs[i] = g
	}
	u, err := sf.UnionMany(gs)
	if err != nil {
		return nil, fmt.Errorf("region: union: %w", err)
	}
	return fromSF(u)
}

// Along is what lies within radius of a line of points x0, y0, x1, y1 and so on. Its
// round ends and bends have corners that lie up to 0.5 % of the radius outside and
// sides that nowhere come nearer to the line than the radius.
func Along(line []float64, radius float64) (*geom.MultiPolygon, error) {
	const quarter = 8 // sides to a quarter of a circle
	if len(line) == 2 {
		line = []float64{line[0], line[1], line[0], line[1]}
	}
	b, err := wkb.Marshal(geom.NewLineStringFlat(geom.XY, line), binary.LittleEndian)
	if err != nil {
		return nil, fmt.Errorf("region: along: %w", err)
	}
	g, err := sf.UnmarshalWKB(b, sf.NoValidate{})
	if err != nil {
		return nil, fmt.Errorf("region: along: %w", err)
	}
	out := radius / math.Cos(math.Pi/(4*quarter))
	g, err = sf.Buffer(g, out, sf.BufferQuadSegments(quarter), sf.BufferSimplifyFactor(0))
	if err != nil {
		return nil, fmt.Errorf("region: along: %w", err)
	}
	return fromSF(g)
}

func overlay(name string, op func(a, b sf.Geometry) (sf.Geometry, error), a, b *geom.MultiPolygon) (*geom.MultiPolygon, error) {
	ga, err := toSF(a)
	if err != nil {
		return nil, fmt.Errorf("region: %s: %w", name, err)
	}
	gb, err := toSF(b)
	if err != nil {
		return nil, fmt.Errorf("region: %s: %w", name, err)
	}
	g, err := op(ga, gb)
	if err != nil {
		return nil, fmt.Errorf("region: %s: %w", name, err)
	}
	return fromSF(g)
}

func toSF(mp *geom.MultiPolygon) (sf.Geometry, error) {
	if mp == nil {
		mp = geom.NewMultiPolygon(geom.XY)
	}
	b, err := wkb.Marshal(mp, binary.LittleEndian)
	if err != nil {
		return sf.Geometry{}, err
	}
	return sf.UnmarshalWKB(b, sf.NoValidate{})
}

// fromSF keeps the polygons of g and drops the points and lines that an
// intersection may leave where areas only touch.
func fromSF(g sf.Geometry) (*geom.MultiPolygon, error) {
	out := geom.NewMultiPolygon(geom.XY)
	for _, part := range g.Dump() {
		if part.Type() != sf.TypePolygon || part.IsEmpty() {
			continue
		}
		t, err := wkb.Unmarshal(part.AsBinary())
		if err != nil {
			return nil, fmt.Errorf("region: result: %w", err)
		}
		p, ok := t.(*geom.Polygon)
		if !ok {
			return nil, fmt.Errorf("region: result: got %T, want a polygon", t)
		}
		if p = tidy(p); p.NumLinearRings() == 0 {
			continue
		}
		if err := out.Push(p); err != nil {
			return nil, fmt.Errorf("region: result: %w", err)
		}
	}
	return out, nil
}

// same is how near two vertices, in mm, are one: the overlay's rounding leaves pairs
// that are a last bit apart, and a ring that turns back between them.
const same = 1e-7

// tidy winds the rings of p the way of the contract and joins vertices that are as
// good as one. Rings that have no area left are dropped.
func tidy(p *geom.Polygon) *geom.Polygon {
	var flat []float64
	var ends []int
	for i := range p.NumLinearRings() {
		ring := joined(p.LinearRing(i).FlatCoords())
		if len(ring) < 8 {
			if i == 0 {
				break
			}
			continue
		}
		a := geom.NewLinearRingFlat(geom.XY, ring).Area()
		if (a > 0) != (i == 0) {
			for l, r := 0, len(ring)-2; l < r; l, r = l+2, r-2 {
				ring[l], ring[l+1], ring[r], ring[r+1] = ring[r], ring[r+1], ring[l], ring[l+1]
			}
		}
		flat = append(flat, ring...)
		ends = append(ends, len(flat))
	}
	return geom.NewPolygonFlat(geom.XY, flat, ends)
}

// joined is a closed ring without the vertices that are the same as the one before.
func joined(ring []float64) []float64 {
	var out []float64
	for i := 0; i+1 < len(ring)-2; i += 2 {
		n := len(out)
		if n == 0 || math.Hypot(ring[i]-out[n-2], ring[i+1]-out[n-1]) > same {
			out = append(out, ring[i], ring[i+1])
		}
	}
	for n := len(out); n > 2 && math.Hypot(out[0]-out[n-2], out[1]-out[n-1]) <= same; n = len(out) {
		out = out[:n-2]
	}
	if len(out) == 0 {
		return nil
	}
	return append(out, out[0], out[1])
}
