package offset

import "math"

// line is a piece along a straight line: the points p(t) = origin + off·n + t·u
// with u a unit direction and n its right-hand normal.
type line struct{ x, y, ux, uy, off float64 }

// local returns a point's place along the line and to the right of it.
func (l *line) local(x, y float64) (along, right float64) {
	dx, dy := x-l.x, y-l.y
	return dx*l.ux + dy*l.uy, dx*l.uy - dy*l.ux - l.off
}

func (l *line) at(t float64) (x, y float64) {
	return l.x + t*l.ux + l.off*l.uy, l.y + t*l.uy - l.off*l.ux
}

// interval is the part of a piece that something covers.
type interval struct {
	a, b      float64
	by, until int32
}

func (v *interval) add(a, b float64, by int32) {
	if a < v.a {
		v.a, v.by = a, by
	}
	if b > v.b {
		v.b, v.until = b, by
	}
}

// capsule returns the part of a line that lies within d of edge k, whose ends
// are (xc, yc) and (xe, ye) in the line's own frame.
func (s *source) capsule(k int32, xc, yc, xe, ye float64) interval {
	v := interval{math.Inf(1), math.Inf(-1), loose, loose}
	d := s.d
	if math.Abs(yc) < d {
		w := math.Sqrt((d - yc) * (d + yc))
		v.add(xc-w, xc+w, joinAt(k))
	}
	if math.Abs(ye) < d {
		w := math.Sqrt((d - ye) * (d + ye))
		v.add(xe-w, xe+w, joinAt(k+1))
	}
	// Between the ends: |sx·y - sy·(x-xc)| < d over 0 < sx·(x-xc) + sy·y < length,
	// where y = -yc.
	l := s.edges[k].length
	sx, sy := (xe-xc)/l, (ye-yc)/l
	if math.Abs(sy) < 1e-12 {
		return v // parallel: the ends cover all that the middle does
	}
	mid := -sx * yc / sy
	half := d / math.Abs(sy)
	a, b := mid-half, mid+half // within d of the edge's line
	p, q := math.Inf(-1), math.Inf(1)
	if math.Abs(sx) > 1e-12 {
		p, q = yc*sy/sx, (l+yc*sy)/sx
		if p > q {
			p, q = q, p
		}
	} else if f := -yc * sy; f < 0 || f > l {
		return v
	}
	if max(a, p) < min(b, q) {
		if a > p {
			v.add(xc+a, xc+a, movedBy(k))
		}
		if b < q {
			v.add(xc+b, xc+b, movedBy(k))
		}
	}
	return v
}

// corners is a convex polygon in a line's own frame, with the piece along each
// side, from corner i to i+1.
type corners struct {
	n    int
	x, y [6]float64
	by   [6]int32
}

func (c *corners) add(x, y float64, by int32) {
	c.x[c.n], c.y[c.n], c.by[c.n] = x, y, by
	c.n++
}

// clip returns the part of the line that lies inside a convex polygon by more
// than eps somewhere.
func (c *corners) clip(eps float64) (interval, bool) {
	v := interval{math.Inf(1), math.Inf(-1), loose, loose}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, y := range c.y[:c.n] {
		lo, hi = min(lo, y), max(hi, y)
	}
	if lo >= -eps || hi <= eps {
		return v, false
	}
	for i := range c.n {
		j := (i + 1) % c.n
		if yi, yj := c.y[i], c.y[j]; (yi > 0) != (yj > 0) {
			x := c.x[i] + yi/(yi-yj)*(c.x[j]-c.x[i])
			v.add(x, x, c.by[i])
		}
	}
	return v, v.a < v.b
}

// coverByEdges takes away from w.spans what lies within d of the edges first to
// end-1, which follow each other in a ring.
func (w *walker) coverByEdges(p *piece, first, end int32) {
	// Seen from its middle, the whole piece lies beyond reach or within it for
	// nearly all edges.
	beyond := (w.d + p.half) * (w.d + p.half)
	within := max(w.d-p.half-w.slack, 0)
	within *= within
	edges := w.edges[first:end]
	for i := range edges {
		e := &edges[i]
		dx, dy := p.x-e.x, p.y-e.y
		along, across := dx*e.ux+dy*e.uy, dx*e.uy-dy*e.ux
		along -= min(max(along, 0), e.length)
		dist2 := along*along + across*across
		if dist2 >= beyond {
			continue
		}
		k := first + int32(i)
		switch {
		case dist2 < within:
			w.spans = w.spans[:0]
		case p.isArc:
			w.coverArc(&p.arc, k)
		default:
			w.coverLine(&p.line, k)
		}
		if len(w.spans) == 0 {
			w.hot = k
			return
		}
	}
}

func (w *walker) coverLine(l *line, k int32) {
	e, f := &w.edges[k], &w.edges[k+1]
	xc, yc := l.local(e.x, e.y)
	xe, ye := l.local(f.x, f.y)
	// Left of the line, right of it, before or after what is left of it.
	near := w.d - w.eps
	if max(yc, ye) <= -near || min(yc, ye) >= near ||
		max(xc, xe) <= w.spans[0].lo-w.d || min(xc, xe) >= w.spans[len(w.spans)-1].hi+w.d {
		return
	}
	if v := w.capsule(k, xc, yc, xe, ye); v.a < v.b {
		w.spans = subtract(w.spans, v.a, v.b, v.by, v.until, w.eps)
	}
}

func (w *walker) coverArc(a *arc, k int32) {
	e, f := &w.edges[k], &w.edges[k+1]
	xc, yc := a.local(e.x, e.y)
	xe, ye := a.local(f.x, f.y)
	// Behind both the start and the end of the arc.
	if max(a.cos*xc+a.sin*math.Abs(yc), a.cos*xe+a.sin*math.Abs(ye)) <= w.eps {
		return
	}
	v, split, ok := w.within(k, xc, yc, xe, ye)
	switch {
	case split:
		w.spans = subtract(w.spans, v.a, math.Inf(1), v.by, loose, 1e-12)
		w.spans = subtract(w.spans, math.Inf(-1), v.b, loose, v.until, 1e-12)
	case ok:
		w.spans = subtract(w.spans, v.a, v.b, v.by, v.until, 1e-12)
	}
}
