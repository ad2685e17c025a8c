package trace

import (
	"encoding/binary"
	"math/bits"
)

// crossed lists the cells of a row that an outline crosses, those whose four
// pixels are not all alike. above and here are the cut pixels of the rows over
// and under the cells. It returns the number of cells, of vertices on their
// right and on their bottom edges. list must have room for three more.
func crossed(list []uint32, above, here []byte) (n, nRight, nBottom int) {
	above = above[:len(here)]
	tl, bl := binary.LittleEndian.Uint64(above), binary.LittleEndian.Uint64(here)
	for k := 8; k+8 <= len(here); k += 8 {
		up, at := binary.LittleEndian.Uint64(above[k:]), binary.LittleEndian.Uint64(here[k:])
		tr, br := tl>>1|up<<63, bl>>1|at<<63
		any := (tl | tr | br | bl) &^ (tl & tr & br & bl)
		if any != 0 {
			nRight += bits.OnesCount64(tr ^ br)
			nBottom += bits.OnesCount64(bl ^ br)
			// Four at a time, wanted or not: a count that the processor can
			// foresee costs less than four that it need not write.
			end := n + bits.OnesCount64(any)
			for x := uint32(k-8) << 3; n < end; n += 4 {
				to := list[n : n+4 : n+4]
				to[0] = x + uint32(bits.TrailingZeros64(any))
				any &= any - 1
				to[1] = x + uint32(bits.TrailingZeros64(any))
				any &= any - 1
				to[2] = x + uint32(bits.TrailingZeros64(any))
				any &= any - 1
				to[3] = x + uint32(bits.TrailingZeros64(any))
				any &= any - 1
			}
			n = end
		}
		tl, bl = up, at
	}
	return n, nRight, nBottom
}

// pair returns the bits of two neighbouring pixels, the right one's above.
func pair(row []byte, x uint32) uint32 {
	return uint32(binary.LittleEndian.Uint16(row[x>>3:])) >> (x & 7) & 3
}

// cells does the cells of row y, between the rows of pixels y-1 and y.
func (b *band) cells(y int) {
	b.reserve()
	n, nRight, nBottom := crossed(b.list, b.above, b.here)
	if y == b.y1-1 {
		clear(b.link[b.n:]) // what the band leaves open shall be told by a zero
	}
	t, v := uint32(b.lower), uint32(b.n)
	h := v + uint32(nRight)
	b.lower, b.n = int(h), int(h)+nBottom
	pending := uint8(0)
	above, here, link := b.above, b.here, b.link
	for _, x := range b.list[:n] {
		code := pair(above, x) | pair(here, x)<<2
		c := &cases[code]
		id := [4]uint32{top: t, right: v, bottom: h, left: v - 1}
		if c.saddle {
			c = b.saddle(c, int(x), y, &id)
		} else {
			from := id[c.from&3]
			link[from] = (id[c.to&3]-from)<<4 | uint32(c.step)
		}
		if pending&c.closes != 0 {
			b.peak(x, y, v, h)
		}
		pending = pending&c.keep | c.opens
		t += uint32(c.hasTop)
		v += uint32(c.hasRight)
		h += uint32(c.hasBottom)
	}
}

// saddle decides the saddle in cell (x, y), links its four vertices and
// returns its case.
func (b *band) saddle(c *marchCase, x, y int, id *[4]uint32) *marchCase {
	r, code := b.r, c.split
	o := y*r.stride + x
	if joins(int(r.pix[o-r.stride-1]), int(r.pix[o-r.stride]), int(r.pix[o]), int(r.pix[o-1]), r.level2, r.flip) {
		code++
	}
	for _, w := range saddleSteps[code-splitFalling] {
		from := id[w.from]
		b.link[from] = (id[w.to]-from)<<4 | step(w.from, w.to)
	}
	return &cases[code]
}

// peak notes the peak that ends in cell (x, y), v and h the next vertices on
// right and bottom edges. It began some cells before.
func (b *band) peak(x uint32, y int, v, h uint32) {
	for {
		x--
		v--
		c := &cases[pair(b.above, x)|pair(b.here, x)<<2]
		h -= uint32(c.hasBottom)
		if c.opens != 0 || c.saddle {
			break
		}
	}
	k := peak{id: v, left: none, x: int32(x), y: int32(y)}
	if int(h) > b.lower {
		k.left = h - 1
	}
	b.peaks[b.nPeaks] = k
	b.nPeaks++
}
