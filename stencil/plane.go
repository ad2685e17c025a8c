package stencil

import (
	"errors"
	"fmt"
	"math"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/stencil/internal/mesh"
)

// xy is a point in millimetres.
type xy struct{ x, y float64 }

func (p xy) sub(q xy) xy           { return xy{p.x - q.x, p.y - q.y} }
func (p xy) add(q xy) xy           { return xy{p.x + q.x, p.y + q.y} }
func (p xy) times(k float64) xy    { return xy{p.x * k, p.y * k} }
func (p xy) dot(q xy) float64      { return p.x*q.x + p.y*q.y }
func (p xy) cross(q xy) float64    { return p.x*q.y - p.y*q.x }
func (p xy) square() float64       { return p.x*p.x + p.y*p.y }
func (p xy) norm() float64         { return math.Sqrt(p.square()) }
func (p xy) distance(q xy) float64 { return p.sub(q).norm() }
func (p xy) left() xy              { return xy{-p.y, p.x} }
func (p xy) coord() geom.Coord     { return geom.Coord{p.x, p.y} }
func middle(p, q xy) xy            { return xy{(p.x + q.x) / 2, (p.y + q.y) / 2} }

// The masks of the mesh's kept edges: they bound cut areas or the sheet.
const (
	cutEdge   = 1
	sheetEdge = 2
)

// plane is the sheet and the cut areas as one triangulation, each triangle known
// to be paper, cut away or off the sheet.
type plane struct {
	*mesh.Mesh
	at    []xy    // each vertex in millimetres
	state []uint8 // each triangle: cutEdge if cut away, sheetEdge if on the sheet, or both
	grid  gridding
	ways  []passage // as last measured
}

// gridding maps millimetres to the mesh's grid: a power of two, about a nanometre.
type gridding struct{ ox, oy, scale float64 }

func (g gridding) pt(p xy) mesh.Pt {
	return mesh.Pt{X: int64(math.RoundToEven((p.x - g.ox) * g.scale)), Y: int64(math.RoundToEven((p.y - g.oy) * g.scale))}
}

func (g gridding) xy(p mesh.Pt) xy {
	return xy{g.ox + float64(p.X)/g.scale, g.oy + float64(p.Y)/g.scale}
}

// errNotFinite reports a coordinate that is no number.
var errNotFinite = errors.New("stencil: a coordinate is not a finite number")

// newPlane triangulates cut on the given sheet. A nil sheet is one that reaches
// beyond the cut areas on all sides.
func newPlane(cut *geom.MultiPolygon, sheet *geom.Bounds) (*plane, error) {
	if cut == nil {
		cut = geom.NewMultiPolygon(geom.XY)
	}
	if cut.Layout() != geom.XY && !cut.Empty() {
		return nil, fmt.Errorf("stencil: cut areas have layout %v, want XY", cut.Layout())
	}
	all := geom.NewBounds(geom.XY)
	if !cut.Empty() {
		all.Extend(cut)
	}
	if sheet == nil {
		sheet = spacious(all)
	}
	lo, hi := xy{sheet.Min(0), sheet.Min(1)}, xy{sheet.Max(0), sheet.Max(1)}
	if !(hi.x > lo.x && hi.y > lo.y) {
		return nil, fmt.Errorf("stencil: sheet of %.2f by %.2f mm has no area", hi.x-lo.x, hi.y-lo.y)
	}
	min, max := lo, hi
	beyond := false
	if !cut.Empty() {
		beyond = all.Min(0) < lo.x || all.Min(1) < lo.y || all.Max(0) > hi.x || all.Max(1) > hi.y
		min = xy{math.Min(lo.x, all.Min(0)), math.Min(lo.y, all.Min(1))}
		max = xy{math.Max(hi.x, all.Max(0)), math.Max(hi.y, all.Max(1))}
	}
	span := math.Max(max.x-min.x, max.y-min.y)
	if math.IsNaN(span) || math.IsInf(span, 0) || math.IsNaN(min.x+max.x+min.y+max.y) {
		return nil, errNotFinite
	}
	_, exp := math.Frexp(span)
	g := gridding{ox: (min.x + max.x) / 2, oy: (min.y + max.y) / 2, scale: math.Ldexp(1, 29-exp)}
	a, b := g.pt(lo), g.pt(hi)
	chains := []mesh.Chain{{
		Points: []mesh.Pt{a, {X: b.X, Y: a.Y}, b, {X: a.X, Y: b.Y}},
		Mask:   sheetEdge,
	}}
	flat := cut.FlatCoords()
	for _, v := range flat {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, errNotFinite
		}
	}
	start := 0
	for _, ends := range cut.Endss() {
		for _, end := range ends {
			ring := chainOf(flat[start:end], g)
			start = end
			if beyond {
				ring = splitAt(ring, a, b)
			}
			if len(ring) > 1 {
				chains = append(chains, mesh.Chain{Points: ring, Mask: cutEdge})
			}
		}
	}
	m, _, err := mesh.Build(chains)
	var c *mesh.CrossingError
	if errors.As(err, &c) {
		p := g.xy(c.C)
		return nil, fmt.Errorf("stencil: edges of the cut areas cross near (%.2f, %.2f)", p.x, p.y)
	}
	if err != nil {
		return nil, fmt.Errorf("stencil: %w", err)
	}
	pl := &plane{Mesh: m, grid: g, at: make([]xy, len(m.V))}
	for i, v := range m.V {
		pl.at[i] = g.xy(v)
	}
	pl.flood()
	pl.divide(10 * hold) // so that what is too narrow to hold is not missed
	pl.refine()
	return pl, nil
}

