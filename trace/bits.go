package trace

import (
	"encoding/binary"
	"math/bits"
)

const (
	eachByte = 0x0101010101010101
	highBits = 0x8080808080808080
	gather   = 0x0102040810204080 // moves bit 0 of byte i to bit 56+i
)

// bitBytes is the length of the bits that cutBits writes of w pixels.
func bitBytes(w int) int { return ((w+1)/64 + 2) * 8 }

// cutBits writes one bit for each pixel of row into dst, the lowest first,
// set where the pixel is cut: not lighter than last, or, with flip, lighter.
// A zero bit goes before them, for the paper beyond the picture's edge, and
// zeros follow to the end. It returns the number of cut pixels.
//
// Eight pixels are compared in one step: adding 127-(last mod 128) to the low
// seven bits carries into the high bit exactly where these exceed last's.
func cutBits(dst, row []byte, last byte, flip bool) int {
	add := uint64(127-last&127) * eachByte
	var low uint64 // all ones when last < 128: then a high bit alone is lighter
	if last < 128 {
		low = ^uint64(0)
	}
	var inv uint64
	if flip {
		inv = ^uint64(0)
	}
	n := 0
	var carry uint64
	for ; len(row) >= 64; dst = dst[8:] {
		r := row[:64:64]
		row = row[64:]
		w0, w1 := binary.LittleEndian.Uint64(r), binary.LittleEndian.Uint64(r[8:])
		w2, w3 := binary.LittleEndian.Uint64(r[16:]), binary.LittleEndian.Uint64(r[24:])
		w4, w5 := binary.LittleEndian.Uint64(r[32:]), binary.LittleEndian.Uint64(r[40:])
		w6, w7 := binary.LittleEndian.Uint64(r[48:]), binary.LittleEndian.Uint64(r[56:])
		var m uint64
		switch {
		case w0&w1&w2&w3&w4&w5&w6&w7 == ^uint64(0): // white: the most of a page
		case w0|w1|w2|w3|w4|w5|w6|w7 == 0:
			m = ^uint64(0)
		default:
			m = eight(w0, add, low) | eight(w1, add, low)<<8 |
				eight(w2, add, low)<<16 | eight(w3, add, low)<<24 |
				eight(w4, add, low)<<32 | eight(w5, add, low)<<40 |
				eight(w6, add, low)<<48 | eight(w7, add, low)<<56
		}
		m ^= inv
		binary.LittleEndian.PutUint64(dst, m<<1|carry)
		carry = m >> 63
		n += bits.OnesCount64(m)
	}
	var m uint64
	for i, v := range row {
		if v <= last != flip {
			m |= 1 << i
		}
	}
	binary.LittleEndian.PutUint64(dst, m<<1|carry)
	binary.LittleEndian.PutUint64(dst[8:], 0)
	return n + bits.OnesCount64(m)
}

// eight returns one bit for each byte of w, set where it is not above last.
func eight(w, add, low uint64) uint64 {
	sum := w&^highBits + add
	above := sum&(w|low) | w&low
	return (^above & highBits >> 7) * gather >> 56
}
