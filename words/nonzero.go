package words

import (
	"slices"

	sf "github.com/peterstace/simplefeatures/geom"
)

// A shape is an area with holes. No two of its rings cross.
type shape struct {
	outer contour
	holes []contour
}

// fill returns the area that the contours enclose by the nonzero rule: a point
// belongs to it unless as many contours run round it one way as the other
// (OpenType glyf and CFF tables).
func fill(contours []contour) ([]shape, error) {
	clean := make([]contour, 0, len(contours))
	for _, c := range contours {
		c = slices.Compact(slices.Clone(c))
		if len(c) > 1 && c[0] == c[len(c)-1] {
			c = c[:len(c)-1]
		}
		if len(c) > 2 {
			clean = append(clean, c)
		}
	}
	met, err := crossings(clean)
	if err != nil {
		return nil, err
	}
	if len(met) == 0 {
		return nest(clean), nil
	}
	return overlay(untangle(clean, met))
}

// nest is fill for simple contours that do not meet: each is a boundary of the
// area if the winding number is zero on one side of it only.
func nest(contours []contour) []shape {
	type ring struct {
		contour
		around []int // the rings that it lies in
		inside int   // the winding number within
	}
	turn := func(c contour) int {
		if c.area() > 0 {
			return 1
		}
		return -1
	}
	rings := make([]ring, len(contours))
	for i, c := range contours {
		rings[i] = ring{contour: c, inside: turn(c)}
		for j, d := range contours {
			if i != j && d.contains(c[0]) {
				rings[i].around = append(rings[i].around, j)
				rings[i].inside += turn(d)
			}
		}
	}
	var out []shape
	place := map[int]int{} // ring to its shape
	for i, r := range rings {
		if outside := r.inside - turn(r.contour); outside == 0 {
			place[i] = len(out)
			out = append(out, shape{outer: r.contour})
		}
	}
	for _, r := range rings {
		if r.inside != 0 || len(r.around) == 0 {
			continue
		}
		// The shape around a hole is the smallest outer ring that it lies in:
		// the one that most others are around.
		best := -1
		for _, j := range r.around {
			if _, ok := place[j]; ok && (best < 0 || len(rings[j].around) > len(rings[best].around)) {
				best = j
			}
		}
		s := &out[place[best]]
		s.holes = append(s.holes, r.contour)
	}
	return out
}

// untangle cuts contours at their crossings into simple loops. The loops run
// round every point as often as the contours do.
func untangle(contours []contour, met []crossing) []contour {
	type stop struct {
		t float64
		p point
	}
	stops := make([][][]stop, len(contours))
	for k, c := range contours {
		stops[k] = make([][]stop, len(c))
	}
	for _, m := range met {
		for k, s := range m.s {
			at := &stops[s.contour][s.i]
			*at = append(*at, stop{m.t[k], m.p})
		}
	}
	var loops []contour
	for k, c := range contours {
		var path contour
		onPath := map[point]int{}
		visit := func(p point) {
			i, crossed := onPath[p]
			if !crossed {
				onPath[p] = len(path)
				path = append(path, p)
				return
			}
			loop := slices.Clone(path[i:])
			for _, q := range loop[1:] {
				delete(onPath, q)
			}
			path = path[:i+1]
			if len(loop) > 2 && loop.area() != 0 {
				loops = append(loops, loop)
			}
		}
		for i, p := range c {
			visit(p)
			at := stops[k][i]
			slices.SortStableFunc(at, func(a, b stop) int {
				switch {
				case a.t < b.t:
					return -1
				case a.t > b.t:
					return 1
				}
				return 0
			})
			for _, s := range at {
				if s.p != path[len(path)-1] {
					visit(s.p)
				}
			}
		}
		visit(c[0])
	}
	return loops
}

// overlay is fill for simple loops that may cross each other. It gathers the
// areas that at least one, two, ... loops run round one way, and likewise the
// other way; where the two counts differ the winding number is not zero.
func overlay(loops []contour) ([]shape, error) {
	var left, right []sf.Geometry
	for _, c := range loops {
		layers := &left
		if c.area() < 0 {
			layers = &right
		}
		more := shape{outer: c}.polygon()
		for k := 0; !more.IsEmpty(); k++ {
			if k == len(*layers) {
				*layers = append(*layers, more)
				break
			}
			both, err := sf.Intersection((*layers)[k], more)
			if err != nil {
				return nil, err
			}
			all, err := sf.Union((*layers)[k], more)
			if err != nil {
				return nil, err
			}
			(*layers)[k], more = areas(all), areas(both)
		}
	}
	var parts []sf.Geometry
	for k := range max(len(left), len(right)) {
		var a, b sf.Geometry
		if k < len(left) {
			a = left[k]
		}
		if k < len(right) {
			b = right[k]
		}
		d, err := sf.SymmetricDifference(a, b)
		if err != nil {
			return nil, err
		}
		parts = append(parts, areas(d))
	}
	return union(parts)
}

// area is positive for a contour that runs counterclockwise with y up.
func (c contour) area() float64 {
	sum, last := 0.0, c[len(c)-1]
	for _, p := range c {
		sum += (last.x-c[0].x)*(p.y-c[0].y) - (p.x-c[0].x)*(last.y-c[0].y)
		last = p
	}
	return sum / 2
}

// contains tells whether a point that is not on the contour lies within it.
func (c contour) contains(p point) bool {
	in, a := false, c[len(c)-1]
	for _, b := range c {
		if (a.y > p.y) != (b.y > p.y) && p.x < a.x+(b.x-a.x)*(p.y-a.y)/(b.y-a.y) {
			in = !in
		}
		a = b
	}
	return in
}

func (c contour) box() box {
	b := emptyBox
	for _, p := range c {
		b = b.add(p)
	}
	return b
}

func (c contour) move(dx, dy float64) contour {
	out := make(contour, len(c))
	for i, p := range c {
		out[i] = point{p.x + dx, p.y + dy}
	}
	return out
}
