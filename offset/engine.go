package offset

import (
	"math"
	"sync/atomic"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/ring"
)

// polygons grows mp by distance, or shrinks it: it moves all edges, keeps what
// nothing else covers of them, links that to rings and checks those.
func polygons(mp *geom.MultiPolygon, distance float64, s settings) (*geom.MultiPolygon, error) {
	rings, err := read(mp)
	if err != nil {
		return nil, err
	}
	if distance >= -nearest && distance <= nearest {
		return repair(rings, 0)
	}
	var out moved
	uncrossed := false
	fewest := math.MaxInt
	for i := 0; i < len(nudges) && fewest > 0; i++ {
		m := move(newSource(rings, distance*(1+nudges[i]), s))
		if m.crossed {
			// Start again with rings that do not cross.
			if uncrossed {
				return nil, ErrUnresolved
			}
			uncrossed = true
			if rings, err = uncross(rings); err != nil {
				return nil, err
			}
			i--
		} else if m.loose < fewest {
			out, fewest = m, m.loose
		}
	}
	valid := fewest == 0 && apart(out.rings, out.doubtful)
	if distance < 0 {
		for _, r := range out.rings {
			reverse(r)
		}
	}
	if valid {
		var misplaced []int
		if mp := ring.NewRayIndex(out.rings).Nest(&misplaced); len(misplaced) == 0 {
			return mp, nil
		}
	}
	return repair(out.rings, s.tolerance*s.tolerance)
}

// apart reports whether no edges of doubtful blocks meet.
func apart(rings [][]float64, doubtful []ring.Block) bool {
	ix := &ring.Index{Rings: rings, Blocks: doubtful}
	boxes := make([]ring.Box, len(doubtful))
	for i := range doubtful {
		boxes[i] = doubtful[i].Box
	}
	ix.Tree = ring.NewTree(boxes)
	var found atomic.Bool
	ring.Parts(len(doubtful), partBlocks, func(_, from, to int) {
		ix.Meetings(from, to, func(ring.Meeting) bool {
			found.Store(true)
			return false
		})
	})
	return !found.Load()
}

// nudges are relative changes of the distance to try in turn. Where four moved
// edges or circles meet in one point, as on art that keeps to a grid, rounding
// may make two pieces disagree on which of them ends where; at another
// distance they do not meet in one point.
var nudges = [...]float64{0, 1.3e-9, -2.7e-9}

// moved is what move returns.
type moved struct {
	rings    [][]float64
	doubtful []ring.Block // their edges that may meet others, for all that is known
	crossed  bool         // rings of the source cross: rings is not set
	loose    int          // ends that were joined to the nearest, however far
}

// partBlocks is how many blocks one goroutine takes at a time.
const partBlocks = 256

// move returns the rings around what the source covers once it has grown.
func move(src *source) moved {
	n := len(src.blocks)
	walkers := make([]*walker, (n+partBlocks-1)/partBlocks)
	ring.Parts(n, partBlocks, func(part, from, to int) {
		w := newWalker(src)
		n := src.blocks[to-1].end - src.blocks[from].first
		w.points, w.runs = make([]float64, 0, 4*n), make([]run, 0, n/4)
		for i := from; i < to; i++ {
			w.walk(i)
		}
		w.pieces, w.near, w.stretches, w.spans = nil, nil, nil, nil
		walkers[part] = w
	})
	l := &linker{source: src, points: make([][]float64, len(walkers))}
	size := 0
	for _, w := range walkers {
		if w.crossed {
			return moved{crossed: true}
		}
		size += len(w.runs)
	}
	l.runs = make([]run, 0, size)
	for part, w := range walkers {
		l.points[part] = w.points
		for _, r := range w.runs {
			r.part = int32(part)
			l.runs = append(l.runs, r)
		}
	}
	if src.join == Miter {
		l.dropInside()
	}
	rings := l.link()
	return moved{rings: rings, doubtful: l.doubtful, loose: l.loose}
}

func reverse(r []float64) {
	for i, j := 0, len(r)-2; i < j; i, j = i+2, j-2 {
		r[i], r[i+1], r[j], r[j+1] = r[j], r[j+1], r[i], r[i+1]
	}
}
