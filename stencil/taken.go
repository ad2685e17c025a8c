package stencil

import "math"

// taken remembers where straps lie, so that others keep clear of them.
type taken struct {
	width float64
	cells map[[2]int][]gap // the straps that pass through each square of the given pitch
	pitch float64
}

// crowd is how many widths apart, from middle to middle, two straps must lie so that
// there is some cut area between them.
const crowd = 1.5

func newTaken(width float64) *taken {
	return &taken{width: width, cells: map[[2]int][]gap{}, pitch: 4 * width}
}

// around calls visit for the squares that a strap along g touches or comes near.
func (t *taken) around(g gap, visit func([2]int)) {
	b := boxOf(g.from, g.to)
	by := crowd * t.width / 2
	at := func(v float64) int { return int(math.Floor(v / t.pitch)) }
	for x := at(b.lo.x - by); x <= at(b.hi.x+by); x++ {
		for y := at(b.lo.y - by); y <= at(b.hi.y+by); y++ {
			visit([2]int{x, y})
		}
	}
}

func (t *taken) add(g gap) {
	t.around(g, func(c [2]int) { t.cells[c] = append(t.cells[c], g) })
}

// crowded reports whether a strap along g would lie on another or too near it.
func (t *taken) crowded(g gap) bool {
	found := false
	t.around(g, func(c [2]int) {
		for _, h := range t.cells[c] {
			if _, _, d := closest(edge{a: g.from, b: g.to}, edge{a: h.from, b: h.to}); d < crowd*t.width {
				found = true
			}
		}
	})
	return found
}
