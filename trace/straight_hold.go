package trace

import "math"

// courses are the nodes chosen for an open ring of vertices: their numbers, growing but perhaps round the ring's end, and their coordinates, which need
// not be those of the vertices.
type course struct {
	nodes []int32
	at    []float64
}

// holder makes courses pass every vertex of a ring within bound. Its buffers serve the next ring again.
type holder struct {
	xy          []float64 // of the open ring
	bound       float64
	bad, loose  []bool // segments, nodes
	out, before course
}

// hold returns a course that passes every vertex of the ring xy within bound. Where the given one does not, it goes from
// vertex to vertex as Douglas and Peucker's line does. It holds until the next call but one.
func (h *holder) hold(c course, xy []float64, bound float64) course {
	h.xy, h.bound = xy, bound
	for {
		any := false
		h.bad, h.loose = h.bad[:0], h.loose[:0]
		for k := range c.nodes {
			b, off := c.strays(xy, k, bound), c.nodeOff(xy, k)
			l := off > bound*bound && off > c.cutOff(k, bound)
			h.bad, h.loose = append(h.bad, b), append(h.loose, l)
			any = any || b || l
		}
		if !any {
			return c
		}
		h.out, h.before = h.before, h.out
		h.out.nodes, h.out.at = h.out.nodes[:0], h.out.at[:0]
		h.pin(c)
		c = h.out
	}
}

// pin makes out of a course, with loose nodes and bad segments' ends on their vertices and vertices between the latter.
func (h *holder) pin(c course) {
	last := h.bad[len(h.bad)-1]
	for k, v := range c.nodes {
		if !h.bad[k] && !last && !h.loose[k] {
			h.out.nodes = append(h.out.nodes, v)
			h.out.at = append(h.out.at, c.at[2*k], c.at[2*k+1])
		} else {
			h.put(int(v))
		}
		if last = h.bad[k]; last {
			i, j := c.ends(len(h.xy)/2, k)
			h.between(i, j, true)
		}
	}
}

// put adds a node on a vertex, counted on past the ring's end.
func (h *holder) put(v int) {
	if n := len(h.xy) / 2; v >= n {
		v -= n
	}
	h.out.nodes = append(h.out.nodes, int32(v))
	h.out.at = append(h.out.at, h.xy[2*v], h.xy[2*v+1])
}

// between puts the vertices that Douglas and Peucker's line has between i and j, and the furthest in any case if forced.
func (h *holder) between(i, j int, forced bool) {
	n := len(h.xy) / 2
	a, b := 2*(i%n), 2*(j%n)
	at, worst := furthestOf(h.xy, i, j, h.xy[a], h.xy[a+1], h.xy[b], h.xy[b+1])
	if at < 0 || worst <= h.bound*h.bound && !forced {
		return
	}
	// Of two vertices as far, as a symmetric outline has, it has both.
	first, last := at, at
	for v, d2 := at, worst; v >= 0 && d2 >= worst*(1-tie); v, d2 = furthestOf(h.xy, i, first, h.xy[a], h.xy[a+1], h.xy[b], h.xy[b+1]) {
		first = v
	}
	for v, d2 := at, worst; v >= 0 && d2 >= worst*(1-tie); v, d2 = furthestOf(h.xy, last, j, h.xy[a], h.xy[a+1], h.xy[b], h.xy[b+1]) {
		last = v
	}
	h.between(i, first, false)
	h.put(first)
	if first < last {
		h.between(first, last, false)
		h.put(last)
	}
	h.between(last, j, false)
}

// ends gives the vertices at both ends of segment k, in a ring of n, the second counted on past the ring's end.
func (c course) ends(n, k int) (i, j int) {
	i = int(c.nodes[k])
	if k++; k == len(c.nodes) {
		k = 0
	}
	if j = int(c.nodes[k]); j <= i {
		j += n
	}
	return i, j
}

// furthest returns the greatest squared distance from the course of the vertices between the ends of segment k's stretch.
// Near its ends they may be nearer to the segments beside it: these are looked at if the distance would be beyond bound2.
func (c course) furthest(xy []float64, k int, bound2 float64) float64 {
	n := len(xy) / 2
	i, j := c.ends(n, k)
	ax, ay, bx, by := c.segment(k)
	d2 := worstOf(xy, i, j, ax, ay, bx, by)
	if d2 <= bound2 {
		return d2
	}
	d2 = 0
	three := c.beside(k)
	for u := i + 1; u < j; u++ {
		v := u
		if v >= n {
			v -= n
		}
		d2 = max(d2, three.off(xy[2*v], xy[2*v+1]))
	}
	return d2
}

