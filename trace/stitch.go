package trace

import (
	"cmp"
	"slices"
)

// loop is a closed outline, the last vertex joined to the first. It begins at
// its leftmost vertex of those in its uppermost row of cells.
type loop struct {
	xy     []float64
	x, y   int32 // cell of the first vertex
	left   int   // the ring to the left of it, -1 for none
	parent int   // the ring round it, -1 for none: a hole's shell, a shell's hole
	hole   bool
}

// stitch joins the runs of neighbouring bands and returns all rings, in the
// order of their first vertices, nested.
func stitch(pieces []piece, unit float64) []loop {
	total, first := 0, make([]int, len(pieces)+1)
	for i := range pieces {
		first[i] = total
		total += len(pieces[i].arcs)
	}
	ringOf := make([]int32, total) // of each arc, counted through all pieces
	joined := joinRuns(pieces, unit, first, ringOf)
	slices.SortFunc(joined, func(a, b loop) int {
		return cmp.Or(cmp.Compare(a.y, b.y), cmp.Compare(a.x, b.x))
	})

	rings := make([]loop, 0, total)
	renumber := make([]int32, len(joined))
	k := 0
	for i := range pieces {
		p := &pieces[i]
		for j, a := range p.arcs {
			if j < p.runs {
				continue
			}
			for ; k < len(joined) && (joined[k].y < a.y || joined[k].y == a.y && joined[k].x < a.x); k++ {
				renumber[joined[k].parent] = int32(len(rings))
				rings = append(rings, joined[k])
			}
			ringOf[first[i]+j] = int32(len(rings))
			left := -1
			if a.left >= 0 {
				left = first[i] + int(a.left)
			}
			rings = append(rings, loop{xy: p.xy[a.from:a.to:a.to], x: a.x, y: a.y, left: left, hole: a.hole})
		}
	}
	for ; k < len(joined); k++ {
		renumber[joined[k].parent] = int32(len(rings))
		rings = append(rings, joined[k])
	}
	for i := range pieces {
		for j := range pieces[i].arcs[:pieces[i].runs] {
			ringOf[first[i]+j] = renumber[ringOf[first[i]+j]]
		}
	}
	nest(rings, ringOf)
	return rings
}

// nest finds the ring round each. The outline to the left of a ring's first
// vertex, along a row of pixels that are all cut or all paper, is the ring
// round it or a neighbour in that one, and it began before.
func nest(rings []loop, ringOf []int32) {
	for i := range rings {
		r := &rings[i]
		r.parent = -1
		if r.left < 0 {
			continue
		}
		r.left = int(ringOf[r.left])
		if r.parent = r.left; rings[r.left].hole == r.hole {
			r.parent = rings[r.left].parent
		}
	}
}

// joinRuns makes rings of the runs. It notes in ringOf the number of each
// run's ring, which the ring has as its parent for now.
func joinRuns(pieces []piece, unit float64, first []int, ringOf []int32) []loop {
	// The run that begins at each place of a band's rims.
	down, up := make([][]int32, len(pieces)), make([][]int32, len(pieces))
	for i := range pieces {
		for j, a := range pieces[i].arcs[:pieces[i].runs] {
			ringOf[first[i]+j] = -1
			if a.head >= 0 {
				down[i] = putAt(down[i], int(a.head), int32(j))
			} else {
				up[i] = putAt(up[i], int(^a.head), int32(j))
			}
		}
	}
	var rings []loop
	var way [][2]int
	for i := range pieces {
		for j := range pieces[i].arcs[:pieces[i].runs] {
			if ringOf[first[i]+j] >= 0 {
				continue
			}
			way = way[:0]
			start, size := -1, 0
			for b, c := i, j; ringOf[first[b]+c] < 0; {
				ringOf[first[b]+c] = int32(len(rings))
				a := &pieces[b].arcs[c]
				size += a.to - a.from
				if a.peaked && (start < 0 || before(a, &pieces[way[start][0]].arcs[way[start][1]])) {
					start = len(way)
				}
				way = append(way, [2]int{b, c})
				if a.tail >= 0 {
					b--
					c = int(up[b][a.tail])
				} else {
					b++
					c = int(down[b][^a.tail])
				}
			}
			rings = append(rings, joinRun(pieces, unit, first, way, start, size, len(rings)))
		}
	}
	return rings
}

// before says whether the peak of a comes before that of b.
func before(a, b *arc) bool { return a.y < b.y || a.y == b.y && a.x < b.x }

// joinRun makes one ring of the runs on its way, from the peak of run start on.
func joinRun(pieces []piece, unit float64, first []int, way [][2]int, start, size, number int) loop {
	at := func(k int) (*piece, *arc) {
		p := &pieces[way[k%len(way)][0]]
		return p, &p.arcs[way[k%len(way)][1]]
	}
	p, a := at(start)
	r := loop{xy: make([]float64, 0, size), x: a.x, y: a.y, hole: a.hole, left: -1, parent: number}
	if a.left >= 0 {
		r.left = first[way[start][0]] + int(a.left)
	}
	peak := a.from
	x, high := float64(int64(a.x)*one+one/2)*unit, float64(int64(a.y)*one-one/2)*unit
	low := high + one*unit
	for p.xy[peak] != x || p.xy[peak+1] < high || p.xy[peak+1] > low {
		peak += 2
	}
	r.xy = append(r.xy, p.xy[peak:a.to]...)
	for k := start + 1; k < start+len(way); k++ {
		q, c := at(k)
		r.xy = append(r.xy, q.xy[c.from:c.to]...)
	}
	r.xy = append(r.xy, p.xy[a.from:peak]...)
	return r
}

// putAt sets list[i], and makes the list longer if it must.
func putAt(list []int32, i int, v int32) []int32 {
	for len(list) <= i {
		list = append(list, -1)
	}
	list[i] = v
	return list
}
