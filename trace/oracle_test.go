package trace

import (
	"image"
	"math"
	"math/rand"
	"testing"
)

// The oracle: marching squares as the textbooks draw it, one cell at a time, slow and plain. The fast tracer has to
// give the same rings. Coordinates are pixels: the picture's top-left corner is (0, 0), a pixel's value sits at its centre,
// x runs right and y down. The picture is taken as surrounded by paper that begins on its edge.

// oraclePoint is a point in pixels.
type oraclePoint struct{ x, y float64 }

// oracleField is a picture as numbers: darkness[y*w+x], cut where it is at least level. Where hard is set the values
// are only two and cut pixels that touch at a corner are joined; else the asymptotic decider rules.
type oracleField struct {
	w, h     int
	darkness []float64
	level    float64
	paper    float64 // darkness beyond the border
	hard     bool
}

func (f *oracleField) at(x, y int) float64 {
	if x < 0 || y < 0 || x >= f.w || y >= f.h {
		return f.paper
	}
	return f.darkness[y*f.w+x]
}

// joined says whether the cut corners of a saddle cell belong together: Nielson and Hamann, "The asymptotic decider:
// resolving the ambiguity in marching cubes", Visualization 1991.
func (f *oracleField) joined(tl, tr, br, bl float64) bool {
	if f.hard {
		return true
	}
	saddle, by := tl*br-tr*bl, tl+br-tr-bl // not divided, so that a tie is one
	if by < 0 {
		saddle, by = -saddle, -by
	}
	return saddle >= f.level*by
}

// oracleEdge names a grid edge between two neighbouring pixel centres: from (x, y) to the right, or down.
type oracleEdge struct {
	x, y int
	down bool
}

func (f *oracleField) crossing(e oracleEdge) oraclePoint {
	a, b := f.at(e.x, e.y), 0.0
	if e.down {
		b = f.at(e.x, e.y+1)
	} else {
		b = f.at(e.x+1, e.y)
	}
	t := (f.level - a) / (b - a)
	if x, y := e.x+1, e.y+1; e.x < 0 || e.y < 0 || !e.down && x == f.w || e.down && y == f.h {
		t = 0.5 // on the picture's edge
	}
	p := oraclePoint{float64(e.x) + 0.5, float64(e.y) + 0.5}
	if e.down {
		p.y += t
	} else {
		p.x += t
	}
	return p
}

// rings returns every ring as open lists of points, cut area on the right of the way one goes as seen on the page
// (so shells have positive area in the page's axes, holes negative).
func (f *oracleField) rings() [][]oraclePoint {
	next := map[oracleEdge]oracleEdge{}
	var order []oracleEdge
	link := func(from, to oracleEdge) {
		next[from] = to
		order = append(order, from)
	}
	for y := -1; y < f.h; y++ {
		for x := -1; x < f.w; x++ {
			v := [4]float64{f.at(x, y), f.at(x+1, y), f.at(x+1, y+1), f.at(x, y+1)}
			edges := [4]oracleEdge{{x, y, false}, {x + 1, y, true}, {x, y + 1, false}, {x, y, true}} // top right bottom left
			var in [4]bool
			var enter, leave []int // sides where, walking with the cut on the right, a line comes in or goes out
			for i := range v {
				in[i] = v[i] >= f.level
			}
			for i := range v {
				// Side i runs clockwise from corner i to corner i+1 (as seen on the page).
				switch a, b := in[i], in[(i+1)%4]; {
				case a && !b:
					enter = append(enter, i)
				case !a && b:
					leave = append(leave, i)
				}
			}
			switch len(enter) {
			case 1:
				link(edges[enter[0]], edges[leave[0]])
			case 2:
				joined := f.joined(v[0], v[1], v[2], v[3])
				for _, e := range enter {
					// Corner e is cut. Apart, the line turns round that corner and leaves by the side before; joined, it
					// turns round the paper corner e+1 and leaves by the side after.
					out := (e + 3) % 4
					if joined {
						out = (e + 1) % 4
					}
					link(edges[e], edges[out])
				}
			}
		}
	}
	seen := map[oracleEdge]bool{}
	var rings [][]oraclePoint
	for _, start := range order {
		if seen[start] {
			continue
		}
		var ring []oraclePoint
		for e := start; !seen[e]; e = next[e] {
			seen[e] = true
			ring = append(ring, f.crossing(e))
		}
		rings = append(rings, ring)
	}
	return rings
}

// oracleArea is the signed area in the sense of the package's contract: positive for shells.
func oracleArea(ring []oraclePoint) float64 {
	sum := 0.0
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		sum += (b.x - a.x) * (a.y + b.y)
	}
	return -sum / 2
}