// beside gives segment k with those before and after it.
func (c course) beside(k int) (s segments3) {
	m := len(c.nodes)
	s.px, s.py, s.ax, s.ay = c.segment((k + m - 1) % m)
	s.bx, s.by, s.qx, s.qy = c.segment((k + 1) % m)
	return s
}

// segments3 is the segment from a to b, with the one from p to a and that from b to q.
type segments3 struct{ px, py, ax, ay, bx, by, qx, qy float64 }

// off is the squared distance of a point from the three.
func (s *segments3) off(x, y float64) float64 {
	return min(segmentDistance2(x, y, s.ax, s.ay, s.bx, s.by), segmentDistance2(x, y, s.px, s.py, s.ax, s.ay), segmentDistance2(x, y, s.bx, s.by, s.qx, s.qy))
}

const (
	// cornerOff is how far a vertex may be from the lines of a corner that the pixels cut off, in pixels, whatever the
	// tolerance, and cornerSlack what part of it short lines may be off.
	cornerOff   = 0.5
	cornerSlack = 0.05
	// cornerCos is the cosine of the least turn at such a corner, 30 degrees, and sureLine how long one of its lines is at
	// least that small round things do not have.
	cornerCos = 0.8660254037844387
	sureLine  = 8.0
)

// strays says whether a vertex between the ends of segment k's stretch is further from the course than bound, and not
// because pixels cut a corner off.
func (c course) strays(xy []float64, k int, bound float64) bool {
	bound2 := bound * bound
	d2 := c.furthest(xy, k, bound2)
	if d2 <= bound2 {
		return false
	}
	l := (k + 1) % len(c.nodes)
	first, last := c.cutOff(k, bound), c.cutOff(l, bound)
	if d2 > max(first, last) {
		return true
	}
	three := c.beside(k)
	near := func(x, y, cx, cy float64) bool { return (x-cx)*(x-cx)+(y-cy)*(y-cy) <= tipReach*tipReach }
	n := len(xy) / 2
	i, j := c.ends(n, k)
	for u := i + 1; u < j; u++ {
		v := u
		if v >= n {
			v -= n
		}
		x, y := xy[2*v], xy[2*v+1]
		allowed := bound2
		if near(x, y, three.ax, three.ay) {
			allowed = max(allowed, first)
		}
		if near(x, y, three.bx, three.by) {
			allowed = max(allowed, last)
		}
		if three.off(x, y) > allowed {
			return true
		}
	}
	return false
}

// cutOff is the squared distance from both segments at node k that what pixels leave of the corner there may have: of a
// turn t half a pixel times sin t/2, and what the lines may be off as well, but no more than half a pixel. Of wedges at many
// turns and places, averaged over pixels, 0.26 of a pixel is left at 90 degrees and 0.43 at 160 (our own measurement).
func (c course) cutOff(k int, bound float64) float64 {
	ax, ay, bx, by := c.segment((k + len(c.nodes) - 1) % len(c.nodes))
	_, _, cx, cy := c.segment(k)
	ux, uy, vx, vy := bx-ax, by-ay, cx-bx, cy-by
	u2, v2 := ux*ux+uy*uy, vx*vx+vy*vy
	cos := (ux*vx + uy*vy) / math.Sqrt(u2*v2)
	if !(cos <= cornerCos) {
		return 0
	}
	slack := cornerSlack
	if max(u2, v2) >= sureLine*sureLine {
		slack = bound
	}
	off := min(cornerOff, cornerOff*math.Sqrt((1-cos)/2)+slack)
	return off * off
}

// nodeOff returns the squared distance of the vertex that node k stands for from the segments that meet there.
func (c course) nodeOff(xy []float64, k int) float64 {
	m := len(c.nodes)
	x, y := xy[2*c.nodes[k]], xy[2*c.nodes[k]+1]
	ax, ay, bx, by := c.segment((k + m - 1) % m)
	_, _, cx, cy := c.segment(k)
	return min(segmentDistance2(x, y, ax, ay, bx, by), segmentDistance2(x, y, bx, by, cx, cy))
}

// segment gives the coordinates of the ends of segment k.
func (c course) segment(k int) (ax, ay, bx, by float64) {
	e := 2 * (k + 1)
	if e == len(c.at) {
		e = 0
	}
	return c.at[2*k], c.at[2*k+1], c.at[e], c.at[e+1]
}
