package mesh

import (
	"errors"
	"math/big"
	"math/rand"
	"testing"
)

// checkMesh fails the test unless m is a triangulation of the whole square that
// is Delaunay wherever no edge is kept.
func checkMesh(t *testing.T, m *Mesh) {
	t.Helper()
	var area int64
	for h := int32(0); h < int32(len(m.Start)); h++ {
		g := m.Twin[h]
		if g >= 0 && (m.Twin[g] != h || m.Start[g] != m.End(h) || m.Mask[g] != m.Mask[h]) {
			t.Fatalf("half-edge %d and its twin %d disagree", h, g)
		}
		a, b, c := m.V[m.Start[h]], m.V[m.End(h)], m.V[m.Apex(h)]
		o := Orient(a, b, c)
		if o <= 0 {
			t.Fatalf("triangle %v %v %v is not positive", a, b, c)
		}
		if h%3 == 0 {
			area += o / 2
			if o%2 != 0 {
				area++ // halves pair up within the few triangles that we test
			}
		}
		if g >= 0 && m.Mask[h] == 0 && exactInCircle(a, b, c, m.V[m.Apex(g)]) > 0 {
			t.Fatalf("edge %v %v is neither kept nor Delaunay", a, b)
		}
	}
	for v, h := range m.out {
		if m.Start[h] != int32(v) {
			t.Fatalf("vertex %d: half-edge %d starts elsewhere", v, h)
		}
	}
	full := int64(4) * Limit * Limit
	if d := area - full; d < -int64(m.Triangles()) || d > int64(m.Triangles()) {
		t.Fatalf("triangles cover %d of %d", area, full)
	}
}

// exactInCircle is the in-circle determinant written out in big integers.
func exactInCircle(a, b, c, d Pt) int {
	row := func(p Pt) (x, y, l *big.Int) {
		x, y = big.NewInt(p.X-d.X), big.NewInt(p.Y-d.Y)
		l = new(big.Int).Add(new(big.Int).Mul(x, x), new(big.Int).Mul(y, y))
		return
	}
	ax, ay, al := row(a)
	bx, by, bl := row(b)
	cx, cy, cl := row(c)
	minor := func(px, py, qx, qy *big.Int) *big.Int {
		return new(big.Int).Sub(new(big.Int).Mul(px, qy), new(big.Int).Mul(qx, py))
	}
	s := new(big.Int).Mul(al, minor(bx, by, cx, cy))
	s.Add(s, new(big.Int).Mul(bl, minor(cx, cy, ax, ay)))
	s.Add(s, new(big.Int).Mul(cl, minor(ax, ay, bx, by)))
	return s.Sign()
}

func TestInCircleIsExact(t *testing.T) {
	r := rand.New(rand.NewSource(1))
	for range 20000 {
		span := int64(1) << (1 + r.Intn(29))
		p := func() Pt { return Pt{r.Int63n(2*span) - span, r.Int63n(2*span) - span} }
		a, b, c, d := p(), p(), p(), p()
		if r.Intn(2) == 0 { // four corners of a rectangle lie on one circle
			b, c, d = Pt{d.X, a.Y}, d, Pt{a.X, d.Y + int64(r.Intn(3)) - 1}
		}
		if got, want := inCircle(a, b, c, d), exactInCircle(a, b, c, d); got != want {
			t.Fatalf("inCircle(%v, %v, %v, %v) = %d, want %d", a, b, c, d, got, want)
		}
	}
}

// grid is squares of side s on a lattice of the given pitch.
func grid(n int, s, pitch int64) []Chain {
	var cs []Chain
	for i := range n * n {
		x, y := int64(i%n)*pitch, int64(i/n)*pitch
		cs = append(cs, Chain{[]Pt{{x, y}, {x + s, y}, {x + s, y + s}, {x, y + s}}, 1})
	}
	return cs
}

func kept(t *testing.T, m *Mesh, chains []Chain, index [][]int32) {
	t.Helper()
	edges := map[[2]int32]bool{}
	for h := range m.Start {
		if m.Mask[h]&Kept != 0 {
			edges[[2]int32{m.Start[h], m.End(int32(h))}] = true
		}
	}
	for c, ids := range index {
		for i, a := range ids {
			if m.V[a] != chains[c].Points[i] {
				t.Fatalf("chain %d point %d is at vertex %v", c, i, m.V[a])
			}
			b := ids[(i+1)%len(ids)]
			if a != b && !edges[[2]int32{a, b}] {
				t.Fatalf("edge %v %v was not kept", m.V[a], m.V[b])
			}
		}
	}
}

