package offset

import (
	"cmp"
	"math"
	"slices"
	"sort"
)

// linker joins runs, in the order of their first pieces, to closed rings.
type linker struct {
	*source
	runs    []run
	points  [][]float64 // per walker
	next    []int32     // the run that follows each
	bridged []bool      // per run: the next starts a little off, and they meet half way
	from    []int32     // the first run that starts at or after the pieces of 16 edges
	loose   int         // ends that no run starts near
}

// link returns the rings that the runs form.
func (l *linker) link() [][]float64 {
	l.next = make([]int32, len(l.runs))
	l.bridged = make([]bool, len(l.runs))
	l.from = make([]int32, len(l.edges)/16+2)
	at := 0
	for i, r := range l.runs {
		for ; at <= int(r.first)/32; at++ {
			l.from[at] = int32(i)
		}
	}
	for ; at < len(l.from); at++ {
		l.from[at] = int32(len(l.runs))
	}
	taken := make([]bool, len(l.runs))
	var ends []int32
	for i := range l.runs {
		n := l.successor(&l.runs[i])
		if n >= 0 && taken[n] {
			n = -1
		}
		l.next[i] = n
		if n >= 0 {
			taken[n] = true
		} else {
			ends = append(ends, int32(i))
		}
	}
	if len(ends) > 0 {
		var starts []int32
		for i, t := range taken {
			if !t {
				starts = append(starts, int32(i))
			}
		}
		l.bridge(ends, starts)
	}
	var rings [][]float64
	size := 0
	for _, r := range l.runs {
		size += int(r.endPoints-r.points) + 2
	}
	all := make([]float64, 0, size) // of which each ring takes a part
	seen := make([]bool, len(l.runs))
	for i := range l.runs {
		n := 0
		for j := int32(i); !seen[j]; j = l.next[j] {
			seen[j] = true
			n += len(l.pointsOf(j)) - 2
		}
		if n < 6 {
			continue
		}
		r := all[len(all) : len(all) : len(all)+n+2]
		all = all[:len(all)+n+2]
		for j := int32(i); ; {
			// A run starts where the one before it ends.
			r = append(r, l.pointsOf(j)[2:]...)
			k := j
			if j = l.next[j]; l.bridged[k] {
				n, p := len(r), l.pointsOf(j)
				r[n-2], r[n-1] = (r[n-2]+p[0])/2, (r[n-1]+p[1])/2
			}
			if j == int32(i) {
				break
			}
		}
		if r = l.tidy(r); len(r) >= 8 {
			rings = append(rings, r)
		}
	}
	return rings
}

func (l *linker) pointsOf(i int32) []float64 {
	r := &l.runs[i]
	return l.points[r.part][r.points:r.endPoints]
}

// ringOf returns the first edge of the ring that holds edge k, and the copy of
// it that ends the ring.
func (s *source) ringOf(k int32) (first, end int32) {
	i := sort.Search(len(s.before)-1, func(i int) bool { return s.before[i+1] > k })
	return s.before[i], s.before[i+1] - 1
}

// successor returns the run that starts where r ends, or -1.
func (l *linker) successor(r *run) int32 {
	want, by := r.lastBy, r.last
	switch {
	case r.lastBy == loose:
		return -1
	case r.lastBy == follows:
		k := r.last / 2
		by = follows
		if want = movedBy(k); r.last%2 == 1 {
			first, end := l.ringOf(k)
			if k++; k == end {
				k = first
			}
			want = joinAt(k)
		}
	case l.edges[want/2].length == 0:
		first, _ := l.ringOf(want / 2)
		want = joinAt(first)
	}
	i := int(l.from[want/32])
	for i < len(l.runs) && l.runs[i].first < want {
		i++
	}
	for ; i < len(l.runs) && l.runs[i].first == want; i++ {
		f := l.runs[i].firstBy
		if f >= 0 && l.edges[f/2].length == 0 {
			first, _ := l.ringOf(f / 2)
			f = joinAt(first)
		}
		if f == by {
			return int32(i)
		}
	}
	if by == follows && want%2 == 0 && i < len(l.runs) && l.runs[i].first == want+1 && l.runs[i].firstBy == follows {
		return int32(i) // no join at that corner
	}
	return -1
}

// bridge joins ends of runs to the nearest starts, the closest pairs first. This
// is where three pieces meet in a point within rounding, so that the two that
// bound the result do not name each other.
func (l *linker) bridge(ends, starts []int32) {
	type pair struct {
		dist2      float64
		end, start int32
	}
	at := func(i int32) (x, y float64) { return l.pointsOf(i)[0], l.pointsOf(i)[1] }
	slices.SortFunc(starts, func(a, b int32) int {
		xa, ya := at(a)
		xb, yb := at(b)
		return cmp.Or(cmp.Compare(xa, xb), cmp.Compare(ya, yb), cmp.Compare(a, b))
	})
	free := make(map[int32]bool, len(ends))
	for _, e := range ends {
		free[e] = true
	}
	used := make(map[int32]bool, len(ends))
	// Nearly all are found where they are wanted, the rest within what makes
	// no difference; widen until all are.
	slack := min(l.tolerance/10, l.d/100)
	for reach := slack * 1e-6; len(free) > 0; reach *= 100 {
		var pairs []pair
		for _, e := range ends {
			if !free[e] {
				continue
			}
			p := l.pointsOf(e)
			x, y := p[len(p)-2], p[len(p)-1]
			i := sort.Search(len(starts), func(i int) bool { sx, _ := at(starts[i]); return sx >= x-reach })
			for ; i < len(starts); i++ {
				sx, sy := at(starts[i])
				if sx > x+reach {
					break
				}
				if d := (sx-x)*(sx-x) + (sy-y)*(sy-y); !used[starts[i]] && d <= reach*reach {
					pairs = append(pairs, pair{d, e, starts[i]})
				}
			}
		}
		slices.SortFunc(pairs, func(a, b pair) int {
			return cmp.Or(cmp.Compare(a.dist2, b.dist2), cmp.Compare(a.end, b.end), cmp.Compare(a.start, b.start))
		})
		for _, p := range pairs {
			if free[p.end] && !used[p.start] {
				delete(free, p.end)
				used[p.start] = true
				l.next[p.end] = p.start
				l.bridged[p.end] = p.dist2 <= slack*slack
			}
		}
		if reach <= slack*1.01 {
			l.loose = len(free)
		}
	}
}

// tidy closes a ring and drops points so near their predecessor that they tell
// of nothing but rounding.
func (l *linker) tidy(r []float64) []float64 {
	eps := max(1e-9*l.d, l.tolerance/1e4)
	out := r[:2]
	for i := 2; i < len(r); i += 2 {
		if n := len(out); math.Abs(r[i]-out[n-2]) > eps || math.Abs(r[i+1]-out[n-1]) > eps {
			out = append(out, r[i], r[i+1])
		}
	}
	for n := len(out); n > 2 && math.Abs(out[0]-out[n-2]) <= eps && math.Abs(out[1]-out[n-1]) <= eps; n = len(out) {
		out = out[:n-2]
	}
	return append(out, out[0], out[1])
}

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
