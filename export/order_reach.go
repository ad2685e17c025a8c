package export

import (
	"cmp"
	"math"
	"slices"
)

// crowd is how many lines a cell may hold before sizes stop to matter in it:
// lines of a real cut are not that fine, and all their pairs would be many.
const crowd = 60

// leastReach and mostCells keep the number of cells within reason, whatever the
// reach and however long the lines.
const leastReach, mostCells = 0.5, 1e6

// closePairs lists pairs of rings, the first much smaller than the second, that
// pass through the same or neighbouring cells of a grid as wide as reach. That is
// every such pair whose lines come within reach of each other, and some that
// come near it.
func closePairs(rings []*track, reach float64) [][2]int32 {
	way := 0.0
	for _, t := range rings {
		way += t.length()
	}
	reach = max(reach, leastReach, way/mostCells)
	type cell struct{ x, y int32 }
	cells := map[cell][]int32{}
	var order []cell // in which they were met
	for k, t := range rings {
		visit := func(x, y int32) {
			c := cell{x, y}
			in := cells[c]
			if len(in) == 0 {
				order = append(order, c)
			}
			if n := len(in); n == 0 || in[n-1] != int32(k) {
				cells[c] = append(in, int32(k))
			}
		}
		for i := 2; i < len(t.xy); i += 2 {
			walkCells(t.xy[i-2]/reach, t.xy[i-1]/reach, t.xy[i]/reach, t.xy[i+1]/reach, visit)
		}
	}
	var pairs [][2]int32
	var near []int32
	for _, c := range order {
		near = near[:0]
		for dx := int32(-1); dx <= 1; dx++ {
			for dy := int32(-1); dy <= 1; dy++ {
				near = append(near, cells[cell{c.x + dx, c.y + dy}]...)
			}
		}
		if len(near) > crowd*9 {
			continue
		}
		for _, a := range cells[c] {
			for _, b := range near {
				if rings[a].area*muchLarger < rings[b].area {
					pairs = append(pairs, [2]int32{a, b})
				}
			}
		}
	}
	slices.SortFunc(pairs, func(p, q [2]int32) int { return cmp.Or(cmp.Compare(p[0], q[0]), cmp.Compare(p[1], q[1])) })
	return slices.Compact(pairs)
}

// walkCells visits the unit cells that a segment passes through (Amanatides & Woo
// 1987).
func walkCells(ax, ay, bx, by float64, visit func(x, y int32)) {
	x, y := math.Floor(ax), math.Floor(ay)
	dx, dy := bx-ax, by-ay
	sx, sy := math.Copysign(1, dx), math.Copysign(1, dy)
	next := func(a, cell, d, s float64) (first, step float64) {
		if d == 0 {
			return math.Inf(1), math.Inf(1)
		}
		edge := cell
		if s > 0 {
			edge++
		}
		return (edge - a) / d, s / d
	}
	tx, stepX := next(ax, x, dx, sx)
	ty, stepY := next(ay, y, dy, sy)
	for {
		visit(int32(x), int32(y))
		if min(tx, ty) > 1 {
			return
		}
		if tx < ty {
			x, tx = x+sx, tx+stepX
		} else {
			y, ty = y+sy, ty+stepY
		}
	}
}
