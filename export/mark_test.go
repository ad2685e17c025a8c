package export

import (
	"math/rand/v2"
	"testing"

	"github.com/twpayne/go-geom"
)

// Texts of marks never lie on one another or run out of the picture, and a mark that stands alone gets its text.
func TestMarkLabels(t *testing.T) {
	rnd := rand.New(rand.NewPCG(8, 9))
	for _, n := range []int{1, 5, 60, 400} {
		opts := &PNGOptions{}
		for range n {
			opts.Marks = append(opts.Marks, Mark{At: geom.Coord{70 * rnd.Float64(), 60 * rnd.Float64()}, Radius: 2 * rnd.Float64(), Text: "web 0.31 mm"})
		}
		p := newPlan(lantern(), opts, 800)
		labels := p.labels()
		if n <= 5 && len(labels) != n {
			t.Errorf("%d marks have %d texts", n, len(labels))
		}
		for i, a := range labels {
			if a.x0 < 0 || a.y0 < 0 || a.x1 > p.width || a.y1 > p.height {
				t.Errorf("%d marks: text %d runs out of the picture", n, i)
			}
			for _, b := range labels[:i] {
				if a.meets(b) {
					t.Errorf("%d marks: texts meet: %v, %v", n, a, b)
				}
			}
		}
	}
}

// A bare mark's text starts where it points, and has no circle to keep off.
func TestBareMark(t *testing.T) {
	p := newPlan(lantern(), &PNGOptions{Marks: []Mark{{At: geom.Coord{10, 10}, Text: "webs", Bare: true}}}, 800)
	x, y := p.at(10, 10)
	l := p.labels()
	if len(l) != 1 || l[0].x0 > x || l[0].x0 < x-p.u || (l[0].y0+l[0].y1)/2 != y {
		t.Errorf("the text of a mark at %g, %g stands at %v", x, y, l)
	}
}
