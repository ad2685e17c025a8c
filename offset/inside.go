package offset

import (
	"math"
	"slices"
)

// inside reports whether (x, y), which is not on the boundary, lies in the
// source's area: whether the first edge to the left of it runs down.
func (s *source) inside(x, y float64) bool {
	best, down := math.Inf(-1), s.turned
	s.index.Tree.Left(x, y, func(id int32) float64 {
		b := &s.blocks[id]
		for k := b.first; k < b.end; k++ {
			p, q := &s.edges[k], &s.edges[k+1]
			if (p.y <= y) == (q.y <= y) {
				continue
			}
			at := p.x + (y-p.y)/(q.y-p.y)*(q.x-p.x)
			if at < x && at > best {
				best, down = at, q.y < p.y
			}
		}
		return best
	})
	return down
}

// dropInside removes the runs that lie in the source's area, where a mitre longer
// than the distance may come out on its far side. A run never passes the
// boundary, as both sides of that are covered.
func (l *linker) dropInside() {
	l.runs = slices.DeleteFunc(l.runs, func(r run) bool {
		return l.inside(l.points[r.part][r.points], l.points[r.part][r.points+1])
	})
}
