package trace

import (
	"math"

	"github.com/twpayne/go-geom"
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
	m, _ := simplify(cut, tolerance)
	return m
}

// simplify is Simplify, and tells the greatest distance that it made.
func simplify(cut *geom.MultiPolygon, tolerance float64) (*geom.MultiPolygon, float64) {
	if !(tolerance > 0) || len(cut.FlatCoords()) == 0 {
		return cut.Clone(), 0
	}
	t := thinned{xy: cut.FlatCoords(), tolerance: tolerance}
	start := 0
	for _, ends := range cut.Endss() {
		for _, end := range ends {
			t.thinRing(start/2, end/2-1)
			start = end
		}
	}
	t.untangle()
	return t.polygons(cut.Endss()), t.departure()
}

// thinned is a choice of vertices of rings.
type thinned struct {
	xy        []float64
	tolerance float64
	rings     []span  // each ring's vertices, the closing one left out
	keep      []int32 // the vertices kept, ring by ring
	nodes     []span  // each ring's part of keep
}

// span is a range of numbers, the last excluded.
type span struct{ from, to int }

// thinRing chooses the vertices of the ring of those from a to before z.
func (t *thinned) thinRing(a, z int) {
	n, first := z-a, len(t.keep)
	for tol := t.tolerance; ; tol /= 2 {
		t.keep = t.keep[:first]
		if n <= 3 || tol < t.tolerance/64 {
			for i := a; i < z; i++ {
				t.keep = append(t.keep, int32(i))
			}
			break
		}
		// The first vertex may lie on a straight run: the end of the first
		// reach does not.
		s := reach(t.xy, a, n, 0, n, tol*tol) % n
		for i := s; i < s+n; {
			t.keep = append(t.keep, int32(a+i%n))
			i = reach(t.xy, a, n, i, s+n, tol*tol)
		}
		if len(t.keep)-first >= 3 && t.sameSense(a, z, first) {
			break
		}
	}
	t.rings = append(t.rings, span{a, z})
	t.nodes = append(t.nodes, span{first, len(t.keep)})
}

// sameSense says whether the chosen vertices from first on go round the same
// way as the ring.
func (t *thinned) sameSense(a, z, first int) bool {
	x0, y0 := t.xy[2*a], t.xy[2*a+1]
	last := t.keep[len(t.keep)-1]
	px, py := t.xy[2*last]-x0, t.xy[2*last+1]-y0
	sum := 0.0
	for _, v := range t.keep[first:] {
		x, y := t.xy[2*v]-x0, t.xy[2*v+1]-y0
		sum += px*y - x*py
		px, py = x, y
	}
	return sum*ringArea(t.xy[2*a:2*z]) > 0
}

// reach returns the furthest vertex that a segment from vertex i may lead to
// such that the distance of those between is at most the root of tol2: at
// least i+1, at most end. Vertices count from a, round a ring of n.
//
// A vertex further than the tolerance away must lie in the cone of directions
// that pass the ones before. If it is also not nearer than any of them, these
// lie beside the segment and not beyond its end.
func reach(xy []float64, a, n, i, end int, tol2 float64) int {
	p := 2 * (a + i%n)
	x0, y0 := xy[p], xy[p+1]
	best := i + 1
	var lx, ly, rx, ry float64 // the cone's sides, counted as y up: left, right
	open := true               // no cone yet
	tol := math.Sqrt(tol2)
	far := 0.0 // greatest squared distance so far
	for j := i + 1; j <= end; j++ {
		q := 2 * (a + j%n)
		dx, dy := xy[q]-x0, xy[q+1]-y0
		d2 := dx*dx + dy*dy
		outside := false
		if !open {
			if dx*lx+dy*ly < 0 && dx*rx+dy*ry < 0 && d2 > tol2 {
				break
			}
			outside = lx*dy-ly*dx > 0 || rx*dy-ry*dx < 0
		}
		if !outside && d2 >= far {
			best = j
		}
		far = max(far, d2)
		if d2 <= tol2 {
			continue // any direction passes it
		}
		// The tangents to the circle round it: cos and sin of the half angle
		// are h and w over the distance, where h² + w² is its square. Beyond
		// half a right angle the comparisons below could not tell left from
		// right, and we take less than there is.
		h, w := math.Sqrt(d2-tol2), tol
		if h < w {
			h = math.Sqrt(d2 / 2)
			w = h
		}
		ax, ay := dx*h-dy*w, dy*h+dx*w // left
		bx, by := dx*h+dy*w, dy*h-dx*w // right
		if open {
			lx, ly, rx, ry = ax, ay, bx, by
			open = false
			continue
		}
		if ax*ly-ay*lx > 0 {
			lx, ly = ax, ay
		}
		if bx*ry-by*rx < 0 {
			rx, ry = bx, by
		}
		if rx*ly-ry*lx < 0 {
			break
		}
	}
	return best
}