func TestBuildGrids(t *testing.T) {
	for _, c := range []struct {
		n        int
		s, pitch int64
	}{{1, 100, 200}, {7, 100, 200}, {7, 1000, 1001}, {9, 3, 1 << 20}, {5, 1 << 22, 1<<22 + 9}} {
		chains := grid(c.n, c.s, c.pitch)
		m, index, err := Build(chains)
		if err != nil {
			t.Fatal(err)
		}
		checkMesh(t, m)
		kept(t, m, chains, index)
	}
}

// Long needles among dust: edges that cross many triangles before they are kept.
func TestBuildNeedles(t *testing.T) {
	r := rand.New(rand.NewSource(2))
	for round := range 60 {
		var chains []Chain
		span := int64(1) << (12 + r.Intn(16))
		for i := range int64(1 + r.Intn(12)) {
			y := i * span / 8
			chains = append(chains, Chain{[]Pt{{-span, y}, {span, y + r.Int63n(span/16)}, {span, y + span/16}}, 1})
			for range r.Intn(40) {
				x, y := r.Int63n(2*span)-span, y+span/16+1+r.Int63n(span/17)
				chains = append(chains, Chain{[]Pt{{x, y}}, 2})
			}
		}
		m, index, err := Build(chains)
		if err != nil {
			t.Fatalf("round %d: %v", round, err)
		}
		checkMesh(t, m)
		kept(t, m, chains, index)
	}
}

func TestBuildLeadsEdgesThroughVertices(t *testing.T) {
	chains := []Chain{
		{[]Pt{{0, 0}, {1000, 0}, {1000, 1000}, {0, 1000}}, 1},
		{[]Pt{{500, 1}, {700, -400}, {300, -400}}, 1}, // one unit inside the side it should touch
		{[]Pt{{1000, 0}, {2000, 0}, {2000, 1000}, {1000, 1000}}, 1},
	}
	m, _, err := Build(chains)
	if err != nil {
		t.Fatal(err)
	}
	checkMesh(t, m)
	for h := range m.Start {
		if m.V[m.Start[h]] == (Pt{1000, 0}) && m.V[m.End(int32(h))] == (Pt{1000, 1000}) && m.Mask[h] != Kept {
			t.Errorf("the side that two squares share has mask %#x, want the two to cancel out", m.Mask[h])
		}
		a, b := m.V[m.Start[h]], m.V[m.End(int32(h))]
		if a == (Pt{0, 0}) && b == (Pt{1000, 0}) {
			t.Error("a side was not led through the vertex that touches it")
		}
	}
}

func TestBuildReportsCrossing(t *testing.T) {
	_, _, err := Build([]Chain{
		{[]Pt{{0, 0}, {1000, 0}, {1000, 1000}}, 1},
		{[]Pt{{500, -300}, {500, 900}, {400, 900}}, 1},
	})
	var c *CrossingError
	if !errors.As(err, &c) {
		t.Fatalf("got %v, want a CrossingError", err)
	}
}

func FuzzBuild(f *testing.F) {
	f.Add([]byte{0, 0, 9, 0, 9, 9, 3, 3, 6, 3, 6, 6})
	f.Add([]byte{0, 0, 200, 1, 9, 9, 100, 0, 100, 3, 101, 2, 100, 1, 50, 1, 70, 1})
	f.Fuzz(func(t *testing.T, b []byte) {
		var chains []Chain
		for i := 0; i+6 <= len(b) && i < 120; i += 6 {
			c := Chain{Mask: 1}
			for j := i; j < i+6; j += 2 {
				c.Points = append(c.Points, Pt{int64(b[j]) * 7, int64(b[j+1]) * 5})
			}
			chains = append(chains, c)
		}
		m, _, err := Build(chains)
		if err == nil {
			checkMesh(t, m)
		}
	})
}

func TestSplit(t *testing.T) {
	m, index, err := Build(grid(3, 1000, 1200))
	if err != nil {
		t.Fatal(err)
	}
	a, b := index[4][0], index[4][1]
	n := m.Triangles()
	if !m.Split(m.Between(a, b), Pt{1700, 1200}) {
		t.Fatal("could not split a side")
	}
	checkMesh(t, m)
	if m.Triangles() != n+2 || m.Between(a, b) >= 0 {
		t.Error("the side is still there")
	}
	if m.Split(m.Between(a, int32(len(m.V)-1)), Pt{1400, 900}) {
		t.Error("split a side at a point off it")
	}
	checkMesh(t, m)
}
