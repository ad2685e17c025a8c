package trace

import (
	"encoding/binary"
	"math/bits"
)

// band finds the outlines' vertices and steps in some rows of cells, in one
// pass from top to bottom. Its buffers serve the next band again.
//
// A vertex has a number: they count row by row, in each row of cells first
// those on the right edges, then those on the bottom edges. The vertices on
// the band's upper rim, which are also the last of the band above, come first.
// link holds the way to the next vertex: the difference of the numbers above
// four bits with the step, or 0 where the outline leaves the band.
type band struct {
	r      *raster
	y0, y1 int // the rows of cells
	rim    int // vertices on the upper rim
	lower  int // the first vertex on the lower edges of the last row of cells
	n      int // vertices
	link   []uint32
	peaks  []peak
	nPeaks int
	cut    int // pixels cut in the rows that are the cells' lower corners

	above, here []byte // the cut pixels of two rows, as cutBits has them
	aboveBlank  bool   // none is cut
	hereBlank   bool
	list        []uint32 // the cells of a row that are crossed
	rimX        []int32  // where the vertices on a rim are
}

// peak is a place where an outline turns from up to down: every ring's first
// vertex is one.
type peak struct {
	id   uint32
	left uint32 // the nearest vertex to the left on the row of pixels below, or none
	x, y int32
}

const none = ^uint32(0)

// sweep fills the band with the rows of cells from y0 to before y1.
func (b *band) sweep(r *raster, y0, y1 int) {
	if len(b.list) != r.w+8 {
		b.above, b.here = make([]byte, bitBytes(r.w)), make([]byte, bitBytes(r.w))
		b.list = make([]uint32, r.w+8)
	}
	b.r, b.y0, b.y1 = r, y0, y1
	b.rim, b.lower, b.n, b.nPeaks, b.cut = 0, 0, 0, 0, 0
	clear(b.here)
	b.hereBlank = true
	if y0 > 0 {
		b.hereBlank = cutBits(b.here, r.row(y0-1), r.last, r.flip) == 0
		b.rimX = crossingsIn(b.rimX[:0], b.here)
		b.rim = len(b.rimX)
		b.n = b.rim
		b.reserve()
		clear(b.link[:b.n])
	}
	for y := y0; y < y1; y++ {
		b.above, b.here = b.here, b.above
		b.aboveBlank = b.hereBlank
		if y < r.h {
			n := cutBits(b.here, r.row(y), r.last, r.flip)
			b.cut += n
			b.hereBlank = n == 0
		} else {
			clear(b.here)
			b.hereBlank = true
		}
		b.cells(y)
	}
}

// crossingsIn appends the places in a row where the outline crosses it.
func crossingsIn(xs []int32, row []byte) []int32 {
	for k := 0; k+8 < len(row); k += 8 {
		m := binary.LittleEndian.Uint64(row[k:])
		for d := m ^ (m>>1 | uint64(row[k+8])<<63); d != 0; d &= d - 1 {
			xs = append(xs, int32(k<<3+bits.TrailingZeros64(d)))
		}
	}
	return xs
}

// reserve makes room for the vertices of one more row of cells.
func (b *band) reserve() {
	if need := b.n + 2*b.r.w + 4; need > len(b.link) {
		size := max(need, 2*len(b.link))
		b.link = append(make([]uint32, 0, size), b.link...)[:size]
	}
	if need := b.nPeaks + b.r.w/2 + 4; need > len(b.peaks) {
		size := max(need, 2*len(b.peaks))
		b.peaks = append(make([]peak, 0, size), b.peaks...)[:size]
	}
}
