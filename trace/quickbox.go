package trace

import (
	"math"

	"example.org/kerfleaf/internal/ring"
)

// quickBox is a box that holds what it is made of, and perhaps a little more,
// in whole numbers of 31 bits: those of x in the high halves, of y in the low
// ones. Most pairs of segments are told apart by two subtractions.
type quickBox struct{ least, most uint64 }

// guards are the bits above the numbers. most has them set, and they stay so
// where as much as is there, or less, is taken away.
const guards = 1<<63 | 1<<31

// quickNumber grows with v: it is the first bits of v, sign, exponent and 19
// of the fraction, with those of negative numbers turned over.
func quickNumber(v float64) uint64 {
	b := math.Float64bits(v + 0) // minus zero is zero
	return (b ^ (uint64(int64(b)>>63) | 1<<63)) >> 33
}

// quickValue is the least v of a quickNumber.
func quickValue(k uint64) float64 {
	b := k << 33
	return math.Float64frombits(b ^ (uint64(^int64(b)>>63) | 1<<63))
}

func quickBoxOf(ax, ay, bx, by uint64) quickBox {
	return quickBox{min(ax, bx)<<32 | min(ay, by), max(ax, bx)<<32 | max(ay, by) | guards}
}

// meets says whether two boxes have a point in common.
func (b *quickBox) meets(o *quickBox) bool {
	return (b.most-o.least)&(o.most-b.least)&guards == guards
}

// join makes b hold o too.
func (b *quickBox) join(o *quickBox) {
	const low = 1<<32 - 1
	b.least = min(b.least>>32, o.least>>32)<<32 | min(b.least&low, o.least&low)
	b.most = max(b.most>>32, o.most>>32)<<32 | max(b.most&low, o.most&low)
}

// box is a box in the unit of the coordinates that holds b.
func (b *quickBox) box() ring.Box {
	const number = 1<<31 - 1
	return ring.Box{
		MinX: quickValue(b.least >> 32), MinY: quickValue(b.least & number),
		MaxX: quickValue(b.most>>32&number + 1), MaxY: quickValue(b.most&number + 1),
	}
}