// spacious is a sheet that leaves paper all round b.
func spacious(b *geom.Bounds) *geom.Bounds {
	if b.IsEmpty() {
		return geom.NewBounds(geom.XY).Set(0, 0, 1, 1)
	}
	pad := 10 + 0.1*math.Max(b.Max(0)-b.Min(0), b.Max(1)-b.Min(1))
	return geom.NewBounds(geom.XY).Set(b.Min(0)-pad, b.Min(1)-pad, b.Max(0)+pad, b.Max(1)+pad)
}

// chainOf is a closed ring on the grid, without the last vertex and repetitions.
func chainOf(flat []float64, g gridding) []mesh.Pt {
	var ring []mesh.Pt
	for i := 0; i+1 < len(flat); i += 2 {
		p := g.pt(xy{flat[i], flat[i+1]})
		if len(ring) == 0 || ring[len(ring)-1] != p {
			ring = append(ring, p)
		}
	}
	for len(ring) > 1 && ring[0] == ring[len(ring)-1] {
		ring = ring[:len(ring)-1]
	}
	return ring
}

// splitAt adds a vertex wherever ring crosses a line through a side of the
// rectangle from a to b.
func splitAt(ring []mesh.Pt, a, b mesh.Pt) []mesh.Pt {
	for _, x := range []int64{a.X, b.X} {
		ring = splitAtX(ring, x, func(p mesh.Pt) mesh.Pt { return p })
	}
	for _, y := range []int64{a.Y, b.Y} {
		ring = splitAtX(ring, y, func(p mesh.Pt) mesh.Pt { return mesh.Pt{X: p.Y, Y: p.X} })
	}
	return ring
}

// splitAtX adds a vertex wherever ring, seen through turn, crosses the line X = x.
func splitAtX(ring []mesh.Pt, x int64, turn func(mesh.Pt) mesh.Pt) []mesh.Pt {
	var out []mesh.Pt
	for i, p := range ring {
		out = append(out, p)
		u, v := turn(p), turn(ring[(i+1)%len(ring)])
		if (u.X < x && v.X > x) || (u.X > x && v.X < x) {
			t := float64(x-u.X) / float64(v.X-u.X)
			out = append(out, turn(mesh.Pt{X: x, Y: u.Y + int64(math.RoundToEven(t*float64(v.Y-u.Y)))}))
		}
	}
	return out
}

// flood finds the state of every triangle from the outside in.
func (p *plane) flood() {
	p.state = make([]uint8, p.Triangles())
	seen := make([]bool, p.Triangles())
	queue := []int32{p.Outermost()}
	seen[queue[0]] = true
	for len(queue) > 0 {
		t := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		for h := 3 * t; h < 3*t+3; h++ {
			g := p.Twin[h]
			if g < 0 || seen[g/3] {
				continue
			}
			seen[g/3] = true
			p.state[g/3] = p.state[t] ^ p.Mask[h]&(cutEdge|sheetEdge)
			queue = append(queue, g/3)
		}
	}
}

// paper reports whether triangle t is paper.
func (p *plane) paper(t int32) bool { return p.state[t] == sheetEdge }

// open reports whether paper goes on across the edge of h, which is on paper.
func (p *plane) open(h int32) bool { return p.Mask[h] == 0 }

// start, end and apex are the corners of the triangle of half-edge h.
func (p *plane) start(h int32) xy { return p.at[p.Start[h]] }
func (p *plane) end(h int32) xy   { return p.at[p.End(h)] }
func (p *plane) apex(h int32) xy  { return p.at[p.Apex(h)] }

// area is that of triangle t in square millimetres.
func (p *plane) area(t int32) float64 {
	h := 3 * t
	return p.end(h).sub(p.start(h)).cross(p.apex(h).sub(p.start(h))) / 2
}

// disc is the diameter of the largest disc in triangle t.
func (p *plane) disc(t int32) float64 {
	a, b, c := p.start(3*t), p.end(3*t), p.apex(3*t)
	return 4 * p.area(t) / (a.distance(b) + b.distance(c) + c.distance(a))
}

// right reports whether q lies on the side of half-edge h away from its triangle.
func (p *plane) right(h int32, q mesh.Pt) bool {
	return mesh.Orient(p.V[p.Start[h]], p.V[p.End(h)], q) < 0
}
