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

// newGrid makes an empty grid over points, x and y, with about as many cells.
func newGrid(at []float64) *grid {
	x0, y0, x1, y1 := at[0], at[1], at[0], at[1]
	for i := 0; i+1 < len(at); i += 2 {
		x, y := at[i], at[i+1]
		if x < x0 {
			x0 = x
		} else if x > x1 {
			x1 = x
		}
		if y < y0 {
			y0 = y
		} else if y > y1 {
			y1 = y
		}
	}
	g := &grid{x0: x0, y0: y0}
	w, h := x1-x0, y1-y0
	n := len(at) / 2
	if side := max(math.Sqrt(w*h/float64(n)), max(w, h)/float64(n)); side > 0 {
		g.perCell = 1 / side
	}
	g.nx, g.ny = int(w*g.perCell)+1, int(h*g.perCell)+1
	g.first = make([]int32, g.nx*g.ny)
	for i := range g.first {
		g.first[i] = -1
	}
	g.entries = make([]gridEntry, 0, 2*n)
	return g
}

func (g *grid) put(cell int, item int32) {
	g.entries = append(g.entries, gridEntry{item, g.first[cell]})
	g.first[cell] = int32(len(g.entries) - 1)
}

// slack is how far, in cells, a segment may be from one that is said to be
// along it: more than rounding moves.
const slack = 1e-9

// cellOf is the number of the row or column of n where v, not below -slack, is.
func cellOf(v float64, n int) int { return min(int(v), n-1) }

// along calls visit for all cells through which the segment from a to b passes.
func (g *grid) along(ax, ay, bx, by float64, visit func(cell int)) {
	if ay > by {
		ax, ay, bx, by = bx, by, ax, ay
	}
	ax, ay = (ax-g.x0)*g.perCell, (ay-g.y0)*g.perCell
	bx, by = (bx-g.x0)*g.perCell, (by-g.y0)*g.perCell
	left, right := ax, bx
	if left > right {
		left, right = bx, ax
	}
	lo, hi := cellOf(ay-slack, g.ny), cellOf(by+slack, g.ny)
	from, to := cellOf(left-slack, g.nx), cellOf(right+slack, g.nx)
	long := hi > lo+1 && to > from+1
	for iy := lo; iy <= hi; iy++ {
		if long { // only what lies in this row
			slope := (bx - ax) / (by - ay)
			u := ax + (max(ay, float64(iy)-slack)-ay)*slope
			v := ax + (min(by, float64(iy+1)+slack)-ay)*slope
			if u > v {
				u, v = v, u
			}
			from, to = cellOf(max(left, u)-slack, g.nx), cellOf(min(right, v)+slack, g.nx)
		}
		for ix := from; ix <= to; ix++ {
			visit(iy*g.nx + ix)
		}
	}
}

// at is the cell of a point.
func (g *grid) at(x, y float64) int {
	return cellOf((y-g.y0)*g.perCell, g.ny)*g.nx + cellOf((x-g.x0)*g.perCell, g.nx)
}

// near calls visit for the items of all cells that are nearer than margin to a
// point, some perhaps more than once.
func (g *grid) near(x, y, margin float64, visit func(item int32)) {
	g.in(x-margin, y-margin, x+margin, y+margin, visit)
}

// in calls visit for the items of all cells that a rectangle touches, some
// perhaps more than once.
func (g *grid) in(x0, y0, x1, y1 float64, visit func(item int32)) {
	first := func(v float64, n int) int { return cellOf(max(v*g.perCell-slack, 0), n) }
	last := func(v float64, n int) int { return cellOf(min(v*g.perCell+slack, float64(n)), n) }
	left, right := first(x0-g.x0, g.nx), last(x1-g.x0, g.nx)
	for iy, end := first(y0-g.y0, g.ny), last(y1-g.y0, g.ny); iy <= end; iy++ {
		for ix := left; ix <= right; ix++ {
			for e := g.first[iy*g.nx+ix]; e >= 0; e = g.entries[e].next {
				visit(g.entries[e].item)
			}
		}
	}
}
