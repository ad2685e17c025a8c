package box_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/xy"

	"example.org/kerfleaf/box"
)

// slab is a panel of a folded tray: a block of paper in space.
type slab struct{ lo, hi [3]float64 }

func overlap(a, b slab) bool {
	for i := range 3 {
		if a.hi[i] <= b.lo[i]+1e-9 || b.hi[i] <= a.lo[i]+1e-9 {
			return false
		}
	}
	return true
}

// folded stands a net up as blocks of paper. It looks at the net alone: walls
// stand on the scores with the middle of their thickness, and where paper in a
// corner hangs on one wall and not on the other, it is laid inside the other.
func folded(n *box.Net, t float64) (walls []slab) {
	x0, y0, x1, y1 := n.Face.Min(0), n.Face.Min(1), n.Face.Max(0), n.Face.Max(1)
	depth := x0
	walls = []slab{
		{[3]float64{x0 - t/2, y0 - t/2, 0}, [3]float64{x0 + t/2, y1 + t/2, depth}},
		{[3]float64{x1 - t/2, y0 - t/2, 0}, [3]float64{x1 + t/2, y1 + t/2, depth}},
		{[3]float64{x0 - t/2, y0 - t/2, 0}, [3]float64{x1 + t/2, y0 + t/2, depth}},
		{[3]float64{x0 - t/2, y1 - t/2, 0}, [3]float64{x1 + t/2, y1 + t/2, depth}},
	}
	for _, cx := range []float64{x0, x1} {
		for _, cy := range []float64{y0, y1} {
			outX, outY := math.Copysign(1, cx-(x0+x1)/2), math.Copysign(1, cy-(y0+y1)/2)
			// is there paper, and no slit, just outside the corner along this wall's end?
			onSide := paper(n, cx+outX*depth/2, cy+outY*1e-6) && !slit(n, 1, cy)
			if onSide { // hangs on a left or right wall: laid inside the top or bottom one
				reach := tabReach(n, cx+outX*depth/2, cy, 0, outY, depth)
				walls = append(walls, block(cx, cy, -outX*reach, -outY, t, depth))
			} else {
				reach := tabReach(n, cx, cy+outY*depth/2, outX, 0, depth)
				b := block(cy, cx, -outY*reach, -outX, t, depth)
				b.lo[0], b.lo[1], b.hi[0], b.hi[1] = b.lo[1], b.lo[0], b.hi[1], b.hi[0]
				walls = append(walls, b)
			}
		}
	}
	return walls
}

// block lies on the inner face of the wall through (.., cy), from cx as far as
// reach.
func block(cx, cy, reach, inward, t, depth float64) slab {
	a, b := cy+inward*t/2, cy+inward*3*t/2
	return slab{
		[3]float64{min(cx, cx+reach), min(a, b), 0},
		[3]float64{max(cx, cx+reach), max(a, b), depth},
	}
}

// tabReach walks from the hinge outward while there is paper.
func tabReach(n *box.Net, x, y, dx, dy, depth float64) float64 {
	const step = 0.01
	r := 0.0
	for r+step < depth && paper(n, x+dx*(r+step), y+dy*(r+step)) {
		r += step
	}
	return r
}

func paper(n *box.Net, x, y float64) bool {
	return xy.IsPointInRing(geom.XY, geom.Coord{x, y}, n.Outline.FlatCoords())
}

// slit reports whether a slit runs along the score at the given position of an
// axis.
func slit(n *box.Net, axis int, at float64) bool {
	for i := range n.Slits.NumLineStrings() {
		c := n.Slits.LineString(i).FlatCoords()
		if math.Abs(c[axis]-at) < 1e-9 && math.Abs(c[2+axis]-at) < 1e-9 {
			return true
		}
	}
	return false
}

// random gives a spec that makes a box; the same seed gives the same.
func random(seed uint64) box.Spec {
	r := rand.New(rand.NewPCG(seed, 7))
	between := func(lo, hi float64) float64 { return lo + r.Float64()*(hi-lo) }
	s := box.Spec{
		Width: between(30, 250), Height: between(30, 250), Margin: between(3, 30), Depth: between(6, 60),
		FrontThickness: between(0.1, 0.6), BaseThickness: between(0.1, 0.6),
		Gap: between(0.2, 2), Tab: box.Tab(r.IntN(2)),
	}
	if r.IntN(2) == 0 {
		s.BaseDepth = between(6, 60)
	}
	return s
}

// Folded up and put one into the other, the trays have the gap that was asked
// for and not more: the base, moved by a hair less in any direction, touches
// nothing; moved by a hair more toward the tabs, it touches.
func TestFoldAndSlide(t *testing.T) {
	for seed := range uint64(400) {
		s := random(seed)
		front, err := s.Front()
		if err != nil {
			t.Fatalf("%+v: %v", s, err)
		}
		base, err := s.Base()
		if err != nil {
			t.Fatalf("%+v: %v", s, err)
		}
		fs, bs := folded(front, s.FrontThickness), folded(base, s.BaseThickness)
		// centre on centre
		centre := func(n *box.Net, axis int) float64 { return (n.Face.Min(axis) + n.Face.Max(axis)) / 2 }
		cx, cy := centre(front, 0)-centre(base, 0), centre(front, 1)-centre(base, 1)
		touches := func(dx, dy float64) bool {
			for _, b := range bs {
				b.lo[0], b.hi[0] = b.lo[0]+cx+dx, b.hi[0]+cx+dx
				b.lo[1], b.hi[1] = b.lo[1]+cy+dy, b.hi[1]+cy+dy
				for _, f := range fs {
					if overlap(f, b) {
						return true
					}
				}
			}
			return false
		}
		const hair = 1e-6
		g := s.Gap
		dirs := [][2]float64{{0, 1}, {0, -1}}
		if s.Width < s.Height {
			dirs = [][2]float64{{1, 0}, {-1, 0}}
		}
		for _, d := range dirs {
			if touches(d[0]*(g-hair), d[1]*(g-hair)) {
				t.Errorf("seed %d: %+v jams before the gap of %.3f mm is used up", seed, s, g)
			}
			if !touches(d[0]*(g+hair), d[1]*(g+hair)) {
				t.Errorf("seed %d: %+v has more room than the gap of %.3f mm", seed, s, g)
			}
			// across the plain walls there is the front's thickness to spare
			e := g + s.FrontThickness
			if touches(d[1]*(e-hair), d[0]*(e-hair)) || !touches(d[1]*(e+hair), d[0]*(e+hair)) {
				t.Errorf("seed %d: %+v: the plain walls do not leave %.3f mm", seed, s, e)
			}
		}
		// tabs on one wall do not reach into each other
		for i := 4; i < len(fs); i++ {
			for j := i + 1; j < len(fs); j++ {
				if overlap(fs[i], fs[j]) {
					t.Errorf("seed %d: %+v: tabs %d and %d meet", seed, s, i-4, j-4)
				}
			}
		}
	}
}
