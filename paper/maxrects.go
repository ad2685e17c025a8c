package paper

// A sheet's free room is kept as the list of all maximal free rectangles, which
// overlap one another (Jylänki, "A Thousand Ways to Pack the Bin", 2010, from
// memory).

type rect struct{ x, y, w, h float64 }

func (r rect) meets(s rect) bool {
	return r.x < s.x+s.w && s.x < r.x+r.w && r.y < s.y+s.h && s.y < r.y+r.h
}

func (r rect) holds(s rect) bool {
	return s.x >= r.x && s.y >= r.y && s.x+s.w <= r.x+r.w && s.y+s.h <= r.y+r.h
}

// bin is one sheet while it is being filled.
type bin struct {
	room    rect
	free    []rect
	used    []rect
	scratch []rect
}

func newBin(room rect) *bin { return &bin{room: room, free: []rect{room}} }

// rule is a way to choose among the places where a part fits: the least score
// wins, the second decides between equals.
type rule func(b *bin, free rect, w, h float64) (first, second float64)

// rules are tried one after another; which is best depends on the parts.
var rules = []rule{
	topLeft, shortSide, leastArea, contact,
}

func topLeft(_ *bin, f rect, _, h float64) (float64, float64) { return f.y + h, f.x }

func shortSide(_ *bin, f rect, w, h float64) (float64, float64) {
	return min(f.w-w, f.h-h), max(f.w-w, f.h-h)
}

func leastArea(_ *bin, f rect, w, h float64) (float64, float64) {
	return f.w*f.h - w*h, min(f.w-w, f.h-h)
}

// contact prefers the place where most of the part's edge lies against other
// parts and the sheet's own edges.
func contact(b *bin, f rect, w, h float64) (float64, float64) {
	shared := func(a0, a1, b0, b1 float64) float64 { return max(0, min(a1, b1)-max(a0, b0)) }
	near := func(a, b float64) bool { return a-b < 2*hair && b-a < 2*hair }
	sum := 0.0
	if near(f.x, b.room.x) {
		sum += h
	}
	if near(f.x+w, b.room.x+b.room.w) {
		sum += h
	}
	if near(f.y, b.room.y) {
		sum += w
	}
	if near(f.y+h, b.room.y+b.room.h) {
		sum += w
	}
	for _, u := range b.used {
		if near(u.x+u.w, f.x) || near(u.x, f.x+w) {
			sum += shared(u.y, u.y+u.h, f.y, f.y+h)
		}
		if near(u.y+u.h, f.y) || near(u.y, f.y+h) {
			sum += shared(u.x, u.x+u.w, f.x, f.x+w)
		}
	}
	return -sum, f.y + h
}

// find returns the best place for a part, in the top-left corner of a free
// rectangle.
func (b *bin) find(part item, score rule) (at rect, turned, ok bool) {
	var s1, s2 float64
	for _, f := range b.free {
		for t := range 2 {
			w, h := part.w, part.h
			if t == 1 {
				w, h = h, w
			}
			if t == 0 && !part.upright || t == 1 && (!part.turned || part.upright && w == h) || w > f.w || h > f.h {
				continue
			}
			a1, a2 := score(b, f, w, h)
			if !ok || a1 < s1 || a1 == s1 && a2 < s2 {
				at, turned, ok = rect{f.x, f.y, w, h}, t == 1, true
				s1, s2 = a1, a2
			}
		}
	}
	return at, turned, ok
}

// place takes r out of the free room.
func (b *bin) place(r rect) {
	b.used = append(b.used, r)
	kept, cut := b.free[:0], b.scratch[:0]
	for _, f := range b.free {
		if !f.meets(r) {
			kept = append(kept, f)
			continue
		}
		if r.x > f.x {
			cut = append(cut, rect{f.x, f.y, r.x - f.x, f.h})
		}
		if end := f.x + f.w; r.x+r.w < end {
			cut = append(cut, rect{r.x + r.w, f.y, end - r.x - r.w, f.h})
		}
		if r.y > f.y {
			cut = append(cut, rect{f.x, f.y, f.w, r.y - f.y})
		}
		if end := f.y + f.h; r.y+r.h < end {
			cut = append(cut, rect{f.x, r.y + r.h, f.w, end - r.y - r.h})
		}
	}
	// A piece of a maximal rectangle may lie within another piece or a rectangle
	// that was left whole, never the other way round.
	whole := len(kept)
pieces:
	for i, c := range cut {
		for _, k := range kept[:whole] {
			if k.holds(c) {
				continue pieces
			}
		}
		for j, d := range cut {
			if i != j && d.holds(c) && (!c.holds(d) || j < i) {
				continue pieces
			}
		}
		kept = append(kept, c)
	}
	b.free, b.scratch = kept, cut
}
