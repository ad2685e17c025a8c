package offset

import (
	"fmt"
	"math"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/wkb"

	"example.org/kerfleaf/internal/ring"
)

func polygons(mp *geom.MultiPolygon, distance float64, s settings) (*geom.MultiPolygon, error) {
	for k, r := range ring.Rings(mp) {
		for i, v := range r {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return nil, &InputError{k, r[i&^1], r[i|1], "coordinate is not finite"}
			}
		}
	}
	if err := ring.Check(mp); err != nil {
		return nil, fmt.Errorf("offset: %w", err)
	}
	if distance == 0 {
		return mp.Clone(), nil
	}
	b, err := wkb.Marshal(mp, wkb.NDR)
	if err != nil {
		return nil, fmt.Errorf("offset: %w", err)
	}
	g, err := sf.UnmarshalWKB(b, sf.NoValidate{})
	if err != nil {
		return nil, fmt.Errorf("offset: %w", err)
	}
	opts := []sf.BufferOption{sf.BufferSimplifyFactor(0)}
	switch s.join {
	case Round:
		half := 1 - s.tolerance/math.Abs(distance)
		quad := 1
		if half > 0 {
			quad = max(1, int(math.Ceil(math.Pi/4/math.Acos(half))))
		}
		opts = append(opts, sf.BufferQuadSegments(quad))
	case Miter:
		opts = append(opts, sf.BufferJoinStyleMitre(s.limit))
	case Bevel:
		opts = append(opts, sf.BufferJoinStyleBevel())
	}
	out, err := sf.Buffer(g, distance, opts...)
	if err != nil {
		return nil, fmt.Errorf("offset: %w", err)
	}
	var rings [][]float64
	for _, p := range out.Dump() {
		poly, ok := p.AsPolygon()
		if !ok {
			continue
		}
		for _, l := range poly.DumpRings() {
			seq := l.Coordinates()
			var r []float64
			for i := range seq.Length() {
				xy := seq.GetXY(i)
				r = append(r, xy.X, xy.Y)
			}
			rings = append(rings, r)
		}
	}
	return ring.Nest(rings), nil
}
