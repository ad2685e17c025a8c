package trace

import "math/bits"

// band finds the outlines' vertices and steps in some rows of cells, in one
// pass from top to bottom. Its buffers serve the next band again.
//
// A vertex has a number, counted in the order of the sweep: cell by cell, in
// each first the bottom edge's, then the right edge's. The vertices on the
// band's upper rim, which are also the last of the band above, come first.
// link holds the way to the next vertex: the difference of the numbers above
// four bits with the step, or 0 where the outline leaves the band.
type band struct {
	r      *raster
	y0, y1 int // the rows of cells
	rim    int // vertices on the upper rim
	n      int // vertices
	link   []uint32
	frac   []uint16 // how far a vertex lies from the left or upper pixel
	peaks  []peak
	nPeaks int
	nLower int // of them on the lower rim, when the sweep has ended
	cut    int // pixels cut in the rows that are the cells' lower corners

	above, here  []uint64 // cut pixels of two rows
	rimX         []int32
	upper, lower []uint32 // from 1: the vertices on the cells' upper and lower edges
}

// peak is a place where an outline turns from up to down: every ring's first
// vertex is one.
type peak struct {
	id, left uint32 // the vertex, and the nearest to the left on the row of pixels below; none
	x, y     int32
}

const none = ^uint32(0)

// sweep fills the band with the rows of cells from y0 to before y1.
func (b *band) sweep(r *raster, y0, y1 int) {
	if len(b.upper) != r.w+3 {
		b.above, b.here = make([]uint64, r.w/64+1), make([]uint64, r.w/64+1)
		b.upper, b.lower = make([]uint32, r.w+3), make([]uint32, r.w+3)
	}
	b.r, b.y0, b.y1 = r, y0, y1
	b.n, b.nPeaks, b.cut = 0, 0, 0
	clear(b.here)
	if y0 > 0 {
		cutBits(b.here, r.row(y0-1), r.last, r.flip)
		b.startRim(y0 - 1)
	}
	b.rim = b.n
	for y := y0; y < y1; y++ {
		b.above, b.here = b.here, b.above
		b.upper, b.lower = b.lower, b.upper
		if y < r.h {
			b.cut += cutBits(b.here, r.row(y), r.last, r.flip)
		} else {
			clear(b.here)
		}
		b.cells(y)
	}
}

// startRim numbers the crossings on the row of pixels that is the band's
// upper rim.
func (b *band) startRim(y int) {
	b.reserve()
	row := b.r.row(y)
	b.rimX = crossingsIn(b.rimX[:0], b.here)
	b.n = len(b.rimX)
	for i, x := range b.rimX {
		b.frac[i] = one / 2
		if x > 0 && int(x) < b.r.w {
			b.frac[i] = b.r.crossing(row[x-1], row[x])
		}
		b.lower[1+i] = uint32(i)
	}
	clear(b.link[:b.n])
}

// crossingsIn appends the places where a row's bits change.
func crossingsIn(xs []int32, row []uint64) []int32 {
	var carry uint64
	for k, m := range row {
		d := m ^ (m<<1 | carry)
		carry = m >> 63
		for ; d != 0; d &= d - 1 {
			xs = append(xs, int32(k<<6+bits.TrailingZeros64(d)))
		}
	}
	return xs
}

// reserve makes room for the vertices of one more row of cells.
func (b *band) reserve() {
	if need := b.n + 2*b.r.w + 4; need > len(b.link) {
		size := max(need, 2*len(b.link))
		b.link = append(make([]uint32, 0, size), b.link[:b.n]...)[:size]
		b.frac = append(make([]uint16, 0, size), b.frac[:b.n]...)[:size]
	}
	if need := b.nPeaks + b.r.w/2 + 4; need > len(b.peaks) {
		size := max(need, 2*len(b.peaks))
		b.peaks = append(make([]peak, 0, size), b.peaks[:b.nPeaks]...)[:size]
	}
}
