package offset

import (
	"sort"

	"example.org/kerfleaf/internal/ring"
)

// walkFree is walk where free edges are known.
func (w *walker) walkFree(b *block) {
	first, end := w.before[b.ring], w.before[b.ring+1]-1
	p := w.prev(b.first, first, end)
	for k := b.first; k < b.end; p, k = k, k+1 {
		if w.marks[k] == free {
			w.emitFree(k, p, first, end)
			continue
		}
		w.pieces = w.pieces[:0]
		w.addPieces(p, k, first, end)
		box := w.reachOf(k, first, end)
		w.stretches = w.grid.near(&box, w.stretches[:0])
		for _, t := range w.stretches {
			w.crossed = w.crossed || w.crossesAny(k, t)
		}
		for i := range w.pieces {
			q := &w.pieces[i]
			w.spans = append(w.spans[:0], span{q.lo, q.hi, q.before, q.after})
			for _, t := range w.stretches {
				if w.coverByEdges(q, t.first, t.last+1); len(w.spans) == 0 {
					break
				}
			}
			w.emitSpans(q)
		}
	}
	w.endBlock(b)
}

// crossesAny reports whether edge k crosses or overlaps an edge of a stretch.
func (w *walker) crossesAny(k int32, t stretch) bool {
	e, f := &w.edges[k], &w.edges[k+1]
	box := ring.Box{MinX: min(e.x, f.x), MinY: min(e.y, f.y), MaxX: max(e.x, f.x), MaxY: max(e.y, f.y)}
	for j := t.first; j <= t.last; j++ {
		if j == k || !w.meets(j, &box) {
			continue
		}
		r, i := w.placeOf(k)
		o, n := w.placeOf(j)
		if kind := w.index.Pair(r, i, o, n); kind != 0 && kind != ring.Touch {
			return true
		}
	}
	return false
}

// placeOf returns the ring of the index that holds edge k and its number there.
func (s *source) placeOf(k int32) (ring, edge int) {
	ring = sort.Search(len(s.before)-1, func(i int) bool { return s.before[i+1] > k })
	if s.turned {
		return ring, int(s.before[ring+1] - 2 - k)
	}
	return ring, int(k - s.before[ring])
}
