package trace

import "math"

// grid lays square cells over segments, about as many as there are segments.
type grid struct {
	x0, y0, perCell float64 // cells per unit of length
	nx, ny          int
}

func newGrid(segs []segment) *grid {
	x0, y0 := math.Inf(1), math.Inf(1)
	x1, y1 := math.Inf(-1), math.Inf(-1)
	for i := range segs {
		s := &segs[i]
		x0, x1 = min(x0, s.ax), max(x1, s.ax)
		y0, y1 = min(y0, s.ay), max(y1, s.ay)
	}
	g := &grid{x0: x0, y0: y0}
	w, h := x1-x0, y1-y0
	side := math.Sqrt(w * h / float64(len(segs)))
	if side = max(side, max(w, h)/float64(len(segs))); side > 0 {
		g.perCell = 1 / side
	}
	g.nx, g.ny = int(w*g.perCell)+1, int(h*g.perCell)+1
	return g
}

func (g *grid) cells() int { return g.nx * g.ny }

func clampCell(v float64, n int) int { return int(min(max(v, 0), float64(n-1))) }

// along calls put for all cells that come nearer than margin to the segment
// from a to b, and perhaps for some more.
func (g *grid) along(ax, ay, bx, by, margin float64, put func(cell int)) {
	if ay > by {
		ax, ay, bx, by = bx, by, ax, ay
	}
	ax, ay = (ax-g.x0)*g.perCell, (ay-g.y0)*g.perCell
	bx, by = (bx-g.x0)*g.perCell, (by-g.y0)*g.perCell
	margin = margin*g.perCell + 1e-9
	lo, hi := clampCell(ay-margin, g.ny), clampCell(by+margin, g.ny)
	for iy := lo; iy <= hi; iy++ {
		x0, x1 := min(ax, bx), max(ax, bx)
		if by-ay > 1e-6 && hi > lo+1 { // long: only what lies in this row
			slope := (bx - ax) / (by - ay)
			u := ax + (max(ay, float64(iy)-margin)-ay)*slope
			v := ax + (min(by, float64(iy+1)+margin)-ay)*slope
			x0, x1 = max(x0, min(u, v)), min(x1, max(u, v))
		}
		for ix, end := clampCell(x0-margin, g.nx), clampCell(x1+margin, g.nx); ix <= end; ix++ {
			put(iy*g.nx + ix)
		}
	}
}

// bins holds numbers sorted by cell.
type bins struct{ start, items []int32 }

func (b *bins) at(cell int) []int32 { return b.items[b.start[cell]:b.start[cell+1]] }

// sorted puts n numbers into the cells that each calls put for.
func (g *grid) sorted(n int, each func(i int, put func(cell int))) *bins {
	b := &bins{start: make([]int32, g.cells()+1)}
	for i := range n {
		each(i, func(cell int) { b.start[cell]++ })
	}
	sum := int32(0)
	for c, k := range b.start {
		sum += k
		b.start[c] = sum
	}
	b.items = make([]int32, sum)
	for i := n - 1; i >= 0; i-- {
		each(i, func(cell int) {
			b.start[cell]--
			b.items[b.start[cell]] = int32(i)
		})
	}
	return b
}
