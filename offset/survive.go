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
	before int32 // follows or loose: what comes before it if nothing covers its start
	after  int32
	box    ring.Box
	dead   bool // known to be covered
}

// run is a stretch of the result: consecutive pieces, or parts of them, that
// nothing covers, as points along them, both ends included.
type run struct {
	first, last       int32 // pieces
	firstBy, lastBy   int32 // what bounds it there: a piece, follows, or loose
	points, endPoints int32 // its points, as a range of its walker's
	part              int32 // its walker
}

// walker finds what survives of the pieces of consecutive blocks.
type walker struct {
	*source
	points []float64
	runs   []run
	open   bool // the last run ends where a piece does and goes on

	pieces []piece
	near   []int32
	spans  []span
	hot    int32 // an edge that covered a piece lately
	eps    float64

	crossed []int32 // rings found to cross or overlap
}

func newWalker(s *source) *walker {
	return &walker{source: s, eps: 1e-12 * s.d, hot: -1}
}

// walk takes block i. It also looks for edges of the source that cross.
func (w *walker) walk(i int) {
	b := &w.blocks[i]
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
			w.crossed = append(w.crossed, int32(m.RingA), int32(m.RingB))
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
		for _, s := range w.spans {
			w.emit(p, s)
		}
		if n := len(w.spans); n > 0 {
			w.hot = -1
			w.open = w.spans[n-1].hiBy == follows
		} else {
			w.open = false
		}
	}
	if b.end == w.before[b.ring+1]-1 {
		w.open = false // the ring's last piece; linking joins it to the first
	}
}

// prepare lists the pieces of a block.
func (w *walker) prepare(b *block) {
	first, end := w.before[b.ring], w.before[b.ring+1]-1
	if w.pieces == nil {
		w.pieces = make([]piece, 0, 2*ring.BlockEdges)
	}
	w.pieces = w.pieces[:0]
	p := w.prev(b.first, first, end)
	turn := w.corner(p, b.first)
	for k := b.first; k < b.end; k++ {
		next := k + 1
		if next == end {
			next = first
		}
		nextTurn := w.corner(k, next)
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
		m.box = lineBox(m)
		p, turn = k, nextTurn
	}
}

// addPiece adds a straight piece whose neighbours go on from it.
func (w *walker) addPiece(id int32) *piece {
	n := len(w.pieces)
	w.pieces = w.pieces[:n+1]
	p := &w.pieces[n]
	p.id, p.isArc, p.dead, p.before, p.after = id, false, false, follows, follows
	return p
}

func lineBox(p *piece) ring.Box {
	x0, y0 := p.line.at(p.lo)
	x1, y1 := p.line.at(p.hi)
	return ring.Box{MinX: min(x0, x1), MinY: min(y0, y1), MaxX: max(x0, x1), MaxY: max(y0, y1)}
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
			j.box = lineBox(j)
		}
		return -reach
	}
	j := w.addPiece(joinAt(k))
	j.isArc = true
	j.arc = newArc(a, b)
	j.lo, j.hi = -j.arc.end, j.arc.end
	j.box = ring.Box{MinX: min(x0, x1), MinY: min(y0, y1), MaxX: max(x0, x1), MaxY: max(y0, y1)}
	// No more of the arc than its height over the chord is outside the box of
	// its ends.
	j.box = j.box.Grow(w.d * (1 - j.arc.cos))
	return 0
}

// uncover takes away from w.spans what the rest of the source covers of p.
func (w *walker) uncover(p *piece) {
	if w.hot >= 0 {
		if w.coverBy(p, w.hot); len(w.spans) == 0 {
			return
		}
	}
	for _, id := range w.near {
		if !w.kill[id].Meets(p.box) {
			continue
		}
		b := &w.blocks[id]
		if !w.behind(p, &w.index.Blocks[id].Box) {
			w.coverByBlock(p, b.first, b.end)
		}
		if w.join == Miter && len(w.spans) > 0 {
			w.coverByJoins(p, b)
		}
		if len(w.spans) == 0 {
			return
		}
	}
}

// emit adds the stretch s of p to the runs.
func (w *walker) emit(p *piece, s span) {
	if !w.goesOn(p, s.loBy) {
		n := int32(len(w.points))
		w.runs = append(w.runs, run{first: p.id, firstBy: s.loBy, points: n})
		w.points = w.appendAt(p, s.lo)
	}
	r := &w.runs[len(w.runs)-1]
	if p.isArc {
		if w.open && s.loBy == follows && s.hiBy == follows && p.arc.end <= w.blunt {
			// Too slight a corner for two points: one amid the arc.
			n := len(w.points)
			w.points[n-2], w.points[n-1] = p.arc.x+w.d*p.arc.mx, p.arc.y+w.d*p.arc.my
			r.last = p.id
			return
		}
		if tan := tanBetween(s.lo, s.hi); tan > w.tanStep {
			w.appendChords(&p.arc, s.lo, tan)
		}
	}
	switch e := &w.edges[p.id/2+1]; {
	case s.hiBy != follows:
		w.points = w.appendAt(p, s.hi)
	case p.isArc:
		k := &w.edges[p.id/2]
		w.points = append(w.points, k.x+w.d*k.uy, k.y-w.d*k.ux)
	case p.id%2 == 1:
		// From the end of the edge, whose coordinates are exact.
		t := p.hi - w.edges[p.id/2].length
		l := &p.line
		w.points = append(w.points, e.x+w.d*l.uy+t*l.ux, e.y-w.d*l.ux+t*l.uy)
	default:
		w.points = w.appendAt(p, s.hi)
	}
	r.last, r.lastBy, r.endPoints = p.id, s.hiBy, int32(len(w.points))
}

// goesOn reports whether the last run goes on with a stretch of p that piece by
// bounds at its start.
func (w *walker) goesOn(p *piece, by int32) bool {
	if by < 0 || len(w.runs) == 0 {
		return w.open && by == follows
	}
	r := &w.runs[len(w.runs)-1]
	return r.lastBy == p.id && r.last == by
}

// appendChords appends the points between the chords of a stretch of an arc
// which starts at place t, given the tangent of half its angle.
func (w *walker) appendChords(a *arc, t, tan float64) {
	half := math.Atan(tan)
	chords := math.Ceil(half / w.halfStep)
	sin, cos := math.Sincos(2 * half / chords)
	f := w.d / (1 + t*t)
	x, y := (1-t*t)*f, 2*t*f
	for i := 1.0; i < chords; i++ {
		x, y = x*cos-y*sin, y*cos+x*sin
		w.points = append(w.points, a.x+x*a.mx-y*a.my, a.y+x*a.my+y*a.mx)
	}
}

func (w *walker) appendAt(p *piece, t float64) []float64 {
	var x, y float64
	if p.isArc {
		x, y = p.arc.at(w.d, t)
	} else {
		x, y = p.line.at(t)
	}
	return append(w.points, x, y)
}
