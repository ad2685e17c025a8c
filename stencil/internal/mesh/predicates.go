package mesh

import "math/bits"

// Pt is a vertex on the integer grid. Coordinates stay within Limit, so that
// every predicate below is exact.
type Pt struct{ X, Y int64 }

// Limit bounds the absolute value of a coordinate: differences then have at most
// 30 bits, orientation determinants 61 and in-circle determinants 124.
const Limit = 1 << 29

// Orient is twice the signed area of the triangle a, b, c: positive if they
// turn the same way as the x axis turns to the y axis.
func Orient(a, b, c Pt) int64 {
	return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X)
}

// inCircle is positive if d lies inside the circle through the positively
// oriented a, b, c, zero if on it, negative if outside.
func inCircle(a, b, c, d Pt) int {
	ax, ay := a.X-d.X, a.Y-d.Y
	bx, by := b.X-d.X, b.Y-d.Y
	cx, cy := c.X-d.X, c.Y-d.Y
	al, bl, cl := ax*ax+ay*ay, bx*bx+by*by, cx*cx+cy*cy
	bc, ca, ab := bx*cy-cx*by, cx*ay-ax*cy, ax*by-bx*ay

	// The factors are exact integers below 2^62; rounding each to float64, the
	// three products and two sums err by less than 2^-50 of the sum of magnitudes.
	t1, t2, t3 := float64(al)*float64(bc), float64(bl)*float64(ca), float64(cl)*float64(ab)
	det := t1 + t2 + t3
	bound := (abs(t1) + abs(t2) + abs(t3)) * 0x1p-50
	if det > bound {
		return 1
	}
	if det < -bound {
		return -1
	}
	s := mul(al, bc)
	s = s.plus(mul(bl, ca))
	s = s.plus(mul(cl, ab))
	return s.sign()
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}

// wide is a 128-bit two's complement integer.
type wide struct {
	hi int64
	lo uint64
}

// mul multiplies a non-negative a by b.
func mul(a, b int64) wide {
	neg := b < 0
	if neg {
		b = -b
	}
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	if neg {
		var borrow uint64
		lo, borrow = bits.Sub64(0, lo, 0)
		hi, _ = bits.Sub64(0, hi, borrow)
	}
	return wide{int64(hi), lo}
}

func (w wide) plus(v wide) wide {
	lo, carry := bits.Add64(w.lo, v.lo, 0)
	hi, _ := bits.Add64(uint64(w.hi), uint64(v.hi), carry)
	return wide{int64(hi), lo}
}

func (w wide) sign() int {
	switch {
	case w.hi < 0:
		return -1
	case w.hi == 0 && w.lo == 0:
		return 0
	}
	return 1
}
