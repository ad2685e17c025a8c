package trace

// along tells how to go on from a vertex by a step. The place of a vertex is
// the cell of which it is on the right or bottom edge: it lies between the
// cell's pixel and the one above or to the left.
type along struct {
	dx, dy int64 // from where the last vertex is at the least to where this one is
	offset int   // from place to place, in pixels of memory
	before int   // from there to the other pixel of this vertex
	tx     int64 // mask: all ones if a fraction is added to x, not to y
	ox, oy int64 // from the place to where this vertex is at the least
	_      int64 // makes 64 bytes: the table is read at every vertex
}

// alongs is the table for the steps, for rows of pixels stride apart.
func alongs(stride int) (t [16]along) {
	place := [4][2]int64{top: {0, -1}, right: {0, 0}, bottom: {0, 0}, left: {-1, 0}}
	least := [4][2]int64{top: {-one / 2, one / 2}, right: {one / 2, -one / 2}, bottom: {-one / 2, one / 2}, left: {one / 2, -one / 2}}
	for s := range t {
		from, to := s>>2, s&3
		dx, dy := place[to][0]-place[from][0], place[to][1]-place[from][1]
		a := along{
			dx: dx*one + least[to][0] - least[from][0], dy: dy*one + least[to][1] - least[from][1],
			offset: int(dy)*stride + int(dx), before: stride, ox: least[to][0], oy: least[to][1],
		}
		if to == top || to == bottom { // between two pixels of a row
			a.before, a.tx = 1, -1
		}
		t[s] = a
	}
	return t
}

// arc is a piece of outline inside one band: a whole ring, which begins with
// its peak, or a run from rim to rim.
type arc struct {
	from, to   int // its part of xy
	peaked     bool
	hole       bool // paper below the peak
	x, y       int32
	left       int32 // the arc to the left of the peak, -1 for none
	head, tail int32 // of a run: place on the upper rim, or ^place on the lower
}

// piece is what one band yields: runs first, then rings.
type piece struct {
	xy   []float64 // x, y of each vertex
	arcs []arc
	runs int
	cut  int // pixels
}

// follow makes arcs of the vertices that sweep has found, with the
// coordinates in xy, which must have room for all.
func (b *band) follow(xy []float64) piece {
	p := piece{xy: xy, cut: b.cut, arcs: make([]arc, 0, b.nPeaks+b.rim+b.n-b.lower)}
	n := 0
	run := func(id uint32, x, y, head int32) {
		if l := b.link[id]; l == 0 || l&15 == visited {
			return
		}
		a := arc{from: n, head: head}
		var end uint32
		n, end = b.walk(xy, n, id, x, y, step(top, bottom), uint32(len(p.arcs)))
		a.to, a.tail = n, int32(end)
		if int(end) >= b.lower {
			a.tail = ^int32(int(end) - b.lower)
		}
		p.arcs = append(p.arcs, a)
	}
	for i, x := range b.rimX[:b.rim] {
		run(uint32(i), x, int32(b.y0-1), int32(i))
	}
	b.rimX = crossingsIn(b.rimX[:0], b.here)
	for i, x := range b.rimX {
		run(uint32(b.lower+i), x, int32(b.y1-1), ^int32(i))
	}
	p.runs = len(p.arcs)
	for _, k := range b.peaks[:b.nPeaks] {
		l := b.link[k.id]
		if l&15 == visited {
			a := &p.arcs[l>>4]
			if int(l>>4) < p.runs && !a.peaked {
				a.peaked, a.x, a.y = true, k.x, k.y
				a.left, a.hole = int32(k.left), !b.r.cutAt(k.x, k.y)
			}
			continue
		}
		a := arc{from: n, peaked: true, x: k.x, y: k.y, left: int32(k.left), hole: !b.r.cutAt(k.x, k.y)}
		n, _ = b.walk(xy, n, k.id, k.x, k.y, step(top, right), uint32(len(p.arcs)))
		a.to = n
		p.arcs = append(p.arcs, a)
	}
	for i := range p.arcs {
		a := &p.arcs[i]
		if a.peaked && a.left >= 0 {
			a.left = int32(b.link[a.left] >> 4)
		}
	}
	p.xy = xy[:n]
	return p
}

// walk writes the vertices from id on, in cell (x, y), to xy at n, marks them
// with the number of their arc, and returns the new n. It ends where it began,
// or at a vertex from which no step leads on in this band; that one it
// returns, unwritten. The first vertex is as if come to by the step by.
func (b *band) walk(xy []float64, n int, id uint32, x, y int32, by uint32, arc uint32) (int, uint32) {
	link, r := b.link, b.r
	pix, table, level2 := r.pix, &r.alongs, int64(r.level2)
	w, h, unit := uint64(r.w)<<16-one/2, uint64(r.h)<<16-one/2, r.unit
	mark := arc<<4 | visited
	a := &table[by&15]
	o := int(y)*r.stride + int(x)
	px, py := int64(x)<<16+a.ox, int64(y)<<16+a.oy
	for start := id; ; {
		l := link[id]
		link[id] = mark
		if l == 0 {
			return n, id
		}
		id += uint32(int32(l) >> 4)
		f := int64(one / 2)
		if uint64(px) < w && uint64(py) < h || r.inside(px, py, a) {
			u, v := int64(pix[o-a.before]), int64(pix[o])
			f = ((level2-2*u)*r.inverse[v-u+255] + one/2) >> 16
		}
		to := xy[n : n+2 : n+2]
		fx := f & a.tx
		to[0] = float64(px+fx) * unit
		to[1] = float64(py+f-fx) * unit
		n += 2
		if id == start {
			return n, id
		}
		a = &table[l&15]
		px += a.dx
		py += a.dy
		o += a.offset
	}
}

// inside says whether a vertex that is at least at (x, y) lies between two
// pixels of the picture, and not on its edge.
func (r *raster) inside(x, y int64, a *along) bool {
	if a.tx != 0 {
		return x > 0 && x < int64(r.w)<<16-one/2
	}
	return y > 0 && y < int64(r.h)<<16-one/2
}
