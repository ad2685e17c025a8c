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
			opts.Marks = append(opts.Marks, Mark{geom.Coord{70 * rnd.Float64(), 60 * rnd.Float64()}, 2 * rnd.Float64(), "web 0.31 mm"})
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
