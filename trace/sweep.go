package trace

import (
	"encoding/binary"
	"math/bits"
)

// crossed lists the cells of a row that an outline crosses, those whose four
// pixels are not all alike: four bits with the case under the cell's x. above
// and here are the cut pixels of the rows over and under the cells. It returns
// the number of cells, and of vertices on their right and on their bottom
// edges. list must have room for three more.
func crossed(list []uint32, above, here []byte) (n, nRight, nBottom int) {
	// Seven bytes at a time, so that with each cell's left bit its right one
	// is in the same word.
	for k := 0; k+8 <= len(here) && k+8 <= len(above); k += 7 {
		up, at := binary.LittleEndian.Uint64(above[k:]), binary.LittleEndian.Uint64(here[k:])
		sides := up ^ at
		bottom := at ^ at>>1
		any := (bottom | (up ^ up>>1) | sides | sides>>1) << 8 >> 8
		if any == 0 {
			continue
		}
		nRight += bits.OnesCount64(sides << 7 >> 8)
		nBottom += bits.OnesCount64(bottom << 8)
		// Four at a time, wanted or not: a count that the processor can
		// foresee costs less than some that it need not write.
		end := n + bits.OnesCount64(any)
		lower := at << 2
		for x := uint32(k) << 7; n < end; n += 4 {
			to := list[n : n+4 : n+4]
			i := bits.TrailingZeros64(any) & 63
			to[0] = x + uint32(i)<<4 + uint32(up>>i&3|lower>>i&12)
			any &= any - 1
			i = bits.TrailingZeros64(any) & 63
			to[1] = x + uint32(i)<<4 + uint32(up>>i&3|lower>>i&12)
			any &= any - 1
			i = bits.TrailingZeros64(any) & 63
			to[2] = x + uint32(i)<<4 + uint32(up>>i&3|lower>>i&12)
			any &= any - 1
			i = bits.TrailingZeros64(any) & 63
			to[3] = x + uint32(i)<<4 + uint32(up>>i&3|lower>>i&12)
			any &= any - 1
		}
		n = end
	}
	return n, nRight, nBottom
}

// cells does the cells of row y, between the rows of pixels y-1 and y.
func (b *band) cells(y int) {
	b.reserve()
	n, nRight, nBottom := 0, 0, 0
	if !b.aboveBlank || !b.hereBlank {
		n, nRight, nBottom = crossed(b.list, b.above, b.here)
	}
	if y == b.y1-1 {
		clear(b.link[b.n:]) // what the band leaves open shall be told by a zero
	}
	t, v := uint32(b.lower), uint32(b.n)
	h := v + uint32(nRight)
	b.lower, b.n = int(h), int(h)+nBottom
	link, list := b.link, b.list[:n]
	pending := uint8(0)
	for j := 0; j < len(list); j++ {
		// A loop without a call keeps its numbers in registers.
		var c *marchCase
		for ; j < len(list); j++ {
			c = &cases[list[j]&15]
			if c.saddle|pending&c.closes != 0 {
				break
			}
			id := [4]uint32{top: t, right: v, bottom: h, left: v - 1}
			from := id[c.from&3]
			link[from] = (id[c.to&3]-from)<<4 | uint32(c.step)
			pending = pending&c.keep | c.opens
			t += uint32(c.hasTop)
			v += uint32(c.hasRight)
			h += uint32(c.hasBottom)
		}
		if j == len(list) {
			break
		}
		id := [4]uint32{top: t, right: v, bottom: h, left: v - 1}
		if c.saddle != 0 {
			c = b.saddle(c, int(list[j]>>4), y, &id)
		} else {
			from := id[c.from]
			link[from] = (id[c.to]-from)<<4 | uint32(c.step)
		}
		if pending&c.closes != 0 {
			b.peak(list[:j], y, v, h)
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
	for _, w := range saddleSteps[code] {
		from := id[w.from]
		b.link[from] = (id[w.to]-from)<<4 | step(w.from, w.to)
	}
	return &cases[code]
}

// peak notes the peak that ends after the last of the cells of row y, v and h
// being the vertices on right and bottom edges after it. It began some cells
// before.
func (b *band) peak(list []uint32, y int, v, h uint32) {
	for k := len(list) - 1; ; k-- {
		v--
		c := &cases[list[k]&15]
		h -= uint32(c.hasBottom)
		if c.opens|c.saddle != 0 {
			p := peak{id: v, left: none, x: int32(list[k] >> 4), y: int32(y)}
			if int(h) > b.lower {
				p.left = h - 1
			}
			b.peaks[b.nPeaks] = p
			b.nPeaks++
			return
		}
	}
}
