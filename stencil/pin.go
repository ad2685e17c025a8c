package stencil

import (
	"fmt"
	"math"
	"sort"

	"github.com/twpayne/go-geom"
)

// Pin asks for a bridge along a line, given by two points in mm. It need not start
// and end on paper exactly: the bridge goes on to where the paper begins.
type Pin struct{ From, To geom.Coord }

// pinned finds the gaps along a pin: one for every cut area that it crosses.
func (s *shore) pinned(pin Pin) ([]gap, error) {
	from, to := xy{pin.From[0], pin.From[1]}, xy{pin.To[0], pin.To[1]}
	length := from.distance(to)
	if !(length > 0) || math.IsInf(length, 0) {
		return nil, fmt.Errorf("stencil: pinned bridge from (%.2f, %.2f) to (%.2f, %.2f) has no direction", from.x, from.y, to.x, to.y)
	}
	dir := to.sub(from).times(1 / length)
	all := s.nodes[0].box
	far := all.lo.distance(all.hi) + from.distance(all.lo) + to.distance(all.lo)
	a, b := from.sub(dir.times(far)), to.add(dir.times(far))
	type hit struct {
		d    float64 // along the pin
		edge int32
		into bool // onto paper
	}
	var hits []hit
	s.near(boxOf(a, b), 0, nil, func(i int32, within float64) float64 {
		if e := s.edges[i]; crosses(a, b, e.a, e.b) {
			hits = append(hits, hit{meet(a, b, e.a, e.b).sub(from).dot(dir), i, dir.cross(e.b.sub(e.a)) < 0})
		}
		return within
	})
	sort.Slice(hits, func(i, j int) bool {
		if hits[i].d != hits[j].d {
			return hits[i].d < hits[j].d
		}
		return hits[i].edge < hits[j].edge
	})
	var out []gap
	for i := 0; i+1 < len(hits); i++ {
		u, v := hits[i], hits[i+1]
		if u.into || !v.into || v.d <= 0 || u.d >= length || v.d-u.d <= hold {
			continue
		}
		out = append(out, gap{from.add(dir.times(u.d)), from.add(dir.times(v.d)), u.edge, v.edge, v.d - u.d})
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("stencil: pinned bridge from (%.2f, %.2f) to (%.2f, %.2f) crosses no cut area", from.x, from.y, to.x, to.y)
	}
	return out, nil
}
