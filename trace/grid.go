package trace

import "math"

// grid lays square cells over segments and keeps which pass through each.
type grid struct {
	x0, y0, perCell float64 // cells per unit of length
	nx, ny          int
	first           []int32 // of each cell: its newest entry, or -1
	entries         []gridEntry
}

type gridEntry struct{ item, next int32 }

// newGrid makes an empty grid with about as many cells as there are segments.
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
	n := float64(len(segs))
	if side := max(math.Sqrt(w*h/n), max(w, h)/n); side > 0 {
		g.perCell = 1 / side
	}
	g.nx, g.ny = int(w*g.perCell)+1, int(h*g.perCell)+1
	g.first = make([]int32, g.nx*g.ny)
	for i := range g.first {
		g.first[i] = -1
	}
	g.entries = make([]gridEntry, 0, 2*len(segs))
	return g
}

func (g *grid) put(cell int, item int32) {
	g.entries = append(g.entries, gridEntry{item, g.first[cell]})
	g.first[cell] = int32(len(g.entries) - 1)
}

func clampCell(v float64, n int) int { return int(min(max(v, 0), float64(n-1))) }

// slack is how far, in cells, a segment may be from one that is said to be
// along it: more than rounding moves.
const slack = 1e-9

// along calls visit for all cells through which the segment from a to b passes.
func (g *grid) along(ax, ay, bx, by float64, visit func(cell int)) {
	if ay > by {
		ax, ay, bx, by = bx, by, ax, ay
	}
	ax, ay = (ax-g.x0)*g.perCell, (ay-g.y0)*g.perCell
	bx, by = (bx-g.x0)*g.perCell, (by-g.y0)*g.perCell
	lo, hi := clampCell(ay-slack, g.ny), clampCell(by+slack, g.ny)
	for iy := lo; iy <= hi; iy++ {
		x0, x1 := min(ax, bx), max(ax, bx)
		if by-ay > 1e-6 && hi > lo+1 { // long: only what lies in this row
			slope := (bx - ax) / (by - ay)
			u := ax + (max(ay, float64(iy)-slack)-ay)*slope
			v := ax + (min(by, float64(iy+1)+slack)-ay)*slope
			x0, x1 = max(x0, min(u, v)), min(x1, max(u, v))
		}
		for ix, end := clampCell(x0-slack, g.nx), clampCell(x1+slack, g.nx); ix <= end; ix++ {
			visit(iy*g.nx + ix)
		}
	}
}

// near calls visit for the items of all cells that are nearer than margin to a
// point, some perhaps more than once.
func (g *grid) near(x, y, margin float64, visit func(item int32)) {
	x, y, margin = (x-g.x0)*g.perCell, (y-g.y0)*g.perCell, margin*g.perCell+slack
	x0, x1 := clampCell(x-margin, g.nx), clampCell(x+margin, g.nx)
	for iy, end := clampCell(y-margin, g.ny), clampCell(y+margin, g.ny); iy <= end; iy++ {
		for ix := x0; ix <= x1; ix++ {
			for e := g.first[iy*g.nx+ix]; e >= 0; e = g.entries[e].next {
				visit(g.entries[e].item)
			}
		}
	}
}
