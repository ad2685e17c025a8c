package trace

import "math"

// balance moves nodes of a thinned outline so far out of a bend that the lines
// between them lie as much outside of it as inside, and areas keep their size.
// Nodes at a corner, or beside what is straight or bends the other way, stay.
// No vertex left out gets further off than the tolerance.
func (d *design) balance() {
	const (
		corner = 0.866 // cosine of the turn
		room   = 0.95  // of the tolerance: lines turn a little as their ends move
	)
	for r, s := range d.spans {
		n := s.to - s.from
		if n < 3 {
			continue
		}
		last := d.bendOf(r, s.to-1)
		at := make([]float64, 0, 2*n)
		for k := s.from; k < s.to; k++ {
			b := d.bendOf(r, k)
			x, y := d.at[2*k], d.at[2*k+1]
			if cos := last.ux*b.ux + last.uy*b.uy; cos > corner {
				off := between(last, b, room*d.tolerance) / (1 + cos)
				x, y = x-off*(last.uy+b.uy), y+off*(last.ux+b.ux)
			}
			at = append(at, x, y)
			last = b
		}
		copy(d.at[2*s.from:2*s.to], at)
	}
}

// bend is how what a segment stands for lies beside it: offsets from its line,
// to the right as seen with y down, in the ring's unit.
type bend struct {
	ux, uy            float64 // the segment's direction
	mean, least, most float64
}

// bendOf measures segment k of ring r.
func (d *design) bendOf(r, k int) bend {
	i, j := d.segment(r, k)
	xy := d.rings[r]
	n := len(xy) / 2
	v, w := 2*(i%n), 2*(j%n)
	ax, ay := xy[v], xy[v+1]
	b := bend{ux: xy[w] - ax, uy: xy[w+1] - ay}
	l := math.Hypot(b.ux, b.uy)
	if l == 0 {
		return bend{}
	}
	b.ux, b.uy = b.ux/l, b.uy/l
	t0, off0 := 0.0, 0.0
	for i++; i <= j; i++ {
		v := 2 * (i % n)
		x, y := xy[v]-ax, xy[v+1]-ay
		t, off := x*b.ux+y*b.uy, y*b.ux-x*b.uy
		b.mean += (off + off0) / 2 * (t - t0)
		b.least, b.most = min(b.least, off), max(b.most, off)
		t0, off0 = t, off
	}
	b.mean /= l
	return b
}

// between is how far the node between two segments may go to the right.
func between(a, b bend, tolerance float64) float64 {
	switch {
	case a.mean > 0 && b.mean > 0:
		return max(0, min(a.mean, b.mean, tolerance+a.least, tolerance+b.least))
	case a.mean < 0 && b.mean < 0:
		return min(0, max(a.mean, b.mean, a.most-tolerance, b.most-tolerance))
	}
	return 0
}
