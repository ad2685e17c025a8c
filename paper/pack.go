package paper

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

// spot is where a part was put.
type spot struct {
	rect
	sheet  int
	turned bool
}

// layout is one answer: a spot for every part.
type layout struct {
	spots  []spot
	sheets int
	tail   float64 // area of the parts on the last sheet
	reach  float64 // how far down the last sheet they go
}

// better prefers fewer sheets, then less on the last one, then more of it left
// in one piece.
func (l *layout) better(m *layout) bool {
	return cmp.Or(cmp.Compare(l.sheets, m.sheets), cmp.Compare(l.tail, m.tail), cmp.Compare(l.reach, m.reach)) < 0
}

// effort bounds the search after the first round, counted in placed parts, so
// that a long list costs no more than a short one.
const effort = 40_000

// manyParts is the number from which the rule that looks at every placed part
// is left out: its cost grows with the square.
const manyParts = 400

// fewParts is the number up to which one sheet is searched for all of them.
const fewParts = 40

// pack tries every rule on every order of the parts. If the best answer may still
// be improved, it shuffles that answer's order a little, again and again, and
// keeps what is better. The dice are loaded the same way each time.
func pack(items []item, room rect) []spot {
	n := len(items)
	if n == 0 {
		return nil
	}
	least := leastSheets(items, room)
	var best *layout
	var order []int
	var score rule
	for _, o := range orders(items) {
		for i, r := range rules {
			if n >= manyParts && i == len(rules)-1 {
				continue
			}
			if l := fill(items, o, room, r); best == nil || l.better(best) {
				best, order, score = l, o, r
			}
		}
	}
	dice := rand.New(rand.NewPCG(uint64(n), 1))
	for range effort / n {
		if best.sheets == least {
			break
		}
		o := slices.Clone(order)
		for range 1 + dice.IntN(3) {
			i, j := dice.IntN(n), dice.IntN(n)
			o[i], o[j] = o[j], o[i]
		}
		r := score
		if n < manyParts {
			r = rules[dice.IntN(len(rules))]
		}
		if l := fill(items, o, room, r); !best.better(l) {
			best, order, score = l, o, r
		}
	}
	if best.sheets > 1 && least == 1 && n <= fewParts {
		if spots := onOneSheet(items, room); spots != nil {
			return spots
		}
	}
	return best.spots
}

// orders lists the parts large to small, by several ideas of large.
func orders(items []item) [][]int {
	var out [][]int
	for _, size := range []func(r item) float64{
		func(r item) float64 { return r.w * r.h },
		func(r item) float64 { return max(r.w, r.h) },
		func(r item) float64 { return min(r.w, r.h) },
		func(r item) float64 { return r.h },
		func(r item) float64 { return r.w },
	} {
		o := make([]int, len(items))
		for i := range o {
			o[i] = i
		}
		slices.SortStableFunc(o, func(a, b int) int {
			return cmp.Or(cmp.Compare(size(items[b]), size(items[a])), cmp.Compare(items[b].w*items[b].h, items[a].w*items[a].h))
		})
		out = append(out, o)
	}
	return out
}

// fill places the parts in the given order, each on the first sheet that has
// room for it.
func fill(items []item, order []int, room rect, score rule) *layout {
	l := &layout{spots: make([]spot, len(items))}
	var bins []*bin
	for _, i := range order {
		s := 0
		for ; ; s++ {
			if s == len(bins) {
				bins = append(bins, newBin(room))
			}
			at, turned, ok := bins[s].find(items[i], score)
			if !ok {
				continue
			}
			bins[s].place(at)
			l.spots[i] = spot{at, s, turned}
			break
		}
	}
	l.sheets = len(bins)
	for _, u := range bins[len(bins)-1].used {
		l.tail += u.w * u.h
		l.reach = max(l.reach, u.y+u.h)
	}
	return l
}

// leastSheets is the number that no layout can go below: by area, and by parts
// of which no two fit on one sheet.
func leastSheets(items []item, room rect) int {
	area, large := 0.0, 0
	for _, r := range items {
		area += r.w * r.h
		if (!r.upright || r.w > room.w/2 && r.h > room.h/2) && (!r.turned || r.h > room.w/2 && r.w > room.h/2) {
			large++
		}
	}
	return max(1, large, int(math.Ceil(area/(room.w*room.h)-1e-9)))
}
