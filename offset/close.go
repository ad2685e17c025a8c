package offset

import (
	"math"

	"example.org/kerfleaf/internal/ring"
)

// close returns the rings of linked runs.
func (l *linker) close() [][]float64 {
	var rings [][]float64
	size := 0
	for _, r := range l.runs {
		size += int(r.endPoints-r.points) + 2
	}
	all := make([]float64, 0, size) // of which each ring takes a part
	seen := make([]bool, len(l.runs))
	for i := range l.runs {
		if seen[i] {
			continue
		}
		l.unsure = l.unsure[:0]
		from := len(all)
		for j := int32(i); !seen[j]; j = l.next[j] {
			seen[j] = true
			all = l.appendRun(all, from, j)
		}
		r := l.closeRing(all[from:])
		if len(r) < 8 || math.Abs(ring.Area(r)) < l.tolerance*l.tolerance {
			all = all[:from]
			continue
		}
		all = all[:from+len(r)]
		l.doubt(len(rings), r)
		rings = append(rings, r[:len(r):len(r)])
	}
	return rings
}

// appendRun appends the points of run j to the ring that starts at all[from],
// but for the first, where the run before it ends, and points so near their
// predecessor that they tell of nothing but rounding.
func (l *linker) appendRun(all []float64, from int, j int32) []float64 {
	p := l.pointsOf(j)
	first := len(all)
	for i := 2; i < len(p); i += 2 {
		x, y := p[i], p[i+1]
		if i+2 == len(p) && l.bridged[j] {
			q := l.pointsOf(l.next[j])
			x, y = (x+q[0])/2, (y+q[1])/2
		}
		if n := len(all); n == from || math.Abs(x-all[n-2]) > l.same || math.Abs(y-all[n-1]) > l.same {
			all = append(all, x, y)
		}
	}
	if !l.runs[j].sure {
		// Its edges, with those that lead to it and on from it.
		l.unsure = append(l.unsure, edgeRange{int32(first-from)/2 - 1, int32(len(all)-from) / 2})
	}
	return all
}

// doubt adds the edges of ring k that are not of sure runs to l.doubtful.
func (l *linker) doubt(k int, r []float64) {
	n := int32(len(r)/2 - 1)
	if len(l.unsure) > 0 && l.unsure[0].from < 0 { // the ring's last edge leads to its first
		l.unsure[0].from = 0
		l.unsure = append(l.unsure, edgeRange{n - 1, n})
	}
	done := int32(0)
	for _, u := range l.unsure {
		u.end = min(u.end, n)
		for from := max(u.from, done); from < u.end; from = done {
			done = min(from+ring.BlockEdges, u.end)
			box := ring.EmptyBox()
			for i := 2 * from; i <= 2*done; i += 2 {
				box = box.Add(r[i], r[i+1])
			}
			l.doubtful = append(l.doubtful, ring.Block{Ring: int32(k), First: from, End: done, Box: box})
		}
	}
}

// closeRing closes a ring.
func (l *linker) closeRing(r []float64) []float64 {
	n := len(r)
	for n > 2 && math.Abs(r[0]-r[n-2]) <= l.same && math.Abs(r[1]-r[n-1]) <= l.same {
		n -= 2
	}
	return append(r[:n], r[0], r[1])
}
