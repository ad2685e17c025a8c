package stencil

import (
	"math"
	"math/rand"
	"strings"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/wkb"

	"example.org/kerfleaf/internal/region"
)

// unite is the union of polygons that may overlap.
func unite(t testing.TB, ps ...*geom.Polygon) *geom.MultiPolygon {
	t.Helper()
	mp, err := region.UnionAll(ps)
	if err != nil {
		t.Fatal(err)
	}
	return mp
}

func rect(x0, y0, x1, y1 float64) *geom.Polygon {
	return polygon([]xy{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}})
}

func bounds(x0, y0, x1, y1 float64) *geom.Bounds {
	return geom.NewBounds(geom.XY).Set(x0, y0, x1, y1)
}

// circle has n corners; a negative radius winds it the other way.
func circle(c xy, r float64, n int) []xy {
	ring := make([]xy, n)
	for i := range ring {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		ring[i] = xy{c.x + math.Abs(r)*cos, c.y + r*sin}
	}
	return ring
}

// holed is a polygon with holes.
func holed(outer []xy, holes ...[]xy) *geom.Polygon {
	p := polygon(outer)
	flat := append([]float64(nil), p.FlatCoords()...)
	ends := []int{len(flat)}
	for _, h := range holes {
		f := polygon(h).FlatCoords()
		for i := len(f) - 2; i >= 0; i -= 2 {
			flat = append(flat, f[i], f[i+1])
		}
		ends = append(ends, len(flat))
	}
	return geom.NewPolygonFlat(geom.XY, flat, ends)
}

// picture turns rows of cells into cut areas: '#' is cut, one mm a cell.
func picture(t testing.TB, rows string) (*geom.MultiPolygon, *geom.Bounds) {
	t.Helper()
	var ps []*geom.Polygon
	lines := strings.Fields(rows)
	for y, line := range lines {
		for x, c := range line {
			if c == '#' {
				ps = append(ps, rect(float64(x), float64(y), float64(x+1), float64(y+1)))
			}
		}
	}
	return unite(t, ps...), bounds(0, 0, float64(len(lines[0])), float64(len(lines)))
}

// raster is paper in cells, the independent judge of what Check and Bridge say.
type raster struct {
	w, h  int
	paper []bool
}

// scan samples cut at the centres of cells of the given size, even-odd by rows.
func scan(cut *geom.MultiPolygon, sheet *geom.Bounds, cell float64) *raster {
	w := int(math.Round((sheet.Max(0) - sheet.Min(0)) / cell))
	h := int(math.Round((sheet.Max(1) - sheet.Min(1)) / cell))
	r := &raster{w, h, make([]bool, w*h)}
	flips := make([]uint8, (w+1)*h) // where parity changes, to the right
	flat := cut.FlatCoords()
	start := 0
	for _, ends := range cut.Endss() {
		for _, end := range ends {
			for i := start; i+3 < end; i += 2 {
				a, b := xy{flat[i], flat[i+1]}, xy{flat[i+2], flat[i+3]}
				if a.y > b.y {
					a, b = b, a
				}
				y0 := int(math.Ceil((a.y-sheet.Min(1))/cell - 0.5))
				y1 := int(math.Ceil((b.y-sheet.Min(1))/cell - 0.5))
				for y := max(y0, 0); y < min(y1, h); y++ {
					cy := sheet.Min(1) + (float64(y)+0.5)*cell
					x := a.x + (cy-a.y)/(b.y-a.y)*(b.x-a.x)
					k := int(math.Ceil((x-sheet.Min(0))/cell - 0.5))
					flips[y*(w+1)+max(0, min(w, k))] ^= 1
				}
			}
			start = end
		}
	}
	for y := range h {
		cutNow := uint8(0)
		for x := range w {
			cutNow ^= flips[y*(w+1)+x]
			r.paper[y*w+x] = cutNow == 0
		}
	}
	return r
}

// parts counts the cells of each part of the paper.
func (r *raster) parts() map[int32]int {
	_, n := r.label()
	return n
}

// label finds the part of each cell of 4-connected paper by union-find (Tarjan 1975;
// Rosenfeld 1970 for the pairing of 4- with 8-connectedness), and each part's cells.
func (r *raster) label() (forest, map[int32]int) {
	f := newForest(len(r.paper))
	for i, p := range r.paper {
		if p && i%r.w > 0 && r.paper[i-1] {
			f.join(int32(i), int32(i-1))
		}
		if p && i >= r.w && r.paper[i-r.w] {
			f.join(int32(i), int32(i-r.w))
		}
	}
	n := map[int32]int{}
	for i, p := range r.paper {
		if p {
			f[i] = f.find(int32(i))
			n[f[i]]++
		}
	}
	return f, n
}

