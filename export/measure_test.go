package export

import (
	"math/rand/v2"
	"testing"

	"github.com/twpayne/go-geom"
)

// No dimension line with its text lies on another or on the drawing, and each keeps within the picture.
func TestDimensionsKeepApart(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	for range 40 {
		opts := &PNGOptions{}
		for range 1 + rnd.IntN(14) {
			a, b := 5+60*rnd.Float64(), 5+60*rnd.Float64()
			c := 5 + 50*rnd.Float64()
			m := Measure{geom.Coord{a, c}, geom.Coord{b, c}, "5 1/2 in (139.7 mm)"}
			if rnd.IntN(2) == 0 {
				m = Measure{geom.Coord{c, a * 50 / 65}, geom.Coord{c, b * 50 / 65}, "1 in (25.4 mm)"}
			}
			opts.Measures = append(opts.Measures, m)
		}
		p := newPlan(lantern(), opts, 900)
		x0, y0 := p.at(5, 5)
		x1, y1 := p.at(65, 55)
		part := label{"", x0, y0, x1, y1}
		for i, d := range p.dims {
			s := p.stretch(d)
			if s.x0 < 0 || s.y0 < 0 || s.x1 > p.width || s.y1 > p.height || s.meets(part) {
				t.Errorf("%v of %v lies on the part or off the picture", d, opts.Measures)
			}
			for _, o := range p.dims[:i] {
				if s.meets(p.stretch(o)) {
					t.Errorf("%v and %v meet", d, o)
				}
			}
		}
	}
}

// A measure stands on the side that it is nearer to.
func TestSideOf(t *testing.T) {
	p := newPlan(lantern(), &PNGOptions{}, 500)
	for want, m := range map[side]Measure{
		top:    {From: geom.Coord{5, 20}, To: geom.Coord{65, 20}},
		bottom: {From: geom.Coord{65, 45}, To: geom.Coord{5, 45}},
		left:   {From: geom.Coord{35, 5}, To: geom.Coord{35, 55}},
		right:  {From: geom.Coord{36, 5}, To: geom.Coord{36, 55}},
		slant:  {From: geom.Coord{5, 5}, To: geom.Coord{65, 55}},
	} {
		if got := p.sideOf(m); got != want {
			t.Errorf("%v stands on side %d, want %d", m, got, want)
		}
	}
}
