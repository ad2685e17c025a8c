package proof

import (
	"fmt"
	"slices"

	"example.org/kerfleaf/internal/ring"
	"github.com/twpayne/go-geom"
)

// crossings claims that no two closed cuts cross, and reports whether they do.
func (r *run) crossings() bool {
	rings := points(r.closed)
	// Where all lines are closed cuts, the index has them.
	if !slices.EqualFunc(rings, r.index.Rings, func(a, b []float64) bool { return len(a) == len(b) && &a[0] == &b[0] }) {
		r.index = ring.NewIndex(rings)
	}
	ix := r.index
	var faults []Claim
	ix.Meetings(0, len(ix.Blocks), func(m ring.Meeting) bool {
		if m.Kind == ring.Touch && m.RingA != m.RingB {
			return true // has no width; the paper tells
		}
		p := geom.Coord{rings[m.RingA][2*m.EdgeA], rings[m.RingA][2*m.EdgeA+1]}
		what := "two closed cuts cross near %s"
		if m.RingA == m.RingB {
			what = "a closed cut meets itself near %s"
		}
		faults = append(faults, Claim{Text: fmt.Sprintf(what, spot(p)), At: p})
		return len(faults) < 1000
	})
	for _, t := range r.closed {
		if ring.Area(t.pts) == 0 {
			p := geom.Coord{t.pts[0], t.pts[1]}
			faults = append(faults, Claim{Text: fmt.Sprintf("the closed cut at %s encloses nothing", spot(p)), At: p})
		}
	}
	r.claims(faults, "no closed cuts cross")
	return len(faults) > 0
}

// nest finds out what the closed cuts enclose, and how they are to be read.
func (r *run) nest() {
	r.nested = r.index.Nest(nil)
	if r.opts.Reading != Either {
		return
	}
	r.opts.Reading = Openings
	if r.nested.NumPolygons() == 0 {
		return
	}
	in := newInside(r.nested)
	for _, t := range append(append([]track{}, r.open...), r.scores...) {
		x, y := (t.pts[0]+t.pts[2])/2, (t.pts[1]+t.pts[3])/2
		if _, ok := in.polygon(x, y); ok {
			r.opts.Reading = Outlines
			return
		}
	}
	// Is one of them around all others?
	all := r.nested.Bounds()
	first := r.nested.Polygon(0)
	outer := 0
	for i := range r.nested.NumPolygons() {
		p := r.nested.Polygon(i)
		if b := p.Bounds(); b.Min(0) == all.Min(0) && b.Min(1) == all.Min(1) && b.Max(0) == all.Max(0) && b.Max(1) == all.Max(1) {
			first = p
			outer++
		}
	}
	if outer == 1 && (first.NumLinearRings() > 1) {
		r.opts.Reading = Outlines
	}
}

// inside finds the polygon that a point lies in.
type inside struct {
	mp    *geom.MultiPolygon
	ix    *ring.Index
	owner []int // of each ring
}

func newInside(mp *geom.MultiPolygon) *inside {
	in := &inside{mp: mp, ix: ring.NewIndex(ring.Rings(mp))}
	for i := range mp.NumPolygons() {
		for range mp.Polygon(i).NumLinearRings() {
			in.owner = append(in.owner, i)
		}
	}
	return in
}

// polygon is the number of the polygon that (x, y) lies in. To its left is then an edge of the same polygon, which has the point's
// side for its inside.
func (in *inside) polygon(x, y float64) (int, bool) {
	h, ok := in.ix.Left(x, y, -1)
	if !ok {
		return 0, false
	}
	if h.Unsure {
		for i := range in.mp.NumPolygons() {
			if contains(in.mp.Polygon(i), x, y) {
				return i, true
			}
		}
		return 0, false
	}
	return in.owner[h.Ring], h.Down
}

func contains(p *geom.Polygon, x, y float64) bool {
	for i := range p.NumLinearRings() {
		at := ring.Locate(p.LinearRing(i).FlatCoords(), x, y)
		if (at == ring.Inside) != (i == 0) || at == ring.Boundary {
			return false
		}
	}
	return true
}

// inOrder claims that no part is freed before all its lines are done.
func (r *run) inOrder() {
	if r.opts.Reading != Outlines {
		return
	}
	starts := map[[2]float64]int{} // the order of the ring that starts there
	for _, t := range r.closed {
		starts[[2]float64{t.pts[0], t.pts[1]}] = t.order
	}
	var faults []Claim
	for i := range r.nested.NumPolygons() {
		outer := r.nested.Polygon(i).LinearRing(0)
		flat := outer.FlatCoords()
		b := outer.Bounds()
		freed := starts[[2]float64{flat[0], flat[1]}]
		for _, t := range r.tracks {
			x, y := (t.pts[0]+t.pts[2])/2, (t.pts[1]+t.pts[3])/2
			if t.order <= freed || x <= b.Min(0) || x >= b.Max(0) || y <= b.Min(1) || y >= b.Max(1) || ring.Locate(flat, x, y) != ring.Inside {
				continue
			}
			p := geom.Coord{x, y}
			faults = append(faults, Claim{Text: fmt.Sprintf("the part around %s is cut free before the line there is done, and may move", spot(p)), Caution: true, At: p})
			break
		}
	}
	r.claims(faults, "no part is cut free before all its lines are done")
}
