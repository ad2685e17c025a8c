package mesh

// insert adds vertex p, which is not yet in the mesh, searching from half-edge
// near. It returns p's number and a half-edge beside it.
func (m *Mesh) insert(p Pt, near int32) (v, beside int32) {
	h, onEdge := m.locate(p, near)
	v = int32(len(m.V))
	m.V = append(m.V, p)
	m.out = append(m.out, -1)
	if onEdge {
		m.splitEdge(h, v)
	} else {
		m.splitTriangle(h/3, v)
	}
	m.legalize()
	return v, m.out[v]
}

// locate walks to the triangle that holds p. If p lies on an edge, it returns a
// half-edge of that edge and true. The walk ends in any Delaunay triangulation.
func (m *Mesh) locate(p Pt, from int32) (h int32, onEdge bool) {
	t := from / 3
walk:
	for {
		edge := int32(-1)
		for h := 3 * t; h < 3*t+3; h++ {
			o := Orient(m.V[m.Start[h]], m.V[m.End(h)], p)
			if o < 0 {
				t = m.Twin[h] / 3
				continue walk
			}
			if o == 0 {
				edge = h
			}
		}
		if edge >= 0 {
			return edge, true
		}
		return 3 * t, false
	}
}

// add appends an empty triangle and returns its first half-edge.
func (m *Mesh) add() int32 {
	h := int32(len(m.Start))
	m.Start = append(m.Start, 0, 0, 0)
	m.Twin = append(m.Twin, -1, -1, -1)
	m.Mask = append(m.Mask, 0, 0, 0)
	return h
}

// set makes h start at v and be the other side of twin, an edge with the given mask.
func (m *Mesh) set(h, v, twin int32, mask uint8) {
	m.Start[h], m.Twin[h], m.Mask[h] = v, twin, mask
	m.out[v] = h
	if twin >= 0 {
		m.Twin[twin], m.Mask[twin] = h, mask
	}
}

// splitTriangle puts v inside triangle t and queues its three sides for legalize.
func (m *Mesh) splitTriangle(t, v int32) {
	h := 3 * t
	a, b, c := m.Start[h], m.Start[h+1], m.Start[h+2]
	bt, ct := m.Twin[h+1], m.Twin[h+2]
	bm, cm := m.Mask[h+1], m.Mask[h+2]
	j, k := m.add(), m.add()
	m.set(j, b, bt, bm)
	m.set(j+1, c, k+2, 0)
	m.set(j+2, v, h+1, 0)
	m.set(k, c, ct, cm)
	m.set(k+1, a, h+2, 0)
	m.set(k+2, v, j+1, 0)
	m.set(h+1, b, j+2, 0)
	m.set(h+2, v, k+1, 0)
	m.out[a] = h
	m.stack = append(m.stack, h, j, k)
}

// splitEdge puts v on the edge of h, which has triangles on both sides.
func (m *Mesh) splitEdge(h, v int32) {
	g := m.Twin[h]
	hn, hp, gn, gp := Next(h), Prev(h), Next(g), Prev(g)
	a, b, c, d := m.Start[h], m.Start[g], m.Start[hp], m.Start[gp]
	mask := m.Mask[h]
	hnt, hnm := m.Twin[hn], m.Mask[hn]
	gnt, gnm := m.Twin[gn], m.Mask[gn]
	j, k := m.add(), m.add()
	// Triangle of h becomes a, v, c; j is v, b, c. Triangle of g becomes b, v, d; k is v, a, d.
	m.set(j, v, g, mask)
	m.set(j+1, b, hnt, hnm)
	m.set(j+2, c, hn, 0)
	m.set(k, v, h, mask)
	m.set(k+1, a, gnt, gnm)
	m.set(k+2, d, gn, 0)
	m.Start[hn], m.Start[gn] = v, v
	m.out[v], m.out[a], m.out[b], m.out[c], m.out[d] = hn, h, g, hp, gp
	m.stack = append(m.stack, hp, j+1, gp, k+1)
}

// legalize flips queued edges, and those that flips disturb, until each is kept
// or locally Delaunay.
func (m *Mesh) legalize() {
	for len(m.stack) > 0 {
		h := m.stack[len(m.stack)-1]
		m.stack = m.stack[:len(m.stack)-1]
		g := m.Twin[h]
		if g < 0 || m.Mask[h] != 0 {
			continue
		}
		a, b, c, d := m.Start[h], m.Start[g], m.Apex(h), m.Apex(g)
		if inCircle(m.V[a], m.V[b], m.V[c], m.V[d]) <= 0 {
			continue
		}
		m.flip(h)
		m.stack = append(m.stack, h, g)
	}
}

// flip turns the edge of h within its two triangles. With h from a to b, apices c
// and d, its triangle becomes a, d, c and that of its twin d, b, c.
func (m *Mesh) flip(h int32) {
	g := m.Twin[h]
	hn, hp, gn, gp := Next(h), Prev(h), Next(g), Prev(g)
	a, b, c, d := m.Start[h], m.Start[g], m.Start[hp], m.Start[gp]
	hnt, hnm := m.Twin[hn], m.Mask[hn] // b to c
	gnt, gnm := m.Twin[gn], m.Mask[gn] // a to d
	gpt, gpm := m.Twin[gp], m.Mask[gp] // d to b
	m.set(h, a, gnt, gnm)
	m.Start[g] = d
	m.set(g, d, gpt, gpm)
	m.set(gn, b, hnt, hnm)
	m.set(gp, c, hn, 0)
	m.set(hn, d, gp, 0)
	m.out[a], m.out[c] = h, hp
}

// Between is the half-edge from vertex a to b, or -1 if there is none.
func (m *Mesh) Between(a, b int32) int32 {
	h, first := m.out[a], m.out[a]
	for m.End(h) != b {
		if h = m.Twin[Prev(h)]; h < 0 || h == first {
			return -1
		}
	}
	return h
}

// Split puts a vertex at p, which must as good as lie on it, on the edge of h. It
// reports whether it could: not if p is so far off that a triangle would turn over.
// Two triangles are appended, the first on h's side, the second on its twin's.
func (m *Mesh) Split(h int32, p Pt) bool {
	g := m.Twin[h]
	if g < 0 {
		return false
	}
	a, b, c, d := m.V[m.Start[h]], m.V[m.Start[g]], m.V[m.Apex(h)], m.V[m.Apex(g)]
	if Orient(a, p, c) <= 0 || Orient(p, b, c) <= 0 || Orient(b, p, d) <= 0 || Orient(p, a, d) <= 0 {
		return false
	}
	v := int32(len(m.V))
	m.V = append(m.V, p)
	m.out = append(m.out, -1)
	m.splitEdge(h, v)
	m.legalize()
	return true
}
