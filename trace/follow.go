package trace

// along tells how to go on from a vertex by a step. The place of a vertex is
// the cell of which it is on the right or bottom edge: it lies between the
// cell's pixel and the one above or to the left.
type along struct {
	dx, dy int32 // to the next vertex's place
	offset int   // the same in pixels of memory
	before int   // from there to the other pixel of the next vertex
	ox, oy int64 // from the place to where the next vertex is at the least
	tx, ty int64 // masks: to which of the two a fraction is added
	_      int64 // makes 64 bytes: the table is read at every vertex
}

// alongs is the table for the steps, for rows of pixels stride apart.
func alongs(stride int) (t [16]along) {
	place := [4][2]int32{top: {0, -1}, right: {0, 0}, bottom: {0, 0}, left: {-1, 0}}
	for s := range t {
		from, to := s>>2, s&3
		a := along{dx: place[to][0] - place[from][0], dy: place[to][1] - place[from][1]}
		a.offset = int(a.dy)*stride + int(a.dx)
		if to == top || to == bottom { // between two pixels of a row
			a.before, a.ox, a.oy, a.tx = 1, -one/2, one/2, -1
		} else {
			a.before, a.ox, a.oy, a.ty = stride, one/2, -one/2, -1
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
	pix, table, inverse, level2 := r.pix, &r.alongs, &r.inverse, int64(r.level2)
	w, h, unit := uint32(r.w-1), uint32(r.h-1), r.unit
	mark := arc<<4 | visited
	a := &table[by&15]
	o := int(y)*r.stride + int(x)
	for {
		l := link[id]
		if l&15 == visited {
			return n, id
		}
		link[id] = mark
		if l == 0 {
			return n, id
		}
		f := int64(one / 2)
		if uint32(x-1) < w && uint32(y-1) < h || r.inside(x, y, a) {
			u, v := int64(pix[o-a.before]), int64(pix[o])
			f = ((level2-2*u)*inverse[v-u+255] + one/2) >> 16
		}
		to := xy[n : n+2 : n+2]
		to[0] = float64(int64(x)<<16+a.ox+f&a.tx) * unit
		to[1] = float64(int64(y)<<16+a.oy+f&a.ty) * unit
		n += 2
		id += uint32(int32(l) >> 4)
		a = &table[l&15]
		x += a.dx
		y += a.dy
		o += a.offset
	}
}

// inside says whether a vertex lies between two pixels of the picture, and
// not on its edge.
func (r *raster) inside(x, y int32, a *along) bool {
	if a.before == 1 && a.tx != 0 {
		return x > 0 && int(x) < r.w
	}
	return y > 0 && int(y) < r.h
}
