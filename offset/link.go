package offset

import (
	"cmp"
	"slices"
	"sort"

	"example.org/kerfleaf/internal/ring"
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

	same     float64      // up to where points tell of nothing but rounding
	unsure   []edgeRange  // of the ring at work: edges of runs that are not sure
	doubtful []ring.Block // such edges of all rings
}

// edgeRange is a range of edges of a ring.
type edgeRange struct{ from, end int32 }

// link returns the rings that the runs form.
func (l *linker) link() [][]float64 {
	l.same = max(1e-9*l.d, l.tolerance/1e4)
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
	return l.close()
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
