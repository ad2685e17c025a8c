package trace

import (
	"math"
	"slices"

	"example.org/kerfleaf/internal/ring"
)

// grid lays square cells over things and keeps which are in each.
type grid struct {
	x0, y0, perCell float64 // cells per unit of length
	nx, ny          int
	first           []int32 // of each cell: its newest entry, or -1
	entries         []gridEntry
}

type gridEntry struct{ item, next int32 }

// reset lays the grid over a box, with about n cells, all empty.
func (g *grid) reset(box ring.Box, n int) {
	g.x0, g.y0, g.perCell = box.MinX, box.MinY, 0
	w, h := box.MaxX-box.MinX, box.MaxY-box.MinY
	if side := max(math.Sqrt(w*h/float64(n)), max(w, h)/float64(n)); side > 0 {
		g.perCell = 1 / side
	}
	g.nx, g.ny = int(w*g.perCell)+1, int(h*g.perCell)+1
	g.first = slices.Grow(g.first[:0], g.nx*g.ny)[:g.nx*g.ny]
	for i := range g.first {
		g.first[i] = -1
	}
	g.entries = slices.Grow(g.entries[:0], 2*n)
}

func (g *grid) put(cell int, item int32) {
	g.entries = append(g.entries, gridEntry{item, g.first[cell]})
	g.first[cell] = int32(len(g.entries) - 1)
}

// slack is how far, in cells, a thing may be from one that is said to touch it:
// more than rounding moves.
const slack = 1e-9

// at is the cell of a point.
func (g *grid) at(x, y float64) int {
	return g.nth(y-g.y0, 0, g.ny)*g.nx + g.nth(x-g.x0, 0, g.nx)
}

// in calls visit for the items of all cells that a rectangle touches, some
// perhaps more than once.
func (g *grid) in(x0, y0, x1, y1 float64, visit func(item int32)) {
	left, right, top, bottom := g.cover(x0, y0, x1, y1)
	for iy := top; iy <= bottom; iy++ {
		for ix := left; ix <= right; ix++ {
			for e := g.first[iy*g.nx+ix]; e >= 0; e = g.entries[e].next {
				visit(g.entries[e].item)
			}
		}
	}
}

// cover gives the columns and rows that a rectangle touches, those at the rim
// where it lies outside.
func (g *grid) cover(x0, y0, x1, y1 float64) (left, right, top, bottom int) {
	return g.nth(x0-g.x0, -slack, g.nx), g.nth(x1-g.x0, slack, g.nx), g.nth(y0-g.y0, -slack, g.ny), g.nth(y1-g.y0, slack, g.ny)
}

// nth is the number of the row or column of n that is v from the first's start, more or less.
func (g *grid) nth(v, more float64, n int) int {
	return int(min(max(v*g.perCell+more, 0), float64(n-1)))
}
