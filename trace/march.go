package trace

// A cell is the square between four neighbouring pixel centres; cell (x, y)
// has pixel (x, y) at its bottom right corner. Which of the four are cut is
// its case (after Lorensen and Cline, Marching cubes, 1987, in the plane): 1
// for the top left, 2 top right, 4 bottom left, 8 bottom right.

// The edges of a cell, on which the outline's vertices lie.
const (
	top = iota
	right
	bottom
	left
)

// step says by which edge an outline enters a cell and by which it leaves. The
// cut area lies on the right hand of the way, y pointing down.
func step(from, to uint32) uint32 { return from<<2 | to }

// visited marks a vertex that is part of an arc; no step has this value.
const visited = left<<2 | left

// marchCase is what the sweep needs to know of a case. A saddle has two steps
// and, once decided, a case of its own.
type marchCase struct {
	from, to  uint8 // edges
	step      uint8
	hasTop    uint8 // 1 if the outline crosses that edge
	hasRight  uint8
	hasBottom uint8
	opens     uint8 // 1 where the outline comes up from below and goes right
	keep      uint8 // 0 there, and where it goes right from above
	closes    uint8 // 1 where it comes from the left and goes down
	saddle    uint8 // 1 for one that is not decided yet
	split     uint32
}

// The cases of decided saddles: joined is one more than split.
const (
	splitFalling = 16 // top left and bottom right are cut
	splitRising  = 18 // bottom left and top right are cut
)

// way is a step of an outline through a cell.
type way struct{ from, to uint32 }

// ways holds the step of each case that has one.
var ways = map[int]way{
	1: {top, left}, 2: {right, top}, 4: {left, bottom}, 8: {bottom, right},
	3: {right, left}, 12: {left, right}, 5: {top, bottom}, 10: {bottom, top},
	14: {left, top}, 13: {top, right}, 11: {bottom, left}, 7: {right, bottom},
}

// saddleSteps holds the two steps of each decided saddle.
var saddleSteps = [20][2]way{
	splitFalling:     {{top, left}, {bottom, right}},
	splitFalling + 1: {{bottom, left}, {top, right}},
	splitRising:      {{left, bottom}, {right, top}},
	splitRising + 1:  {{left, top}, {right, bottom}},
}

// cases is the table of all cases.
var cases = func() (t [20]marchCase) {
	for i := range t {
		pixels, steps := i, []way{}
		switch {
		case i < 16:
			if w, ok := ways[i]; ok {
				steps = append(steps, w)
				t[i].from, t[i].to, t[i].step = uint8(w.from), uint8(w.to), uint8(step(w.from, w.to))
			}
		case i < splitRising:
			pixels, steps = 9, saddleSteps[i][:]
		default:
			pixels, steps = 6, saddleSteps[i][:]
		}
		c := &t[i]
		c.hasTop = uint8((pixels ^ pixels>>1) & 1)
		c.hasRight = uint8((pixels>>1 ^ pixels>>3) & 1)
		c.hasBottom = uint8((pixels>>2 ^ pixels>>3) & 1)
		c.keep = 1
		for _, w := range steps {
			switch (way{min(w.from, w.to), max(w.from, w.to)}) {
			case way{right, bottom}:
				c.opens, c.keep = 1, 0
			case way{top, right}:
				c.keep = 0
			case way{bottom, left}:
				c.closes = 1
			}
		}
	}
	t[9].saddle, t[9].split = 1, splitFalling
	t[6].saddle, t[6].split = 1, splitRising
	return t
}()

// joins says whether the cut corners of a saddle belong together, given the
// values of its pixels and twice the level. Greys are decided by the value at
// the saddle point of the bilinear surface through the four: Nielson and
// Hamann, The asymptotic decider, 1991. Where that is the level itself, as in
// hard black and white at half way, the cut is joined: paper that holds by a
// point alone would tear.
func joins(tl, tr, br, bl, level2 int, flip bool) bool {
	// The sign of saddle value - level, times the divisor and two.
	den := tl + br - tr - bl
	d := 2*(tl*br-tr*bl) - level2*den
	if (den < 0) != flip {
		d = -d
	}
	return d <= 0
}
