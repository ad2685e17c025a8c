package trace

import "slices"

// along tells how to go on from a vertex by a step: the way from its cell to
// the next vertex's cell, and where in that one the next vertex lies. The
// cell of a vertex is the one of which it is on the right or bottom edge.
type along struct {
	dx, dy int32 // cells
	ox, oy int64 // from the top left of the cell's pixel, 1/65536 pixel
	tx, ty int64 // masks: the coordinate to which the vertex's fraction is added
}

var alongs = func() (t [16]along) {
	cell := [4][2]int32{top: {0, -1}, right: {0, 0}, bottom: {0, 0}, left: {-1, 0}}
	for s := range t {
		from, to := s>>2, s&3
		a := along{dx: cell[to][0] - cell[from][0], dy: cell[to][1] - cell[from][1]}
		if to == top || to == bottom { // on the line through a row's centres
			a.ox, a.oy, a.tx = -one/2, one/2, -1
		} else {
			a.ox, a.oy, a.ty = one/2, -one/2, -1
		}
		t[s] = a
	}
	return t
}()

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
	xy   []float64 // x, y of each vertex in pixels
	arcs []arc
	runs int
	cut  int // pixels
	raw  int // vertices
}

// follow makes arcs of the vertices that sweep has found, with the
// coordinates in xy, which must have room for all.
func (b *band) follow(xy []float64) piece {
	p := piece{xy: xy, cut: b.cut, raw: b.n - b.rim}
	n := 0
	run := func(id uint32, x, y, head int32) {
		if l := b.link[id]; l == 0 || l&15 == visited {
			return
		}
		a := arc{from: n, head: head}
		var end uint32
		n, end = b.walk(xy, n, id, x, y, &alongs[step(top, bottom)], uint32(len(p.arcs)))
		a.to, a.tail = n, int32(end)
		if int(end) >= b.rim {
			place, _ := slices.BinarySearch(b.lower[1:1+b.nLower], end)
			a.tail = ^int32(place)
		}
		p.arcs = append(p.arcs, a)
	}
	for i, x := range b.rimX[:b.rim] {
		run(uint32(i), x, int32(b.y0-1), int32(i))
	}
	if b.nLower > 0 {
		b.rimX = crossingsIn(b.rimX[:0], b.here)
		for i, id := range b.lower[1 : 1+b.nLower] {
			run(id, b.rimX[i], int32(b.y1-1), ^int32(i))
		}
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
		n, _ = b.walk(xy, n, k.id, k.x, k.y, &alongs[step(top, right)], uint32(len(p.arcs)))
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

// walk writes the vertices from id on to xy at n, marks them with the number
// of their arc, and returns the new n. It ends where it began, or at a vertex
// from which no step leads on in this band; that one it returns, unwritten.
func (b *band) walk(xy []float64, n int, id uint32, x, y int32, a *along, arc uint32) (int, uint32) {
	link, frac := b.link, b.frac
	frac = frac[:len(link)]
	for {
		l := link[id]
		if l&15 == visited {
			return n, id
		}
		link[id] = arc<<4 | visited
		if l == 0 {
			return n, id
		}
		f := int64(frac[id])
		xy[n] = float64(int64(x)<<16+a.ox+f&a.tx) / one
		xy[n+1] = float64(int64(y)<<16+a.oy+f&a.ty) / one
		n += 2
		id += uint32(int32(l) >> 4)
		a = &alongs[l&15]
		x += a.dx
		y += a.dy
	}
}