// departure is the greatest distance of a vertex left out from its segment.
func (t *thinned) departure() float64 {
	worst := 0.0
	for r, nodes := range t.nodes {
		for k := nodes.from; k < nodes.to; k++ {
			_, d2 := t.furthest(r, k)
			worst = max(worst, d2)
		}
	}
	return math.Sqrt(worst)
}

// segment returns the vertices at both ends of the kth segment, of ring r, the
// second one counted on past the ring's end.
func (t *thinned) segment(r, k int) (i, j int) {
	nodes, ring := t.nodes[r], t.rings[r]
	i = int(t.keep[k])
	if k++; k == nodes.to {
		k = nodes.from
	}
	if j = int(t.keep[k]); j <= i {
		j += ring.to - ring.from
	}
	return i, j
}

// furthest returns the vertex left out of the kth segment, of ring r, that is
// furthest from it, or -1, and its squared distance.
func (t *thinned) furthest(r, k int) (vertex int, d2 float64) {
	i, j := t.segment(r, k)
	ring := t.rings[r]
	wrap := func(v int) int {
		if v >= ring.to {
			v -= ring.to - ring.from
		}
		return v
	}
	vertex, d2 = -1, -1
	e := wrap(j)
	for v := i + 1; v < j; v++ {
		w := wrap(v)
		if d := segmentDistance2(t.xy[2*w], t.xy[2*w+1], t.xy[2*i], t.xy[2*i+1], t.xy[2*e], t.xy[2*e+1]); d > d2 {
			vertex, d2 = w, d
		}
	}
	return vertex, max(d2, 0)
}

// segmentDistance2 is the squared distance of p from the segment from a to b.
func segmentDistance2(px, py, ax, ay, bx, by float64) float64 {
	dx, dy := bx-ax, by-ay
	px, py = px-ax, py-ay
	u := px*dx + py*dy
	switch l2 := dx*dx + dy*dy; {
	case u <= 0:
	case u >= l2:
		px, py = px-dx, py-dy
	default:
		c := px*dy - py*dx
		return c * c / l2
	}
	return px*px + py*py
}

// polygons copies the vertices chosen, with the rings' order of endss.
func (t *thinned) polygons(endss [][]int) *geom.MultiPolygon {
	flat := make([]float64, 0, 2*(len(t.keep)+len(t.rings)))
	ends := make([]int, 0, len(t.rings))
	out := make([][]int, 0, len(endss))
	r := 0
	for _, e := range endss {
		n := len(ends)
		for range e {
			nodes := t.nodes[r]
			r++
			for _, v := range t.keep[nodes.from:nodes.to] {
				flat = append(flat, t.xy[2*v], t.xy[2*v+1])
			}
			v := t.keep[nodes.from]
			flat = append(flat, t.xy[2*v], t.xy[2*v+1])
			ends = append(ends, len(flat))
		}
		out = append(out, ends[n:len(ends):len(ends)])
	}
	return geom.NewMultiPolygonFlat(geom.XY, flat, out)
}
