package export

import (
	"math"
	"slices"
	"testing"

	"github.com/twpayne/go-geom"
)

// A ring starts at least 3 mm from its corners where it is large enough, and as far
// as it can where it is not. The drop has one corner and a round end of fine edges.
func TestOrderStartsInStraightRuns(t *testing.T) {
	var drop []float64
	for i := range 181 {
		a := math.Pi * (float64(i)/180*1.5 - 0.75)
		drop = append(drop, 50+8*math.Cos(a), 50+8*math.Sin(a))
	}
	drop = append(drop, 50-8*math.Sqrt2, 50)
	for _, c := range []struct {
		ring  []float64
		clear float64
	}{
		{square(10, 10, 30), 3}, {square(10, 10, 2), 1}, {drop, 3},
		{[]float64{70, 10, 90, 10, 90, 10.5, 70, 10.5}, 3},
	} {
		o, err := Order(&Drawing{Width: 100, Height: 100, Layers: []Layer{{Cut, []geom.T{polygon(c.ring)}}}}, nil)
		if err != nil {
			t.Fatal(err)
		}
		xy := workedLines(t, o)[0].xy
		at := place{xy[0], xy[1]}
		n := len(c.ring) / 2
		for i := range n {
			p := func(k int) place { k = (k + n) % n; return place{c.ring[2*k], c.ring[2*k+1]} }
			a, b, q := p(i-1), p(i), p(i+1)
			turn := math.Abs(math.Remainder(math.Atan2(q.y-b.y, q.x-b.x)-math.Atan2(b.y-a.y, b.x-a.x), 2*math.Pi))
			if turn > math.Pi/6 && at.to(b) < c.clear-0.05 {
				t.Errorf("%v: starts at %v, %.2f mm from the corner %v", c.ring[:4], at, at.to(b), b)
			}
		}
	}
}

// Overcut runs on along the line that is already cut, and slits run out into the
// waste beyond the edge but keep their inner ends.
func TestOrderOvercut(t *testing.T) {
	d := sheetOfParts()
	const over = 1.5
	o, err := Order(d, &OrderOptions{Overcut: over})
	if err != nil {
		t.Fatal(err)
	}
	plain, err := Order(d, nil)
	if err != nil {
		t.Fatal(err)
	}
	a, b := workedLines(t, plain), workedLines(t, o)
	slits := 0
	for i := range a {
		switch {
		case a[i].ring:
			if b[i].ring {
				t.Fatal("a ring was closed in spite of its overcut")
			}
			line, ring := b[i].xy, a[i].xy
			if !slices.Equal(line[:len(ring)], ring) {
				t.Fatalf("overcut changed a ring")
			}
			l := 0.0
			for k := len(ring); k < len(line); k += 2 {
				p := place{line[k], line[k+1]}
				l += p.to(place{line[k-2], line[k-1]})
				if gap(worked{xy: []float64{p.x, p.y}}, worked{xy: ring}) > 1e-9 {
					t.Errorf("overcut leaves the ring at %v", p)
				}
			}
			if math.Abs(l-over) > 1e-9 {
				t.Errorf("overcut of %g mm", l)
			}
		case a[i].role == Cut:
			slits++
			for k := 0; k < 4; k += 2 {
				x, y := a[i].xy[k], a[i].xy[k+1]
				want := 0.0
				if y == 10 || y == 110 {
					want = over
				}
				if got := (place{x, y}).to(place{b[i].xy[k], b[i].xy[k+1]}); math.Abs(got-want) > 1e-9 {
					t.Errorf("the slit's end at (%g, %g) moved by %g mm", x, y, got)
				}
			}
		}
	}
	if slits != 8+8 {
		t.Errorf("%d slits and teeth", slits)
	}
	// a part that fills its sheet leaves no waste to run out into
	d.Layers = []Layer{{Cut, []geom.T{polygon([]float64{0, 0, 230, 0, 230, 190, 0, 190}), geom.NewLineStringFlat(geom.XY, []float64{20, 20, 20, 0})}}}
	if o, err = Order(d, &OrderOptions{Overcut: over}); err != nil {
		t.Fatal(err)
	}
	if _, err := o.Travel([2]float64{}); err != nil {
		t.Error(err)
	}
}

// The way over two unit squares and a score, by hand.
func TestTravel(t *testing.T) {
	d := &Drawing{Width: 20, Height: 20, Layers: []Layer{
		{Mountain, []geom.T{geom.NewLineStringFlat(geom.XY, []float64{3, 4, 3, 9})}},
		{Note, []geom.T{geom.NewLineStringFlat(geom.XY, []float64{0, 19, 9, 19})}},
		{Cut, []geom.T{polygon(square(6, 5, 3), reversed(square(7, 6, 1)))}},
	}}
	// home, 5 to (3,4), score 5 to (3,9), 5 to the hole at (7,6)... its first point
	// is (7,7), then sqrt 5 to (6,5), home sqrt 61
	got, err := d.Travel([2]float64{})
	if err != nil {
		t.Fatal(err)
	}
	want := Travel{Score: 5, Cut: 16, PenUp: 5 + math.Hypot(4, 2) + math.Hypot(1, 2) + math.Hypot(6, 5), Lifts: 3}
	if math.Abs(got.PenUp-want.PenUp) > 1e-9 || got.Cut != want.Cut || got.Score != want.Score || got.Lifts != want.Lifts {
		t.Errorf("got %+v, want %+v", got, want)
	}
	if s := got.Time(10, 50).Seconds(); math.Abs(s-(2.1+want.PenUp/50)) > 1e-6 {
		t.Errorf("%g s", s)
	}
	if _, err := (&Drawing{}).Travel([2]float64{}); err == nil {
		t.Error("an empty drawing was measured")
	}
	if _, err := Order(&Drawing{}, nil); err == nil {
		t.Error("an empty drawing was ordered")
	}
}
