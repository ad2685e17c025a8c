package trace

// A cell is the square between four neighbouring pixel centres; cell (x, y)
// has pixel (x, y) as its bottom right corner. Its case number has bit 8 for
// the top left corner, 4 top right, 2 bottom right, 1 bottom left, set where
// that pixel is cut. (Lorensen and Cline 1987, in the plane.)

// The edges of a cell, on which the outline's vertices lie.
const (
	top = iota
	right
	bottom
	left
)

// A step says by which edge an outline enters a cell and by which it leaves.
// The cut area lies on the right hand of the way, y pointing down.
func step(from, to uint32) uint32 { return from<<2 | to }

const visited = left<<2 | left // no step has it

// marchCase is what the sweep needs to know of a case. Saddles have two steps and
// are decided apart.
type marchCase struct {
	from, to uint8 // edges
	hasTop   uint8 // 1 if the outline crosses that edge
	hasRight uint8
	hasBtm   uint8
	opens    uint8 // 1 where the outline comes up from below and goes right
	keep     uint8 // 0 there, and where it goes right from above
	closes   uint8 // 1 where it comes from the left and goes down
}

// marchCases is the table of the sixteen cases.
var marchCases = func() (t [16]marchCase) {
	way := map[int][2]uint8{
		1: {left, bottom}, 2: {bottom, right}, 3: {left, right}, 4: {right, top},
		6: {bottom, top}, 7: {left, top}, 8: {top, left}, 9: {top, bottom},
		11: {top, right}, 12: {right, left}, 13: {right, bottom}, 14: {bottom, left},
	}
	for code := range t {
		tl, tr, br, bl := code>>3&1, code>>2&1, code>>1&1, code&1
		c := marchCase{hasTop: uint8(tl ^ tr), hasRight: uint8(tr ^ br), hasBtm: uint8(bl ^ br), keep: 1}
		if w, ok := way[code]; ok {
			c.from, c.to = w[0], w[1]
		}
		switch code {
		case 2, 13:
			c.opens, c.keep = 1, 0
		case 4, 11:
			c.keep = 0
		case 1, 14:
			c.closes = 1
		}
		t[code] = c
	}
	return t
}()

// saddle returns the two steps through a saddle. The cut corners are joined
// or split; code is 5 (top right and bottom left cut) or 10.
func saddle(code int, joined bool) (a, b [2]uint32) {
	switch {
	case code == 5 && joined:
		return [2]uint32{left, top}, [2]uint32{right, bottom}
	case code == 5:
		return [2]uint32{left, bottom}, [2]uint32{right, top}
	case joined:
		return [2]uint32{bottom, left}, [2]uint32{top, right}
	default:
		return [2]uint32{top, left}, [2]uint32{bottom, right}
	}
}

// joins says whether the cut corners of a saddle belong together, for the
// pixels' values and the level, both doubled. Grey values are decided by the
// value at the saddle point of the bilinear surface through the four: Nielson
// and Hamann, The asymptotic decider, 1991. Where that is the level itself,
// as in hard black and white at half way, the cut is joined: paper that
// holds by a point alone would tear.
func joins(tl, tr, br, bl, level2 int, flip bool) bool {
	// The sign of saddle - level, with the sum in the divisor taken out.
	num := tl*br - tr*bl
	den := tl + br - tr - bl
	d := 2*num - level2*den
	if den < 0 {
		d = -d
	}
	if flip {
		d = -d
	}
	return d <= 0
}