// oracleInside is the even-odd rule.
func oracleInside(p oraclePoint, ring []oraclePoint) bool {
	inside := false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.y > p.y) != (b.y > p.y) && p.x < a.x+(p.y-a.y)/(b.y-a.y)*(b.x-a.x) {
			inside = !inside
		}
	}
	return inside
}

// oracleNest gives for each ring the index of the shell that it is a hole of, or -1 for shells: a hole belongs to the
// smallest shell round it.
func oracleNest(rings [][]oraclePoint) []int {
	parent := make([]int, len(rings))
	for i, hole := range rings {
		parent[i] = -1
		if oracleArea(hole) > 0 {
			continue
		}
		best := math.Inf(1)
		for j, shell := range rings {
			if a := oracleArea(shell); a > 0 && a < best && a > -oracleArea(hole) && oracleInside(hole[0], shell) {
				parent[i], best = j, a
			}
		}
	}
	return parent
}

// TestOracle compares the fast tracer's rings, vertex by vertex, with the oracle's on random pictures.
func TestOracle(t *testing.T) {
	rnd := rand.New(rand.NewSource(7))
	for range 400 {
		againstOracle(t, rnd.Int63(), 1+rnd.Intn(70), 1+rnd.Intn(20), 2+rnd.Intn(3)*rnd.Intn(120))
	}
}

func FuzzOracle(f *testing.F) {
	f.Add(int64(1), uint8(9), uint8(8), uint8(2))
	f.Add(int64(2), uint8(130), uint8(3), uint8(40))
	f.Fuzz(func(t *testing.T, seed int64, w, h, values uint8) {
		againstOracle(t, seed, 1+int(w), 1+int(h), 2+int(values))
	})
}

// againstOracle makes a random picture of so many values of grey, in blots so that rings grow large, and compares.
func againstOracle(t *testing.T, seed int64, w, h, values int) {
	t.Helper()
	rnd := rand.New(rand.NewSource(seed))
	g := image.NewGray(image.Rect(0, 0, w, h))
	blot := rnd.Intn(3)
	for i := range g.Pix {
		g.Pix[i] = uint8(rnd.Intn(values) * 255 / (values - 1))
		if x := i % w; x > 0 && rnd.Intn(3) < blot {
			g.Pix[i] = g.Pix[i-1]
		}
	}
	h0 := histogramOf(g)
	level2, hard := h0.level2(0)
	f := &oracleField{w: w, h: h, level: 255 - float64(level2)/2, hard: hard}
	for _, v := range g.Pix {
		f.darkness = append(f.darkness, float64(255-v))
	}
	m, err := Image(g, 1, &Options{Tolerance: -1})
	if err != nil {
		t.Fatal(err)
	}
	want := f.rings()
	parent := oracleNest(want)
	byStart := map[oracleEdge]int{}
	for i, r := range want {
		for _, p := range r {
			byStart[edgeOf(p)] = i
		}
	}
	found := make([]bool, len(want))
	flat, from := m.FlatCoords(), 0
	for _, ends := range m.Endss() {
		shell := -1
		for k, end := range ends {
			r := flat[from : end-2]
			from = end
			i, ok := byStart[edgeOf(oraclePoint{r[0], r[1]})]
			if !ok || found[i] || len(want[i]) != len(r)/2 {
				t.Fatalf("seed %d, %d x %d, %d values: ring %v is not the oracle's", seed, w, h, values, r)
			}
			found[i] = true
			turn := 0
			for edgeOf(want[i][turn]) != edgeOf(oraclePoint{r[0], r[1]}) {
				turn++
			}
			for j := range want[i] {
				p := want[i][(turn+j)%len(want[i])]
				if math.Abs(p.x-r[2*j]) > 2e-4 || math.Abs(p.y-r[2*j+1]) > 2e-4 {
					t.Fatalf("seed %d: vertex %v, want %v", seed, r[2*j:2*j+2], p)
				}
			}
			if k == 0 {
				shell = i
			} else if parent[i] != shell {
				t.Fatalf("seed %d: hole of ring %d, want %d", seed, shell, parent[i])
			}
		}
	}
	for i, ok := range found {
		if !ok {
			t.Fatalf("seed %d, %d x %d, %d values: ring %v is missing", seed, w, h, values, want[i])
		}
	}
}

// edgeOf gives the grid edge that a vertex lies on.
func edgeOf(p oraclePoint) oracleEdge {
	x, y := math.Floor(p.x-0.5), math.Floor(p.y-0.5)
	return oracleEdge{int(x), int(y), p.x-0.5 == x}
}
