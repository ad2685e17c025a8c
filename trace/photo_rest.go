package trace

// roomFor tells where the top-left cell of a square of n x n cells can be, so
// that all of it is on. Its rows are c.w+1 long, the last of each never set.
func (c *cells) roomFor(n int) []bool {
	w := c.w + 1
	sums := make([]int32, w*(c.h+1))
	for y := range c.h {
		for x := range c.w + 1 {
			sums[(y+1)*w+x] = sums[y*w+x] + c.before[y*w+x]
		}
	}
	room := make([]bool, w*c.h)
	for y := 0; y+n <= c.h; y++ {
		for x := 0; x+n <= c.w; x++ {
			at := y*w + x
			room[at] = sums[at+n*w+n]-sums[at+n*w]-sums[at+n]+sums[at] == int32(n*n)
		}
	}
	return room
}

// A restFinder measures what a placement leaves: the cells in which a square
// that must have room can move, in the largest piece where it can.
type restFinder struct {
	w, n  int
	room  []bool // without the part
	left  []bool // with it
	stack []int
}

func newRestFinder(c *cells) *restFinder {
	n := max(1, int(keepSide/c.step+0.5))
	room := c.roomFor(n)
	return &restFinder{w: c.w + 1, n: n, room: room, left: make([]bool, len(room))}
}

func (r *restFinder) of(spans []cellSpan, px, py int) int {
	copy(r.left, r.room)
	for _, s := range spans {
		x0, x1 := max(px+s.x0-r.n+1, 0), px+s.x1
		for y := max(py+s.y-r.n+1, 0); y <= py+s.y; y++ {
			clear(r.left[y*r.w+x0 : y*r.w+x1])
		}
	}
	largest := 0
	for i, l := range r.left {
		if l {
			largest = max(largest, r.piece(i))
		}
	}
	return largest
}

// piece counts the cells that hang together with cell i, and clears them.
func (r *restFinder) piece(i int) (size int) {
	r.left[i] = false
	r.stack = append(r.stack[:0], i)
	for len(r.stack) > 0 {
		k := r.stack[len(r.stack)-1]
		r.stack = r.stack[:len(r.stack)-1]
		size++
		for _, q := range [4]int{k - 1, k + 1, k - r.w, k + r.w} {
			if q >= 0 && q < len(r.left) && r.left[q] {
				r.left[q] = false
				r.stack = append(r.stack, q)
			}
		}
	}
	return size
}
