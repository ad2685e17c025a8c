package words

import (
	"math"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/twpayne/go-geom"
)

// glyphKey names the polygons of a glyph at a flatness in font units.
type glyphKey struct {
	id   uint32
	flat float64
}

// flatness is the tolerance in font units, rounded down to a power of two so
// that texts of about the same size share the polygons of their letters.
func flatness(tolerance, scale float64) float64 {
	return math.Exp2(math.Floor(math.Log2(tolerance / scale)))
}

// shapes returns the areas of all glyphs of a page, in font units, y up.
func (s *setter) shapes(p *page, flat float64) ([]shape, error) {
	var out []shape
	for _, g := range p.glyphs {
		key := glyphKey{uint32(g.id), flat}
		known, ok := s.filled.Load(key)
		if !ok {
			contours, err := s.outline(g.id, flat)
			if err != nil {
				return nil, err
			}
			filled, err := fill(contours)
			if err != nil {
				return nil, err
			}
			known, _ = s.filled.LoadOrStore(key, filled)
		}
		for _, a := range known.([]shape) {
			out = append(out, a.move(g.x, g.y))
		}
	}
	return out, nil
}

// unite joins the areas that overlap or touch, and leaves the others alone. A
// united area takes the place of its first part.
func unite(shapes []shape) ([]shape, error) {
	boxes := make([]box, len(shapes))
	group := make([]int, len(shapes)) // union-find: index of an earlier member
	find := func(i int) int {
		for group[i] != i {
			group[i] = group[group[i]]
			i = group[i]
		}
		return i
	}
	for i, s := range shapes {
		boxes[i], group[i] = s.outer.box(), i
		for j := range i {
			if !boxes[i].meets(boxes[j]) || find(i) == find(j) {
				continue
			}
			meet, err := s.meets(shapes[j])
			if err != nil {
				return nil, err
			}
			if a, b := find(i), find(j); meet {
				group[max(a, b)] = min(a, b)
			}
		}
	}
	members := map[int][]sf.Geometry{}
	for i, s := range shapes {
		members[find(i)] = append(members[find(i)], s.polygon())
	}
	var out []shape
	for i, s := range shapes {
		switch m := members[i]; {
		case len(m) == 1:
			out = append(out, s)
		case len(m) > 1:
			united, err := union(m)
			if err != nil {
				return nil, err
			}
			out = append(out, united...)
		}
	}
	return out, nil
}

// meets tells whether two areas have a point in common, if only on their
// boundaries.
func (s shape) meets(t shape) (bool, error) {
	for _, c := range s.rings() {
		for _, d := range t.rings() {
			if !c.box().meets(d.box()) {
				continue
			}
			met, err := crossings([]contour{c, d})
			if err != nil || len(met) > 0 {
				return len(met) > 0, err
			}
		}
	}
	return s.contains(t.outer[0]) || t.contains(s.outer[0]), nil
}

func (s shape) rings() []contour { return append([]contour{s.outer}, s.holes...) }

// contains tells whether a point that is not on the boundary lies in the area.
func (s shape) contains(p point) bool {
	if !s.outer.contains(p) {
		return false
	}
	for _, h := range s.holes {
		if h.contains(p) {
			return false
		}
	}
	return true
}

func (s shape) move(dx, dy float64) shape {
	out := shape{outer: s.outer.move(dx, dy)}
	for _, h := range s.holes {
		out.holes = append(out.holes, h.move(dx, dy))
	}
	return out
}

// polygon gives the shape to the overlay library.
func (s shape) polygon() sf.Geometry {
	var rings [][]float64
	for _, c := range s.rings() {
		flat := make([]float64, 0, 2*len(c)+2)
		for _, p := range c {
			flat = append(flat, p.x, p.y)
		}
		rings = append(rings, append(flat, c[0].x, c[0].y))
	}
	return sf.NewPolygonXY(rings...).AsGeometry()
}

// union returns the union of areas.
func union(parts []sf.Geometry) ([]shape, error) {
	u, err := sf.UnionMany(parts)
	if err != nil {
		return nil, err
	}
	var out []shape
	for _, p := range areas(u).MustAsMultiPolygon().Dump() {
		var s shape
		for i, ring := range p.DumpRings() {
			seq := ring.Coordinates()
			c := make(contour, 0, seq.Length())
			for k := range seq.Length() - 1 {
				c = append(c, point{seq.GetXY(k).X, seq.GetXY(k).Y})
			}
			if i == 0 {
				s.outer = c
			} else {
				s.holes = append(s.holes, c)
			}
		}
		out = append(out, s)
	}
	return out, nil
}

// areas returns the polygons of an overlay's result, which may hold points and
// lines too where areas merely touch.
func areas(g sf.Geometry) sf.Geometry {
	var polygons []sf.Polygon
	for _, part := range g.Dump() {
		if part.IsPolygon() && !part.IsEmpty() {
			polygons = append(polygons, part.MustAsPolygon())
		}
	}
	return sf.NewMultiPolygon(polygons).AsGeometry()
}

// toMM scales shapes from font units, y up, to mm, y down, so that the given
// point becomes the origin.
func toMM(shapes []shape, scale float64, origin point) *geom.MultiPolygon {
	var flat []float64
	var ends [][]int
	for _, s := range shapes {
		var polygonEnds []int
		for i, c := range s.rings() {
			flat = c.appendMM(flat, scale, origin, i > 0)
			polygonEnds = append(polygonEnds, len(flat))
		}
		ends = append(ends, polygonEnds)
	}
	return geom.NewMultiPolygonFlat(geom.XY, flat, ends)
}

// appendMM appends the closed ring from its topmost, then leftmost vertex on,
// turning as outer rings or holes do.
func (c contour) appendMM(flat []float64, scale float64, origin point, hole bool) []float64 {
	first := 0
	for i, p := range c {
		if q := c[first]; p.y > q.y || p.y == q.y && p.x < q.x {
			first = i
		}
	}
	// Turning y over turns the sense of rotation over.
	step := 1
	if (c.area() > 0) != hole {
		step = len(c) - 1
	}
	for k, i := 0, first; k <= len(c); k, i = k+1, (i+step)%len(c) {
		flat = append(flat, (c[i].x-origin.x)*scale, (origin.y-c[i].y)*scale)
	}
	return flat
}
