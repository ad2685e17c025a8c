package offset

import (
	"example.org/kerfleaf/internal/ring"
)

// far reports whether the pieces of block i lie so far from it, compared with its
// size, that whole crowds of other blocks come within reach of them. Then it
// pays to look more closely at which.
func (w *walker) far(i int) bool {
	b := &w.index.Blocks[i].Box
	return w.d > 8*max(b.MaxX-b.MinX, b.MaxY-b.MinY)
}

// nearFar sets w.near for the pieces at work. On a crowded page most are covered
// several times over, so it first tries what lies right where they are; of the
// rest it leaves out blocks that are too far from all pieces or behind them.
func (w *walker) nearFar() {
	box := ring.EmptyBox()
	for i := range w.pieces {
		box = box.Join(w.pieces[i].box)
	}
	w.near = w.index.Tree.Search(box.Grow(-0.9*w.d), w.near[:0])
	alive := false
	for i := range w.pieces {
		p := &w.pieces[i]
		w.spans = append(w.spans[:0], span{p.lo, p.hi, p.before, p.after})
		w.uncover(p)
		p.dead = len(w.spans) == 0
		alive = alive || !p.dead
	}
	w.near = w.near[:0]
	if !alive {
		return
	}
	if w.join == Miter { // tips reach further than the distance
		w.near = w.index.Tree.Search(box, w.near)
		return
	}
	w.near = w.index.Tree.SearchIf(box, func(kill *ring.Box) bool {
		b := kill.Grow(-w.d)
		dx := max(b.MinX-box.MaxX, box.MinX-b.MaxX, 0)
		dy := max(b.MinY-box.MaxY, box.MinY-b.MaxY, 0)
		if dx*dx+dy*dy >= w.d*w.d {
			return false
		}
		for i := range w.pieces {
			if p := &w.pieces[i]; !p.dead && !w.behind(p, &b) {
				return true
			}
		}
		return false
	}, w.near)
}

// behind reports whether a box lies so far behind a piece, on the side that it
// was moved from, that nothing in it comes within d of the piece.
func (w *walker) behind(p *piece, b *ring.Box) bool {
	if l := &p.line; !p.isArc {
		return highest(b, l.x, l.y, l.uy, -l.ux)-l.off <= w.eps-w.d
	}
	a := &p.arc
	x, y := a.cos*a.mx, a.cos*a.my
	dx, dy := -a.sin*a.my, a.sin*a.mx
	return highest(b, a.x, a.y, x-dx, y-dy) <= w.eps && highest(b, a.x, a.y, x+dx, y+dy) <= w.eps
}

// highest returns how far b reaches from (x, y) in the direction (dx, dy).
func highest(b *ring.Box, x, y, dx, dy float64) float64 {
	return max((b.MinX-x)*dx, (b.MaxX-x)*dx) + max((b.MinY-y)*dy, (b.MaxY-y)*dy)
}
