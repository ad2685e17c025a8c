package offset

import (
	"errors"
	"math"
	"slices"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/ring"
)

// ErrUnresolved says that rings which cross in too many places too close
// together could not be made valid.
var ErrUnresolved = errors.New("offset: rings cross too closely to be resolved")

// repairer makes rings valid that are so but for rounding, or not at all: rings
// that cross or overlap are replaced by rings around where all wind around more
// than zero times. Others stay as they are, bit by bit.
type repairer struct {
	rings    [][]float64
	resolved []bool // per ring: made by resolve
	smallest float64
}

// repair returns rings as valid polygons, without those of an area below
// smallest. Rings that touch are parted where they must be.
func repair(rings [][]float64, smallest float64) (*geom.MultiPolygon, error) {
	r := &repairer{rings, make([]bool, len(rings)), smallest}
	r.dropSmall()
	for round := 0; ; round++ {
		ix := ring.NewIndex(r.rings)
		bad := r.meeting(ix)
		if len(bad) == 0 {
			var misplaced []int
			mp := ix.Nest(&misplaced)
			if len(misplaced) == 0 {
				return mp, nil
			}
			bad = misplaced
		}
		if round == 16 {
			return nil, ErrUnresolved
		}
		if err := r.replace(bad, round > 4); err != nil {
			return nil, err
		}
	}
}

// meeting returns the rings that cross, overlap or touch; those that resolve
// made may touch each other at points.
func (r *repairer) meeting(ix *ring.Index) []int {
	found := make([][]int, (len(ix.Blocks)+partBlocks-1)/partBlocks)
	ring.Parts(len(ix.Blocks), partBlocks, func(part, from, to int) {
		ix.Meetings(from, to, func(m ring.Meeting) bool {
			if m.Kind != ring.Touch || m.RingA == m.RingB || !r.resolved[m.RingA] || !r.resolved[m.RingB] {
				found[part] = append(found[part], m.RingA, m.RingB)
			}
			return true
		})
	})
	bad := slices.Concat(found...)
	slices.Sort(bad)
	return slices.Compact(bad)
}

// replace resolves the rings of bad together with all that were resolved before,
// or all rings.
func (r *repairer) replace(bad []int, all bool) error {
	for {
		var keep, loops [][]float64
		var kept []int
		for k, s := range r.rings {
			if _, found := slices.BinarySearch(bad, k); all || found || r.resolved[k] {
				loops = append(loops, s)
			} else {
				keep, kept = append(keep, s), append(kept, k)
			}
		}
		a := &arounder{ix: ring.NewIndex(keep), slack: 4 * newLattice(loops).unit}
		made, ok := resolve(loops, a.around)
		if !ok {
			return ErrUnresolved
		}
		if len(a.close) > 0 {
			// Which side these rings pass on hangs on rounding: take them in.
			for _, k := range a.close {
				bad = append(bad, kept[k])
			}
			slices.Sort(bad)
			bad = slices.Compact(bad)
			continue
		}
		r.rings = append(keep, made...)
		r.resolved = make([]bool, len(r.rings))
		for k := len(keep); k < len(r.rings); k++ {
			r.resolved[k] = true
		}
		r.dropSmall()
		return nil
	}
}

// arounder says how often rings wind around a point.
type arounder struct {
	ix    *ring.Index
	near  []int32
	slack float64
	close []int32 // rings that pass within slack of a point asked for
}

func (a *arounder) around(x, y float64) int {
	w := 0
	a.near = a.ix.Tree.Search(ring.Box{MinX: math.Inf(-1), MinY: y - a.slack, MaxX: x + a.slack, MaxY: y + a.slack}, a.near[:0])
	for _, id := range a.near {
		b := &a.ix.Blocks[id]
		s := a.ix.Rings[b.Ring]
		for i := 2 * b.First; i < 2*b.End; i += 2 {
			w += passes(s[i], s[i+1], s[i+2], s[i+3], x, y)
			if distanceToEdge(s[i:i+4], x, y) <= a.slack {
				a.close = append(a.close, b.Ring)
			}
		}
	}
	return w
}

func distanceToEdge(e []float64, x, y float64) float64 {
	dx, dy := e[2]-e[0], e[3]-e[1]
	t := ((x-e[0])*dx + (y-e[1])*dy) / (dx*dx + dy*dy)
	t = min(max(t, 0), 1)
	return math.Hypot(e[0]+t*dx-x, e[1]+t*dy-y)
}

func (r *repairer) dropSmall() {
	n := 0
	for k, s := range r.rings {
		if math.Abs(ring.Area(s)) >= r.smallest && len(s) >= 8 {
			r.rings[n], r.resolved[n] = s, r.resolved[k]
			n++
		}
	}
	r.rings, r.resolved = r.rings[:n], r.resolved[:n]
}
