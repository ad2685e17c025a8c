package trace

import (
	"math"
	"sync"
)

// design is what is made of traced rings: for each some nodes, numbered all
// through, each of which stands for a vertex and lies there or near it.
type design struct {
	rings     [][]float64 // open: x, y of each vertex, the last not the first
	tolerance float64     // in the rings' unit
	bound     float64     // how far from its vertices a segment that is bent back may be
	corners   bool        // keep their vertices when rings are thinned out
	vertex    []int32     // of each node, in its ring
	at        []float64   // x, y of each node
	spans     []span      // each ring's nodes
	off       []float64   // of each segment, unless Simplify draws: see measure
}

// usual is how many vertices there are for a node, more or less.
const usual = 5

// span is a range of numbers, the last excluded.
type span struct{ from, to int }

// chooser gives the numbers of the vertices that nodes of an open ring stand
// for, growing but perhaps round the ring's end, and where the nodes are. Or it
// gives none. The slices hold until it is called again.
type chooser func(xy []float64) (vertex []int32, at []float64)

// draw chooses the nodes of all rings, by thinning them out or, if newChooser
// is not nil, by the choosers that it makes, one for a goroutine.
func (d *design) draw(newChooser func() chooser) {
	parts := make([]design, (len(d.rings)+batch-1)/batch)
	choosers := sync.Pool{New: func() any {
		if newChooser == nil {
			return chooser(nil)
		}
		return newChooser()
	}}
	inBatches(len(d.rings), func(from, to int) {
		choose := choosers.Get().(chooser)
		defer choosers.Put(choose)
		p := &parts[from/batch]
		size := 0
		for _, xy := range d.rings[from:to] {
			size += len(xy) / 2
		}
		p.reserve(size/usual, choose != nil)
		for _, xy := range d.rings[from:to] {
			p.drawRing(xy, d.tolerance, d.corners, choose)
			if choose != nil {
				p.measure(xy, p.spans[len(p.spans)-1])
			}
		}
	})
	n, first := 0, make([]int, len(parts)) // of each part: its first node
	for i := range parts {
		first[i] = n
		n += len(parts[i].vertex)
	}
	d.reserve(n, newChooser != nil)
	d.vertex, d.at, d.off = d.vertex[:n], d.at[:2*n], d.off[:cap(d.off)]
	d.spans = make([]span, len(d.rings))
	inBatches(len(d.rings), func(from, _ int) {
		p, n := &parts[from/batch], first[from/batch]
		for i, s := range p.spans {
			d.spans[from+i] = span{s.from + n, s.to + n}
		}
		copy(d.vertex[n:], p.vertex)
		copy(d.at[2*n:], p.at)
		if newChooser != nil {
			copy(d.off[n:], p.off)
		}
		*p = design{} // so that its memory serves again
	})
}

// reserve makes room for n nodes, and for how far their segments are off.
func (d *design) reserve(n int, off bool) {
	d.vertex, d.at = make([]int32, 0, n), make([]float64, 0, 2*n)
	if off {
		d.off = make([]float64, 0, n)
	}
}

// drawRing adds the nodes of one more ring.
func (d *design) drawRing(xy []float64, tolerance float64, corners bool, choose chooser) {
	first := len(d.vertex)
	if choose != nil {
		vertex, at := choose(xy)
		if len(vertex) >= 3 && ringArea(at)*ringArea(xy) > 0 {
			d.vertex, d.at = append(d.vertex, vertex...), append(d.at, at...)
			d.spans = append(d.spans, span{first, len(d.vertex)})
			return
		}
	}
	if corners {
		d.vertex = thinBetween(d.vertex, xy, tolerance)
	} else {
		d.vertex = thin(d.vertex, xy, tolerance)
	}
	for _, v := range d.vertex[first:] {
		d.at = append(d.at, xy[2*v], xy[2*v+1])
	}
	d.spans = append(d.spans, span{first, len(d.vertex)})
}

// measure adds to off, for the nodes of one more ring, the squared distance
// from each segment of the vertex left out that is furthest from it, or of
// one that a node at its ends stands for.
func (d *design) measure(xy []float64, s span) {
	l := s.to - 1
	for range s.to - s.from {
		d.off = append(d.off, 0)
	}
	for k := s.from; k < s.to; l, k = k, k+1 {
		v, w := 2*int(d.vertex[l]), 2*int(d.vertex[k])
		ax, ay, bx, by := d.at[2*l], d.at[2*l+1], d.at[2*k], d.at[2*k+1]
		j := w / 2
		if j <= v/2 {
			j += len(xy) / 2
		}
		d2 := worstOf(xy, v/2, j, ax, ay, bx, by)
		d.off[l] = max(d2, segmentDistance2(xy[v], xy[v+1], ax, ay, bx, by), segmentDistance2(xy[w], xy[w+1], ax, ay, bx, by))
	}
}

// departure is the greatest distance of a vertex from the nodes' line: from
// the segment that stands for it or, near that one's ends, from its neighbours.
func (d *design) departure() float64 {
	worst := 0.0
	for r, s := range d.spans {
		c := course{d.vertex[s.from:s.to], d.at[2*s.from : 2*s.to]}
		for k := s.from; k < s.to; k++ {
			if d.off[k] > worst { // else it is not further
				worst = max(worst, c.furthest(d.rings[r], k-s.from, -1), c.nodeOff(d.rings[r], k-s.from))
			}
		}
	}
	return math.Sqrt(worst)
}

// segment returns the vertices that the nodes at both ends of segment k of
// ring r stand for, the second counted on past the ring's end.
func (d *design) segment(r, k int) (i, j int) {
	s := d.spans[r]
	i = int(d.vertex[k])
	if k++; k == s.to {
		k = s.from
	}
	if j = int(d.vertex[k]); j <= i {
		j += len(d.rings[r]) / 2
	}
	return i, j
}

// furthest returns the vertex left out of segment k of ring r, counted on past
// the ring's end, that is furthest from it, or -1.
func (d *design) furthest(r, k int) int {
	i, j := d.segment(r, k)
	l := k + 1
	if l == d.spans[r].to {
		l = d.spans[r].from
	}
	v, _ := furthestOf(d.rings[r], i, j, d.at[2*k], d.at[2*k+1], d.at[2*l], d.at[2*l+1])
	return v
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
