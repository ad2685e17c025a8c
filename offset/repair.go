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
	var keep, loops [][]float64
	for k, s := range r.rings {
		if _, found := slices.BinarySearch(bad, k); all || found || r.resolved[k] {
			loops = append(loops, s)
		} else {
			keep = append(keep, s)
		}
	}
	ix := ring.NewIndex(keep)
	var near []int32
	around := func(x, y float64) int {
		w := 0
		near = ix.Tree.Search(ring.Box{MinX: math.Inf(-1), MinY: y, MaxX: x, MaxY: y}, near[:0])
		for _, id := range near {
			b := &ix.Blocks[id]
			s := keep[b.Ring]
			for i := 2 * b.First; i < 2*b.End; i += 2 {
				w += passes(s[i], s[i+1], s[i+2], s[i+3], x, y)
			}
		}
		return w
	}
	made, ok := resolve(loops, around)
	if !ok {
		return ErrUnresolved
	}
	r.rings = append(keep, made...)
	r.resolved = make([]bool, len(r.rings))
	for k := len(keep); k < len(r.rings); k++ {
		r.resolved[k] = true
	}
	r.dropSmall()
	return nil
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
