package ring

import (
	"math"
	"math/big"
)

// Orient returns the exact sign of the turn a, b, c: +1 where c lies to the
// left of the line from a to b (y up), -1 to the right, 0 on it.
//
// The floating-point filter is that of Shewchuk, "Adaptive Precision
// Floating-Point Arithmetic and Fast Robust Geometric Predicates", Discrete &
// Computational Geometry 18:305-363, 1997 (bound from memory: (3+16u)u with
// u = 2^-53; the constant below is rounded up).
func Orient(ax, ay, bx, by, cx, cy float64) int {
	acx, bcx := ax-cx, bx-cx
	acy, bcy := ay-cy, by-cy
	l, r := acx*bcy, acy*bcx
	det := l - r
	if bound := 3.5e-16 * (math.Abs(l) + math.Abs(r)); det > bound {
		return 1
	} else if -det > bound {
		return -1
	}
	if l == 0 && r == 0 && (acx == 0 || bcy == 0) && (acy == 0 || bcx == 0) {
		return 0
	}
	if exactDiff(ax, cx, acx) && exactDiff(bx, cx, bcx) && exactDiff(ay, cy, acy) && exactDiff(by, cy, bcy) && math.Abs(l) > 1e-250 && math.Abs(r) > 1e-250 {
		// The products are l+le and r+re exactly, and l-r is exact as
		// the two are within a factor of two of each other.
		le, re := math.FMA(acx, bcy, -l), math.FMA(acy, bcx, -r)
		return sign(det + (le - re))
	}
	return orientBig(ax, ay, bx, by, cx, cy)
}

// exactDiff reports whether d is a-b without rounding.
func exactDiff(a, b, d float64) bool {
	bb := a - d
	return (a-(d+bb))+(bb-b) == 0 && bb == b
}

func orientBig(ax, ay, bx, by, cx, cy float64) int {
	f := func(v float64) *big.Rat { return new(big.Rat).SetFloat64(v) }
	d := func(a, b float64) *big.Rat { return new(big.Rat).Sub(f(a), f(b)) }
	l := new(big.Rat).Mul(d(ax, cx), d(by, cy))
	r := new(big.Rat).Mul(d(ay, cy), d(bx, cx))
	return l.Cmp(r)
}

func sign(v float64) int {
	switch {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}
