package paper

import (
	"cmp"
	"slices"
)

// filler looks for a layout of all parts on one sheet by trying: the lowest gap
// of the skyline, the leftmost of several, takes each part that fits into its
// left corner in turn, or is given up up to its lower wall. It turns back once
// more has been given up than the sheet has to spare, which is soon where the
// parts nearly fill it.
type filler struct {
	items []item
	order []int // large first
	used  []bool
	spots []spot
	sky   []step
	room  rect
	left  int     // parts to place
	spare float64 // area that may still be given up
	tries int     // that may still be made
}

// step is a level stretch of the skyline.
type step struct{ x, y, w float64 }

// mostTries bounds each round of the search; all four take less than a second.
const mostTries = 150_000

// spares are the shares of the room to spare that may be given up between parts,
// round by round: few gaps are found soonest.
var spares = []float64{0, 0.1, 0.3, 1}

// onOneSheet returns a layout of all parts on one sheet, or nil if it finds none.
func onOneSheet(items []item, room rect) []spot {
	f := &filler{items: items, room: room, order: make([]int, len(items)), used: make([]bool, len(items)), spots: make([]spot, len(items))}
	spare := room.w * room.h
	for i, p := range items {
		f.order[i] = i
		spare -= p.w * p.h
	}
	slices.SortStableFunc(f.order, func(a, b int) int {
		p, q := items[a], items[b]
		return cmp.Or(cmp.Compare(q.w*q.h, p.w*p.h), cmp.Compare(q.w, p.w))
	})
	for _, share := range spares {
		f.sky, f.left, f.tries = []step{{0, 0, room.w}}, len(items), mostTries
		f.spare = share*spare + hair*(room.w+room.h)
		if f.fill() {
			return f.spots
		}
	}
	return nil
}

func (f *filler) fill() bool {
	if f.left == 0 {
		return true
	}
	if f.tries--; f.tries < 0 {
		return false
	}
	g := 0
	for i, s := range f.sky {
		if s.y < f.sky[g].y {
			g = i
		}
	}
	gap := f.sky[g]
	var last item
	for _, i := range f.order {
		p := f.items[i]
		if f.used[i] || p == last { // a twin was tried
			continue
		}
		last = p
		for turn := range 2 {
			w, h := p.w, p.h
			if turn == 1 {
				w, h = h, w
			}
			if turn == 0 && !p.upright || turn == 1 && (!p.turned || p.upright && w == h) || w > gap.w || gap.y+h > f.room.h {
				continue
			}
			f.used[i] = true
			f.left--
			f.spots[i] = spot{rect{gap.x, gap.y, w, h}, 0, turn == 1}
			saved := f.sky
			f.sky = raised(f.sky, g, w, gap.y+h)
			if f.fill() {
				return true
			}
			f.sky = saved
			f.left++
			f.used[i] = false
		}
	}
	// give the gap up
	level := f.room.h
	if g > 0 {
		level = min(level, f.sky[g-1].y)
	}
	if g+1 < len(f.sky) {
		level = min(level, f.sky[g+1].y)
	}
	loss := gap.w * (level - gap.y)
	if level == f.room.h || loss > f.spare {
		return false
	}
	saved := f.sky
	f.sky = raised(f.sky, g, gap.w, level)
	f.spare -= loss
	ok := f.fill()
	if !ok {
		f.sky, f.spare = saved, f.spare+loss
	}
	return ok
}

// raised returns the skyline with the left part, w wide, of step g raised to y.
func raised(sky []step, g int, w, y float64) []step {
	out := make([]step, 0, len(sky)+1)
	add := func(s step) {
		if n := len(out); n > 0 && out[n-1].y == s.y {
			out[n-1].w += s.w
			return
		}
		out = append(out, s)
	}
	for i, s := range sky {
		if i != g {
			add(s)
			continue
		}
		add(step{s.x, y, w})
		if rest := s.w - w; rest > 0 {
			add(step{s.x + w, s.y, rest})
		}
	}
	return out
}
