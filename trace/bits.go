package trace

import (
	"encoding/binary"
	"math/bits"
)

const (
	eachByte = 0x0101010101010101
	highBits = 0x80 * eachByte
)

// bitBytes is the length of the bits that cutBits writes of w pixels.
func bitBytes(w int) int { return ((w+1)/64 + 2) * 8 }

// cutBits writes one bit for each pixel of row into dst, the lowest first,
// set where the pixel is cut: not lighter than last, or, with flip, lighter.
// A zero bit goes before them, for the paper beyond the picture's edge, and
// zeros follow to the end. It returns the number of cut pixels.
//
// Eight pixels are compared in one step: if last is below 128, adding 127-last
// to the low seven bits carries into the high bit just where these exceed last,
// and with the high bit itself that says lighter. If it is not, the same is
// done with the negative.
func cutBits(dst, row []byte, last byte, flip bool) int {
	var negate, inv uint64
	if last >= 128 {
		last, negate, inv = 254-last, ^uint64(0), ^uint64(0)
	}
	if flip {
		inv = ^inv
	}
	add := uint64(127-last) * eachByte
	n := 0
	var carry uint64
	for ; len(row) >= 64; dst = dst[8:] {
		r := row[:64:64]
		row = row[64:]
		w0, w1 := binary.LittleEndian.Uint64(r)^negate, binary.LittleEndian.Uint64(r[8:])^negate
		w2, w3 := binary.LittleEndian.Uint64(r[16:])^negate, binary.LittleEndian.Uint64(r[24:])^negate
		w4, w5 := binary.LittleEndian.Uint64(r[32:])^negate, binary.LittleEndian.Uint64(r[40:])^negate
		w6, w7 := binary.LittleEndian.Uint64(r[48:])^negate, binary.LittleEndian.Uint64(r[56:])^negate
		var m uint64 // lighter
		switch {
		case w0&w1&w2&w3&w4&w5&w6&w7 == ^uint64(0): // white, the most of a page, or black
			m = ^uint64(0)
		case w0|w1|w2|w3|w4|w5|w6|w7 == 0:
		default:
			m = lighter(w0, add)>>7 | lighter(w1, add)>>6 | lighter(w2, add)>>5 | lighter(w3, add)>>4 |
				lighter(w4, add)>>3 | lighter(w5, add)>>2 | lighter(w6, add)>>1 | lighter(w7, add)
			m = transposed(m)
		}
		m ^= ^inv
		binary.LittleEndian.PutUint64(dst, m<<1|carry)
		carry = m >> 63
		n += bits.OnesCount64(m)
	}
	var m uint64
	for i, v := range row {
		if (v^byte(negate) <= last) != (inv != 0) {
			m |= 1 << i
		}
	}
	binary.LittleEndian.PutUint64(dst, m<<1|carry)
	binary.LittleEndian.PutUint64(dst[8:], 0)
	return n + bits.OnesCount64(m)
}

// lighter has the high bit of each byte of w that exceeds last.
func lighter(w, add uint64) uint64 { return (w&^highBits + add | w) & highBits }

// transposed exchanges bit i of byte j with bit j of byte i (Warren, Hacker's
// Delight, 7-3).
func transposed(m uint64) uint64 {
	t := (m ^ m>>7) & 0x00AA00AA00AA00AA
	m ^= t ^ t<<7
	t = (m ^ m>>14) & 0x0000CCCC0000CCCC
	m ^= t ^ t<<14
	t = (m ^ m>>28) & 0x00000000F0F0F0F0
	return m ^ t ^ t<<28
}
