package export

import (
	"math"
	"slices"

	"github.com/twpayne/go-geom"
)

// shape writes the track as it is worked from the given door.
func (t *track) shape(door int32, overcut float64, d *Drawing) geom.T {
	if !t.closed {
		return geom.NewLineStringFlat(geom.XY, t.line(door, overcut, d))
	}
	s := t.starts[door]
	n := len(t.xy)/2 - 1
	out := make([]float64, 0, len(t.xy)+2)
	add := func(p place) {
		if k := len(out); k < 2 || out[k-2] != p.x || out[k-1] != p.y {
			out = append(out, p.x, p.y)
		}
	}
	add(s.at)
	for i := range n {
		j := (s.edge + 1 + i) % n
		add(place{t.xy[2*j], t.xy[2*j+1]})
	}
	add(s.at)
	if len(out) < 8 { // a ring of no size
		return geom.NewLinearRingFlat(geom.XY, slices.Clone(t.xy))
	}
	if overcut > 0 {
		return geom.NewLineStringFlat(geom.XY, runOn(out, overcut))
	}
	return geom.NewLinearRingFlat(geom.XY, out)
}

// runOn lets a closed line go on past its start, along itself, once round at most.
func runOn(ring []float64, by float64) []float64 {
	out := ring
	for i := 2; i < len(ring) && by > 0; i += 2 {
		a, b := place{ring[i-2], ring[i-1]}, place{ring[i], ring[i+1]}
		l := a.to(b)
		if l > by {
			b = place{a.x + (b.x-a.x)*by/l, a.y + (b.y-a.y)*by/l}
		}
		out = append(out, b.x, b.y)
		by -= l
	}
	return out
}

// line turns an open line round if it is entered at its end, and lets it run out
// beyond the edge of a part.
func (t *track) line(door int32, overcut float64, d *Drawing) []float64 {
	out := make([]float64, 0, len(t.xy))
	loose := t.loose
	if door == 0 {
		out = append(out, t.xy...)
	} else {
		loose[0], loose[1] = loose[1], loose[0]
		for i := len(t.xy) - 2; i >= 0; i -= 2 {
			out = append(out, t.xy[i], t.xy[i+1])
		}
	}
	if overcut > 0 && loose[0] {
		lengthen(out, 0, 2, overcut, d)
	}
	if n := len(out); overcut > 0 && loose[1] {
		lengthen(out, n-2, n-4, overcut, d)
	}
	return out
}

// lengthen moves the end at index i away from its neighbour at index j, as far as
// the sheet goes.
func lengthen(xy []float64, i, j int, by float64, d *Drawing) {
	a, b := place{xy[j], xy[j+1]}, place{xy[i], xy[i+1]}
	l := a.to(b)
	if l == 0 {
		return
	}
	dx, dy := (b.x-a.x)/l, (b.y-a.y)/l
	by = min(by, room(b.x, dx, d.Width), room(b.y, dy, d.Height))
	xy[i], xy[i+1] = b.x+dx*by, b.y+dy*by
}

// room is how far one can go from v at speed d before leaving 0 to size.
func room(v, d, size float64) float64 {
	switch {
	case d > 0:
		return max(0, (size-v)/d)
	case d < 0:
		return max(0, -v/d)
	default:
		return math.Inf(1)
	}
}
