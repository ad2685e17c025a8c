package words

import (
	"cmp"
	"math"
	"slices"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/region"
	"example.org/kerfleaf/internal/ring"
)

// fill returns the area that the closed rings enclose by the nonzero rule: a
// point belongs to it unless as many of them run round it one way as the other
// (OpenType glyf and CFF tables).
func fill(rings [][]float64) (*geom.MultiPolygon, error) {
	clean := make([][]float64, 0, len(rings))
	for _, r := range rings {
		if r = withoutRepeats(r); len(r) >= 8 {
			clean = append(clean, r)
		}
	}
	met, err := crossings(clean)
	if err != nil {
		return nil, err
	}
	if len(met) == 0 {
		return ring.Nest(boundaries(clean)), nil
	}
	area, err := overlay(untangle(clean, met))
	if err != nil {
		return nil, err
	}
	return withoutSlivers(area)
}

// withoutSlivers leaves out rings smaller than anything a designer can draw:
// the smallest triangle on a font's grid has half a square unit. Slivers are
// left where lines that should coincide cross at a hair's breadth.
func withoutSlivers(mp *geom.MultiPolygon) (*geom.MultiPolygon, error) {
	out := geom.NewMultiPolygon(geom.XY)
	for _, p := range polygons(mp) {
		kept := geom.NewPolygon(geom.XY)
		for i := range p.NumLinearRings() {
			if r := p.LinearRing(i); math.Abs(r.Area()) >= 1e-3 {
				if err := kept.Push(r); err != nil {
					return nil, err
				}
			} else if i == 0 {
				break
			}
		}
		if kept.NumLinearRings() > 0 {
			if err := out.Push(kept); err != nil {
				return nil, err
			}
		}
	}
	return out, nil
}

func withoutRepeats(r []float64) []float64 {
	out := slices.Clone(r[:2])
	for i := 2; i < len(r); i += 2 {
		if n := len(out); r[i] != out[n-2] || r[i+1] != out[n-1] {
			out = append(out, r[i], r[i+1])
		}
	}
	return out
}

// boundaries returns those of the rings, which must not meet, that have a
// winding number of zero on one side only.
func boundaries(rings [][]float64) [][]float64 {
	var out [][]float64
	for i, r := range rings {
		outside := 0
		for j, o := range rings {
			if i != j && ring.Locate(o, r[0], r[1]) == ring.Inside {
				outside += turn(o)
			}
		}
		if inside := outside + turn(r); (inside == 0) != (outside == 0) {
			out = append(out, r)
		}
	}
	return out
}

// turn is 1 or -1 for a ring of positive or negative area.
func turn(r []float64) int {
	if ring.Area(r) > 0 {
		return 1
	}
	return -1
}

// untangle cuts rings at their crossings into simple loops. The loops run round
// every point as often as the rings do.
func untangle(rings [][]float64, met []crossing) [][]float64 {
	type stop struct {
		t float64
		p point
	}
	stops := make([]map[int][]stop, len(rings)) // by segment
	for k := range rings {
		stops[k] = map[int][]stop{}
	}
	for _, m := range met {
		for k, s := range m.s {
			stops[s.ring][s.i] = append(stops[s.ring][s.i], stop{m.t[k], m.p})
		}
	}
	var loops [][]float64
	for k, r := range rings {
		var path []point
		onPath := map[point]int{}
		visit := func(p point) {
			i, crossed := onPath[p]
			if !crossed {
				onPath[p] = len(path)
				path = append(path, p)
				return
			}
			var loop []float64
			for _, q := range path[i:] {
				loop = append(loop, q.x, q.y)
				if q != p {
					delete(onPath, q)
				}
			}
			path = path[:i+1]
			if loop = append(loop, p.x, p.y); ring.Area(loop) != 0 {
				loops = append(loops, loop)
			}
		}
		for i := 0; i+1 < len(r); i += 2 {
			visit(point{r[i], r[i+1]})
			here := stops[k][i/2]
			slices.SortStableFunc(here, func(a, b stop) int { return cmp.Compare(a.t, b.t) })
			for _, s := range here {
				if s.p != path[len(path)-1] {
					visit(s.p)
				}
			}
		}
	}
	return loops
}

// overlay is fill for simple loops that may cross each other. It gathers the
// areas that at least one, two, ... loops run round one way, and likewise the
// other way; where the two counts differ the winding number is not zero.
func overlay(loops [][]float64) (*geom.MultiPolygon, error) {
	var left, right []*geom.MultiPolygon
	for _, r := range loops {
		layers := &left
		if turn(r) < 0 {
			layers = &right
		}
		more := ring.Nest([][]float64{r})
		for k := 0; more.NumPolygons() > 0; k++ {
			if k == len(*layers) {
				*layers = append(*layers, more)
				break
			}
			both, err := region.Intersection((*layers)[k], more)
			if err != nil {
				return nil, err
			}
			if (*layers)[k], err = region.Union((*layers)[k], more); err != nil {
				return nil, err
			}
			more = both
		}
	}
	var parts []*geom.Polygon
	for k := range max(len(left), len(right)) {
		var a, b *geom.MultiPolygon
		if k < len(left) {
			a = left[k]
		}
		if k < len(right) {
			b = right[k]
		}
		for _, pair := range [][2]*geom.MultiPolygon{{a, b}, {b, a}} {
			d, err := region.Difference(pair[0], pair[1])
			if err != nil {
				return nil, err
			}
			parts = append(parts, polygons(d)...)
		}
	}
	return region.UnionAll(parts)
}

func polygons(mp *geom.MultiPolygon) []*geom.Polygon {
	out := make([]*geom.Polygon, mp.NumPolygons())
	for i := range out {
		out[i] = mp.Polygon(i)
	}
	return out
}
