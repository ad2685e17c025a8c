package trace

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.org/kerfleaf/internal/ring"
)

// Boxes that meet must have quick boxes that do, and lie in what these say of
// themselves; boxes further apart than four millionths of where they are must be told apart.
func TestQuickBox(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 8))
	minusZero := math.Copysign(0, -1)
	special := []float64{0, minusZero, 1, -1, 5e-324, -5e-324, 1e300, -1e300, math.Nextafter(1, 2), math.Nextafter(-1, 0)}
	number := func() float64 {
		switch rnd.IntN(3) {
		case 0:
			return special[rnd.IntN(len(special))]
		case 1:
			return float64(rnd.IntN(9) - 4)
		}
		return (rnd.Float64() - 0.5) * math.Exp(20*(rnd.Float64()-0.5))
	}
	random := func() (ring.Box, quickBox) {
		ax, ay, bx, by := number(), number(), number(), number()
		return ring.EmptyBox().Add(ax, ay).Add(bx, by),
			quickBoxOf(quickNumber(ax), quickNumber(ay), quickNumber(bx), quickNumber(by))
	}
	apart := 0
	for range 200000 {
		a, qa := random()
		b, qb := random()
		if a.Meets(b) && !qa.meets(&qb) {
			t.Fatalf("%v and %v meet", a, b)
		}
		if !qa.meets(&qb) {
			apart++
		}
		o, both := qa.box(), qa
		if o.MinX > a.MinX || o.MinY > a.MinY || o.MaxX < a.MaxX || o.MaxY < a.MaxY {
			t.Fatalf("%v does not hold %v", o, a)
		}
		both.join(&qb)
		if j := both.box(); j != o.Join(qb.box()) {
			t.Fatalf("%v and %v make %v", o, qb.box(), j)
		}
	}
	if apart < 50000 {
		t.Errorf("%d pairs are told apart", apart)
	}
	for _, v := range []float64{1, -1, 210, -297, 5000, 1e-3} {
		one, two := quickNumber(v), quickNumber(v+math.Abs(v)*4e-6)
		a, b := quickBoxOf(one, one, one, one), quickBoxOf(two, two, two, two)
		if a.meets(&b) {
			t.Errorf("%g meets what is 4 millionths off", v)
		}
	}
}
