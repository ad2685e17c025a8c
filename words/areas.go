package words

import (
	"errors"
	"math"

	"github.com/go-text/typesetting/font/opentype"
	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/ring"
)

// glyphKey names the polygons of a glyph at a flatness in font units.
type glyphKey struct {
	id   opentype.GID
	flat float64
}

// flatness is the tolerance in font units, rounded down to a power of two so
// that texts of about the same size share the polygons of their letters.
func flatness(tolerance, scale float64) float64 {
	return math.Exp2(math.Floor(math.Log2(tolerance / scale)))
}

// filled returns the area of a glyph in font units, y down. It is not to be
// changed.
func (s *setter) filled(id opentype.GID, flat float64) (*geom.MultiPolygon, error) {
	key := glyphKey{id, flat}
	if known, ok := s.areas.Load(key); ok {
		return known.(*geom.MultiPolygon), nil
	}
	rings, err := s.outline(id, flat)
	if err != nil {
		return nil, err
	}
	area, err := fill(rings)
	if err != nil {
		return nil, &FontError{err}
	}
	known, _ := s.areas.LoadOrStore(key, fromTop(area))
	return known.(*geom.MultiPolygon), nil
}

var errTangled = errors.New("a glyph's outline is tangled beyond repair")

// cut returns the areas of a page in mm, scale mm a font unit, the box around
// them beginning at (0, 0).
func (s *setter) cut(p *page, scale, tolerance float64) (*geom.MultiPolygon, error) {
	flatness := flatness(tolerance, scale)
	left, top := math.Inf(1), math.Inf(1)
	for _, g := range p.glyphs {
		area, err := s.filled(g.id, flatness)
		if err != nil {
			return nil, err
		}
		for xy := area.FlatCoords(); len(xy) > 0; xy = xy[2:] {
			left, top = min(left, xy[0]+g.x), min(top, xy[1]+g.y)
		}
	}
	var flat []float64
	var endss [][]int
	for _, g := range p.glyphs {
		area, err := s.filled(g.id, flatness)
		if err != nil {
			return nil, err
		}
		for _, ends := range area.Endss() {
			shifted := make([]int, len(ends))
			for i, end := range ends {
				shifted[i] = end + len(flat)
			}
			endss = append(endss, shifted)
		}
		for xy := area.FlatCoords(); len(xy) > 0; xy = xy[2:] {
			flat = append(flat, (xy[0]+g.x-left)*scale, (xy[1]+g.y-top)*scale)
		}
	}
	out, err := unite(geom.NewMultiPolygonFlat(geom.XY, flat, endss))
	if err != nil {
		return nil, err
	}
	if ring.Check(out) != nil {
		return nil, &FontError{errTangled}
	}
	return out, nil
}
