package stencil

import (
	"math"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/stencil/internal/mesh"
)

// overlap is how far, in mm, a strap reaches into the paper beyond where its full
// width has met it.
const overlap = 0.05

// strap lays a strip of paper along a gap and on into the paper at both ends until
// it has met it with its full width.
func (s *shore) strap(g gap, o BridgeOptions) Strap {
	from, to := g.from, g.to
	if g.length < 2*hold {
		from, to = s.through(g, o.Width/2)
	}
	length := from.distance(to)
	dir := to.sub(from).times(1 / length)
	half, flare := o.Width/2, 0.0
	if o.Flare {
		flare = math.Min(half, length/3)
	}
	start, end := -s.depth(from, to, o.Width), length+s.depth(to, from, o.Width)
	profile := []xy{{start, half}, {end, half}} // along the strap and to its left
	if flare > hold {
		const steps = 8
		profile = []xy{{start, half + flare}}
		for i := range steps + 1 {
			sin, cos := math.Sincos(math.Pi / 2 * float64(i) / steps)
			profile = append(profile, xy{flare * (1 - cos), half + flare*(1-sin)})
		}
		for i := len(profile) - 1; i > 0; i-- {
			profile = append(profile, xy{length - profile[i].x, profile[i].y})
		}
		profile = append(profile, xy{end, half + flare})
	}
	var ring []xy
	for _, q := range profile {
		ring = append(ring, from.add(dir.times(q.x)).add(dir.left().times(q.y)))
	}
	for i := len(profile) - 1; i >= 0; i-- {
		ring = append(ring, from.add(dir.times(profile[i].x)).sub(dir.left().times(profile[i].y)))
	}
	return Strap{From: from.coord(), To: to.coord(), Width: o.Width, Shape: polygon(ring)}
}

// polygon is the one with the given outer ring, wound the positive way.
func polygon(ring []xy) *geom.Polygon {
	var twice float64
	for i, p := range ring {
		twice += p.cross(ring[(i+1)%len(ring)])
	}
	flat := make([]float64, 0, 2*len(ring)+2)
	for i := range ring {
		p := ring[i]
		if twice < 0 {
			p = ring[len(ring)-1-i]
		}
		flat = append(flat, p.x, p.y)
	}
	flat = append(flat, flat[0], flat[1])
	return geom.NewPolygonFlat(geom.XY, flat, []int{len(flat)})
}

// depth is how far beyond its end a strap along the axis from other to end must
// reach into the paper there, so that its whole width lies on it; but not so far
// that it comes out on the far side, unless the paper is next to nothing.
func (t *tree) depth(end, other xy, width float64) float64 {
	const rays = 9
	dir := end.sub(other)
	length := dir.norm()
	dir = dir.times(1 / length)
	side := dir.left().times(width / 2)
	limit := width // what lies deeper is beside the paper that the strap ends on
	enter, leave, centre := 0.0, math.Inf(1), math.Inf(1)
	base := middle(end, other)
	for i := range rays {
		off := side.times(float64(2*i)/(rays-1) - 1)
		in, out := t.ray(base.add(off), dir, length/2+limit)
		in, out = in-length/2, out-length/2
		if i == rays/2 {
			centre = out
		}
		if in < limit {
			enter = math.Max(enter, in)
			leave = math.Min(leave, out)
		}
	}
	if enter+2*overlap > leave && centre > 2*overlap {
		return math.Min(enter+overlap, centre/2)
	}
	return enter + overlap
}

// ray goes from a into direction dir for the length far, and returns at which
// distance it first gets onto paper, 0 if it starts there, and where it then leaves
// it again. Either is infinite if that does not happen.
func (t *tree) ray(a, dir xy, far float64) (in, out float64) {
	b := a.add(dir.times(far))
	in, out = math.Inf(1), math.Inf(1)
	t.near(boxOf(a, b), 0, nil, func(i int32, within float64) float64 {
		e := t.edges[i]
		if !crosses(a, b, e.a, e.b) {
			return within
		}
		d := meet(a, b, e.a, e.b).sub(a).dot(dir)
		if dir.cross(e.b.sub(e.a)) < 0 { // paper on the edge's left lies ahead
			in = math.Min(in, d)
		} else {
			out = math.Min(out, d)
		}
		return within
	})
	if out < in {
		return 0, out
	}
	out = math.Inf(1)
	t.near(boxOf(a, b), 0, nil, func(i int32, within float64) float64 {
		e := t.edges[i]
		if crosses(a, b, e.a, e.b) && dir.cross(e.b.sub(e.a)) > 0 {
			if d := meet(a, b, e.a, e.b).sub(a).dot(dir); d > in {
				out = math.Min(out, d)
			}
		}
		return within
	})
	return in, out
}

// through finds the ends of a strap where two pieces of paper all but touch: in
// the middle of what each has of a circle around the place.
func (s *shore) through(g gap, radius float64) (from, to xy) {
	const steps = 64
	centre := middle(g.from, g.to)
	from, to = g.from, g.to
	one, two := s.edges[g.fromEdge].piece, s.edges[g.edge].piece
	var on [steps]int32
	for i := range on {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / steps)
		on[i] = -1
		if h := s.find(centre.add(xy{cos, sin}.times(radius)), s.edges[g.edge].half); s.paper(h / 3) {
			on[i] = s.of[h/3]
		}
	}
	arc := func(piece int32, fallback xy) xy {
		best, at := 0, -1
		for i := range on {
			n := 0
			for n < steps && on[(i+n)%steps] == piece {
				n++
			}
			if n > best {
				best, at = n, i
			}
		}
		if at < 0 {
			return fallback
		}
		sin, cos := math.Sincos(2 * math.Pi * (float64(at) + float64(best-1)/2) / steps)
		return centre.add(xy{cos, sin}.times(radius))
	}
	from, to = arc(one, from), arc(two, to)
	if from.distance(to) < radius/4 {
		side := s.edges[g.edge].b.sub(s.edges[g.edge].a)
		side = side.times(radius / side.norm())
		return centre.sub(side), centre.add(side)
	}
	return from, to
}

// find walks from half-edge h to a half-edge of the triangle that holds a. The
// sides are tried in an order that changes, so that the walk cannot circle for ever
// (Devillers, Pion & Teillaud 2002).
func (p *plane) find(a xy, h int32) int32 {
	const last = mesh.Limit - 1
	q := p.grid.pt(a)
	q = mesh.Pt{X: max(-last, min(last, q.X)), Y: max(-last, min(last, q.Y))}
	turn := uint32(1)
walk:
	for {
		turn = turn*1664525 + 1013904223
		t := h / 3
		for k := range int32(3) {
			e := 3*t + (k+int32(turn>>16)%3)%3
			if p.right(e, q) && p.Twin[e] >= 0 {
				h = p.Twin[e]
				continue walk
			}
		}
		return h
	}
}
