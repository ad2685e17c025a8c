package offset

import (
	"math"

	"example.org/kerfleaf/internal/ring"
)

// piece is a moved edge, or the join at a corner, of the block at work.
type piece struct {
	id     int32
	isArc  bool
	line   line
	arc    arc
	lo, hi float64
	x, y   float64 // its middle
	half   float64 // no point of it is further from there
	before int32   // follows or loose: what comes before it if nothing covers its start
	after  int32
	box    ring.Box
	dead   bool // known to be covered
}

// walker finds what survives of the pieces of consecutive blocks.
type walker struct {
	*source
	points []float64
	runs   []run
	open   bool // the last run ends where a piece does and goes on

	pieces    []piece
	near      []int32
	stretches []stretch // near the edge at work
	spans     []span
	hot       int32 // an edge that covered a piece lately
	eps       float64
	slack     float64 // more than rounding makes of a distance

	crossed bool // rings cross or overlap
}

func newWalker(s *source) *walker {
	far := max(-s.all.MinX, s.all.MaxX, -s.all.MinY, s.all.MaxY)
	return &walker{source: s, eps: 1e-12 * s.d, slack: 1e-9*s.d + 1e-14*far, hot: -1, pieces: make([]piece, 0, 2*ring.BlockEdges)}
}

// walk takes block i. It also looks for edges of the source that cross.
func (w *walker) walk(i int) {
	b := &w.blocks[i]
	if w.grid != nil {
		w.walkFree(b)
		return
	}
	w.prepare(b)
	box := w.index.Blocks[i].Box
	for i := range w.pieces {
		box = box.Join(w.pieces[i].box)
	}
	far := w.far(i)
	if far {
		w.near = w.index.Tree.Search(w.index.Blocks[i].Box.Grow(-w.d), w.near[:0])
	} else {
		w.near = w.index.Tree.Search(box, w.near[:0])
	}
	w.index.MeetingsOf(i, w.near, func(m ring.Meeting) bool {
		if m.Kind != ring.Touch {
			w.crossed = true
		}
		return true
	})
	if far {
		w.nearFar()
	}
	for i := range w.pieces {
		p := &w.pieces[i]
		w.spans = w.spans[:0]
		if !p.dead {
			w.spans = append(w.spans, span{p.lo, p.hi, p.before, p.after})
			w.uncover(p)
		}
		w.emitSpans(p)
	}
	w.endBlock(b)
}

// emitSpans adds what is left of p to the runs.
func (w *walker) emitSpans(p *piece) {
	for _, s := range w.spans {
		w.emit(p, s)
	}
	n := len(w.spans)
	if n > 0 {
		w.hot = -1
	}
	w.open = n > 0 && w.spans[n-1].hiBy == follows
}

// endBlock is called after the last piece of a block.
func (w *walker) endBlock(b *block) {
	if b.end == w.before[b.ring+1]-1 {
		w.open = false // the ring's last piece; linking joins it to the first
	}
}

// prepare lists the pieces of a block.
func (w *walker) prepare(b *block) {
	first, end := w.before[b.ring], w.before[b.ring+1]-1
	w.pieces = w.pieces[:0]
	p := w.prev(b.first, first, end)
	for k := b.first; k < b.end; k++ {
		w.addPieces(p, k, first, end)
		p = k
	}
}

// addPieces adds the pieces of edge k, which follows edge p in the ring of edges
// first to end-1.
func (w *walker) addPieces(p, k, first, end int32) {
	next := k + 1
	if next == end {
		next = first
	}
	turn, nextTurn := w.corner(p, k), w.corner(k, next)
	e := &w.edges[k]
	lo := 0.0
	if turn == outward {
		lo = w.addJoin(p, k)
	}
	m := w.addPiece(movedBy(k))
	m.line = line{e.x, e.y, e.ux, e.uy, w.d}
	m.lo, m.hi = lo, e.length
	if turn == inward {
		m.before = loose
	}
	if nextTurn == inward {
		m.after = loose
	}
	if nextTurn == outward && w.join == Miter {
		reach, _ := w.miter(k, next)
		m.hi += reach
	}
	m.measure()
}

// addPiece adds a straight piece whose neighbours go on from it.
func (w *walker) addPiece(id int32) *piece {
	n := len(w.pieces)
	w.pieces = w.pieces[:n+1]
	p := &w.pieces[n]
	p.id, p.isArc, p.dead, p.before, p.after = id, false, false, follows, follows
	return p
}

// measure sets the middle and the box of a straight piece.
func (p *piece) measure() {
	x0, y0 := p.line.at(p.lo)
	x1, y1 := p.line.at(p.hi)
	p.x, p.y, p.half = (x0+x1)/2, (y0+y1)/2, (p.hi-p.lo)/2
	p.box = ring.Box{MinX: min(x0, x1), MinY: min(y0, y1), MaxX: max(x0, x1), MaxY: max(y0, y1)}
}

// addJoin adds the join at the start of edge k, which follows edge p, and
// returns where along its line the moved edge k begins.
func (w *walker) addJoin(p, k int32) float64 {
	a, b := &w.edges[p], &w.edges[k]
	x0, y0 := b.x+w.d*a.uy, b.y-w.d*a.ux
	x1, y1 := b.x+w.d*b.uy, b.y-w.d*b.ux
	if w.join == Miter {
		reach, cut := w.miter(p, k)
		if cut {
			x0, y0, x1, y1 = x0+reach*a.ux, y0+reach*a.uy, x1-reach*b.ux, y1-reach*b.uy
			dx, dy := x1-x0, y1-y0
			j := w.addPiece(joinAt(k))
			j.lo, j.hi = 0, math.Sqrt(dx*dx+dy*dy)
			j.line = line{x0, y0, dx / j.hi, dy / j.hi, 0}
			j.measure()
		}
		return -reach
	}
	j := w.addPiece(joinAt(k))
	j.isArc = true
	j.arc = newArc(a, b)
	j.lo, j.hi = -j.arc.end, j.arc.end
	j.x, j.y, j.half = b.x+w.d*j.arc.mx, b.y+w.d*j.arc.my, 2*w.d*j.arc.end
	j.box = ring.Box{MinX: min(x0, x1), MinY: min(y0, y1), MaxX: max(x0, x1), MaxY: max(y0, y1)}
	// No more of the arc than its height over the chord is outside the box of
	// its ends.
	j.box = j.box.Grow(w.d * (1 - j.arc.cos))
	return 0
}

// uncover takes away from w.spans what the rest of the source covers of p.
func (w *walker) uncover(p *piece) {
	if w.hot >= 0 {
		if w.coverByEdges(p, w.hot, w.hot+1); len(w.spans) == 0 {
			return
		}
	}
	for _, id := range w.near {
		if !w.kill[id].Meets(p.box) {
			continue
		}
		b := &w.blocks[id]
		if !w.behind(p, &w.index.Blocks[id].Box) {
			w.coverByEdges(p, b.first, b.end)
		}
		if w.join == Miter && len(w.spans) > 0 {
			w.coverByJoins(p, b)
		}
		if len(w.spans) == 0 {
			return
		}
	}
}
