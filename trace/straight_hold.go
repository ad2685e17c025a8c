package trace

// courses are the nodes chosen for an open ring of vertices: their numbers, growing but perhaps round the ring's end, and their coordinates, which need
// not be those of the vertices.
type course struct {
	nodes []int32
	at    []float64
}

// hold returns a course that passes every vertex of the ring xy within bound. Where the given one does not, it goes from
// vertex to vertex as Douglas and Peucker's line does.
func (c course) hold(xy []float64, bound float64) course {
	for {
		any := false
		bad := make([]bool, len(c.nodes))
		for k := range bad {
			bad[k] = c.furthest(xy, k, bound*bound) > bound*bound
			any = any || bad[k]
		}
		if !any {
			return c
		}
		c = c.pinned(xy, bound, bad)
	}
}

// pinned returns the course with bad segments' ends on their vertices and vertices between them.
func (c course) pinned(xy []float64, bound float64, bad []bool) course {
	var out course
	n, m := len(xy)/2, len(c.nodes)
	put := func(v int) {
		v %= n
		out.nodes = append(out.nodes, int32(v))
		out.at = append(out.at, xy[2*v], xy[2*v+1])
	}
	for k, v := range c.nodes {
		if !bad[k] && !bad[(k+m-1)%m] {
			out.nodes = append(out.nodes, v)
			out.at = append(out.at, c.at[2*k], c.at[2*k+1])
			continue
		}
		put(int(v))
		if bad[k] {
			i, j := c.ends(n, k)
			between(xy, i, j, bound*bound, true, put)
		}
	}
	return out
}

// between calls put for the vertices that Douglas and Peucker's line has between i and j, for the furthest in any case if
// forced.
func between(xy []float64, i, j int, bound2 float64, forced bool, put func(v int)) {
	n := len(xy) / 2
	a, b := 2*(i%n), 2*(j%n)
	at, worst := furthestOf(xy, i, j, xy[a], xy[a+1], xy[b], xy[b+1])
	if at < 0 || worst <= bound2 && !forced {
		return
	}
	between(xy, i, at, bound2, false, put)
	put(at)
	between(xy, at, j, bound2, false, put)
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

// furthest returns the greatest squared distance from the course of the vertices of segment k's stretch, without its last.
// Near its ends they may be nearer to the segments beside it: these are looked at if the distance would be beyond bound2.
func (c course) furthest(xy []float64, k int, bound2 float64) float64 {
	n, m := len(xy)/2, len(c.nodes)
	i, j := c.ends(n, k)
	ax, ay, bx, by := c.segment(k)
	_, d2 := furthestOf(xy, i-1, j, ax, ay, bx, by)
	if d2 <= bound2 {
		return d2
	}
	px, py, _, _ := c.segment((k + m - 1) % m)
	_, _, qx, qy := c.segment((k + 1) % m)
	d2 = 0
	for u := i; u < j; u++ {
		x, y := xy[2*(u%n)], xy[2*(u%n)+1]
		d2 = max(d2, min(segmentDistance2(x, y, ax, ay, bx, by), segmentDistance2(x, y, px, py, ax, ay), segmentDistance2(x, y, bx, by, qx, qy)))
	}
	return d2
}

// segment gives the coordinates of the ends of segment k.
func (c course) segment(k int) (ax, ay, bx, by float64) {
	e := 2 * (k + 1)
	if e == len(c.at) {
		e = 0
	}
	return c.at[2*k], c.at[2*k+1], c.at[e], c.at[e+1]
}

// furthestOf returns the vertex between i and j that is furthest from the segment from a to b, or -1, and its squared
// distance.
func furthestOf(xy []float64, i, j int, ax, ay, bx, by float64) (v int, d2 float64) {
	dx, dy := bx-ax, by-ay
	l2 := dx*dx + dy*dy
	v, d2 = -1, -1
	limit := -1.0 // d2 l2
	n := len(xy) / 2
	w := i + 1
	if w < 0 {
		w += n
	} else if w >= n {
		w -= n
	}
	for u := i + 1; u < j; u++ {
		px, py := xy[2*w]-ax, xy[2*w+1]-ay
		if w++; w == n {
			w = 0
		}
		along, across := px*dx+py*dy, px*dy-py*dx
		q := across * across
		if along < 0 {
			q = (px*px + py*py) * l2
		} else if along > l2 {
			px, py = px-dx, py-dy
			q = (px*px + py*py) * l2
		}
		if l2 == 0 {
			q = px*px + py*py
		}
		if q > limit {
			limit, v = q, u
		}
	}
	if v >= 0 {
		d2 = limit
		if l2 > 0 {
			d2 /= l2
		}
	}
	return v, d2
}
