package trace

import (
	"encoding/binary"
	"image"
	"math"
)

// Otsu returns the level that parts the dark from the light pixels of img
// best, from 0, black, to 1, white: the one with the greatest variance between
// the two classes. Where every level in a gap without pixels is equally good
// it is the gap's middle, so that a picture of two values gets the mean of
// them. Of a picture of one value it returns one half.
//
// N. Otsu, A threshold selection method from gray-level histograms, IEEE
// Transactions on Systems, Man, and Cybernetics 9 (1979).
func Otsu(img *image.Gray) float64 {
	h := histogramOf(img)
	return float64(h.otsu()) / 510
}

// histogram counts the pixels of each value.
type histogram [256]int

func histogramOf(g *image.Gray) (h histogram) {
	b := g.Bounds()
	var counts [4][256]uint32 // apart, as one pixel need not wait for the last
	for y := b.Min.Y; y < b.Max.Y; y++ {
		row := g.Pix[g.PixOffset(b.Min.X, y):][:b.Dx()]
		var white, black int
		for ; len(row) >= 64; row = row[64:] {
			// The most of a page is white, or black.
			if all, any := bits64(row); all == math.MaxUint64 {
				white += 64
				continue
			} else if any == 0 {
				black += 64
				continue
			}
			for i := 0; i < 64; i += 8 {
				switch w := binary.LittleEndian.Uint64(row[i:]); w {
				case math.MaxUint64:
					white += 8
				case 0:
					black += 8
				default:
					counts[0][w&255]++
					counts[1][w>>8&255]++
					counts[2][w>>16&255]++
					counts[3][w>>24&255]++
					counts[0][w>>32&255]++
					counts[1][w>>40&255]++
					counts[2][w>>48&255]++
					counts[3][w>>56&255]++
				}
			}
		}
		for _, v := range row {
			counts[0][v]++
		}
		h[255] += white
		h[0] += black
		if y&1023 == 1023 || y == b.Max.Y-1 {
			for i := range counts {
				for v, n := range counts[i] {
					h[v] += int(n)
				}
				clear(counts[i][:])
			}
		}
	}
	return h
}

// bits64 gives the bits that are set in all words of 64 bytes, and those in any.
func bits64(b []byte) (all, any uint64) {
	b = b[:64:64]
	w0, w1 := binary.LittleEndian.Uint64(b), binary.LittleEndian.Uint64(b[8:])
	w2, w3 := binary.LittleEndian.Uint64(b[16:]), binary.LittleEndian.Uint64(b[24:])
	w4, w5 := binary.LittleEndian.Uint64(b[32:]), binary.LittleEndian.Uint64(b[40:])
	w6, w7 := binary.LittleEndian.Uint64(b[48:]), binary.LittleEndian.Uint64(b[56:])
	return w0 & w1 & w2 & w3 & w4 & w5 & w6 & w7, w0 | w1 | w2 | w3 | w4 | w5 | w6 | w7
}

// otsu returns twice the level of Otsu. No pixel has the level's value.
func (h *histogram) otsu() int {
	var count, sum float64
	for v, n := range h {
		count += float64(n)
		sum += float64(v) * float64(n)
	}
	best, level2 := 0.0, 255
	var n, s float64 // of the dark class, up to and with v
	for v := range 255 {
		if n += float64(h[v]); h[v] == 0 || n == count {
			continue
		}
		s += float64(v) * float64(h[v])
		d := s*count - sum*n // the classes' distance, times counts
		if between := d / n * d / (count - n); between > best {
			next := v + 1
			for h[next] == 0 {
				next++
			}
			best, level2 = between, v+next
		}
	}
	return level2
}

// halfWay gives, for twice a level that parts ink from paper, twice the level half way between them, if both are plain: a
// quarter at least of the pixels on a side have one value. That is where a pixel is half covered. Otsu's level depends on
// how many pixels there are of each grey, and their chance moves the edges by hundredths of a pixel. No pixel has the
// new level's value either.
func (h *histogram) halfWay(level2 int) int {
	ink, paper := plain(h[:(level2+1)/2]), plain(h[level2/2+1:])
	if ink < 0 || paper < 0 {
		return level2
	}
	half := ink + paper + level2/2 + 1
	if half%2 == 0 && h[half/2] > 0 {
		half++
	}
	return half
}

// plain gives the most frequent of the values counted, if it has a quarter of all, or else -1.
func plain(counts []int) (value int) {
	all := 0
	for v, n := range counts {
		all += n
		if n > counts[value] {
			value = v
		}
	}
	if all == 0 || 4*counts[value] < all {
		return -1
	}
	return value
}

// twoValued says whether the picture has two values only, as black ink on
// white paper scanned without greys has, and gives the middle of them, twice.
func (h *histogram) twoValued() (level2 int, ok bool) {
	found := 0
	for v, n := range h {
		if n > 0 {
			level2 += v
			found++
		}
	}
	return level2, found == 2
}

// level2 returns twice the level for a threshold from 0 to 1, or for none
// given the best, and whether the picture is hard black and white. Between two
// values the level is half way, wherever the threshold: no more is known of
// where the edge was. Else it lies between two steps of grey.
func (h *histogram) level2(threshold float64) (level2 int, hard bool) {
	level2 = h.halfWay(h.otsu())
	if threshold > 0 {
		level2 = 2*min(int(threshold*255), 254) + 1
	}
	if mid, ok := h.twoValued(); ok {
		if h.parts(level2) {
			return mid, true
		}
		return level2, true
	}
	return level2, false
}

// parts says whether there are pixels on both sides of the level.
func (h *histogram) parts(level2 int) bool {
	var dark, light bool
	for v, n := range h {
		dark = dark || n > 0 && 2*v < level2
		light = light || n > 0 && 2*v > level2
	}
	return dark && light
}