// thick tells which parts hold a block of three by three cells.
func (r *raster) thick(part forest) map[int32]bool {
	out := map[int32]bool{}
	for y := 1; y < r.h-1; y++ {
	cells:
		for x := 1; x < r.w-1; x++ {
			for dy := -1; dy <= 1; dy++ {
				for dx := -1; dx <= 1; dx++ {
					if !r.paper[(y+dy)*r.w+x+dx] {
						continue cells
					}
				}
			}
			out[part[y*r.w+x]] = true
		}
	}
	return out
}

// euler is the Euler number of 4-connected paper by bit quads (Gray 1971).
func (r *raster) euler() int {
	at := func(x, y int) int {
		if x >= 0 && y >= 0 && x < r.w && y < r.h && r.paper[y*r.w+x] {
			return 1
		}
		return 0
	}
	q := 0
	for y := -1; y < r.h; y++ {
		for x := -1; x < r.w; x++ {
			a, b, c, d := at(x, y), at(x+1, y), at(x, y+1), at(x+1, y+1)
			switch a + b + c + d {
			case 1:
				q++
			case 3:
				q--
			case 2:
				if a == d {
					q += 2
				}
			}
		}
	}
	return q / 4
}

// lace is a seeded page of n cut areas or so: flowers, rings and reeds apart from
// one another, some with islands, some within islands.
func lace(n int, seed int64) (*geom.MultiPolygon, *geom.Bounds) {
	r := rand.New(rand.NewSource(seed))
	side := int(math.Ceil(math.Sqrt(float64(n))))
	const pitch = 6.0
	mp := geom.NewMultiPolygon(geom.XY)
	push := func(p *geom.Polygon) {
		if err := mp.Push(p); err != nil {
			panic(err)
		}
	}
	for i := range n {
		c := xy{10 + pitch*(float64(i%side)+0.5), 10 + pitch*(float64(i/side)+0.5)}
		flower := func(radius float64, k int) []xy {
			ring := circle(c, radius, 24)
			turn := r.Float64() * 6
			for j := range ring {
				v := ring[j].sub(c)
				ring[j] = c.add(v.times(1 - 0.12*(1+math.Sin(turn+float64(k*j)*math.Pi/12))))
			}
			return ring
		}
		switch i % 4 {
		case 0:
			push(holed(flower(2.4, 5), flower(1.5, 3)))
		case 1:
			push(holed(circle(c, 2.4, 40), circle(c, 1.8, 40)))
			push(polygon(flower(1, 4)))
		default:
			push(polygon(flower(2.3, 3+i%3)))
		}
	}
	l := 20 + pitch*float64(side)
	return mp, bounds(0, 0, l, l)
}

// tangle is a random cut-out: overlapping rings, bars and discs.
func tangle(t testing.TB, seed int64, n int) (*geom.MultiPolygon, *geom.Bounds) {
	t.Helper()
	r := rand.New(rand.NewSource(seed))
	var ps []*geom.Polygon
	for range n {
		c := xy{8 + 44*r.Float64(), 8 + 44*r.Float64()}
		switch r.Intn(4) {
		case 0:
			v := xy{r.NormFloat64(), r.NormFloat64()}
			v = v.times(1 / v.norm())
			l, w := v.times(2+8*r.Float64()), v.left().times(0.3+r.Float64())
			ps = append(ps, polygon([]xy{c.add(l).add(w), c.add(l).sub(w), c.sub(l).sub(w), c.sub(l).add(w)}))
		case 1:
			ps = append(ps, polygon(circle(c, 0.6+2.5*r.Float64(), 5+r.Intn(30))))
		default:
			rad := 1.5 + 6*r.Float64()
			ps = append(ps, holed(circle(c, rad, 8+r.Intn(40)), circle(c, rad*(0.5+0.35*r.Float64()), 7+r.Intn(40))))
		}
	}
	return unite(t, ps...), bounds(-10, -10, 70, 70)
}

// isValid reports whether mp keeps the geometric contract.
func isValid(mp *geom.MultiPolygon) bool {
	b, err := wkb.Marshal(mp, wkb.NDR)
	if err != nil {
		return false
	}
	if _, err = sf.UnmarshalWKB(b); err != nil {
		return false
	}
	for i := range mp.NumPolygons() {
		p := mp.Polygon(i)
		for j := range p.NumLinearRings() {
			if a := p.LinearRing(j).Area(); (a > 0) != (j == 0) {
				return false
			}
		}
	}
	return true
}

// valid fails the test unless mp keeps the geometric contract.
func valid(t testing.TB, mp *geom.MultiPolygon) {
	t.Helper()
	if !isValid(mp) {
		t.Fatalf("not valid, or wound the wrong way: %v %v", mp.FlatCoords(), mp.Endss())
	}
}
