// Package mesh triangulates the plane with given edges kept: a constrained
// Delaunay triangulation of closed chains of points on an integer grid.
//
// Triangles are three consecutive half-edges; half-edge h runs from Start[h] to
// Start[Next(h)], with its triangle on the side where Orient is positive. A kept
// edge carries the masks of the chains that run along it, combined by exclusive
// or, so that crossing it tells which chains one enters or leaves; where two equal
// chains run along one edge they cancel out, and the edge stays kept.
//
// Vertices are inserted in Hilbert order by Lawson's flips (Lawson 1977), edges by
// refilling the triangles they cross (Anglada 1997).
package mesh

import (
	"cmp"
	"fmt"
	"slices"
)

// Chain is a closed run of vertices; the last joins the first.
type Chain struct {
	Points []Pt
	Mask   uint8
}

// Kept is the bit that every edge of a chain has in Mesh.Mask. Chains must not
// use it.
const Kept = 0x80

// Mesh is a triangulation that covers a square around all vertices. The first
// four vertices are that square's corners.
type Mesh struct {
	V     []Pt
	Start []int32 // vertex that half-edge h starts at
	Twin  []int32 // the same edge seen from its other side, or -1 at the square's side
	Mask  []uint8 // of the edge of half-edge h

	out   []int32 // for each vertex, a half-edge that starts there
	stack []int32
}

// CrossingError says that two edges that should both be kept cross.
type CrossingError struct{ A, B, C, D Pt }

func (e *CrossingError) Error() string {
	return fmt.Sprintf("edges (%d, %d)-(%d, %d) and (%d, %d)-(%d, %d) cross",
		e.A.X, e.A.Y, e.B.X, e.B.Y, e.C.X, e.C.Y, e.D.X, e.D.Y)
}

// Next is the half-edge that follows h in its triangle.
func Next(h int32) int32 {
	if h%3 == 2 {
		return h - 2
	}
	return h + 1
}

// Prev is the half-edge before h in its triangle.
func Prev(h int32) int32 {
	if h%3 == 0 {
		return h + 2
	}
	return h - 1
}

// End is the vertex that half-edge h ends at.
func (m *Mesh) End(h int32) int32 { return m.Start[Next(h)] }

// Apex is the vertex across from half-edge h in its triangle.
func (m *Mesh) Apex(h int32) int32 { return m.Start[Prev(h)] }

// Outermost is a triangle in a corner of the square.
func (m *Mesh) Outermost() int32 { return m.out[0] / 3 }

// Triangles is the number of triangles.
func (m *Mesh) Triangles() int { return len(m.Start) / 3 }

// Build triangulates the chains. Coordinates must lie within Limit/2. It fails
// with a *CrossingError if two chains cross other than at vertices; an edge that
// passes a vertex more closely than two grid units is led through it. index[c][i]
// is the vertex of Points[i] of chain c.
func Build(chains []Chain) (m *Mesh, index [][]int32, err error) {
	type item struct {
		key      uint64
		chain, i int32
	}
	var items []item
	index = make([][]int32, len(chains))
	for c, ch := range chains {
		index[c] = make([]int32, len(ch.Points))
		for i, p := range ch.Points {
			items = append(items, item{hilbert(p), int32(c), int32(i)})
		}
	}
	slices.SortStableFunc(items, func(a, b item) int { return cmp.Compare(a.key, b.key) })

	n := len(items)
	m = &Mesh{
		V:     make([]Pt, 0, n+4),
		Start: make([]int32, 0, 6*n+6),
		Twin:  make([]int32, 0, 6*n+6),
		Mask:  make([]uint8, 0, 6*n+6),
		out:   make([]int32, 0, n+4),
	}
	m.square()
	v, near := int32(-1), int32(0)
	for _, it := range items {
		p := chains[it.chain].Points[it.i]
		if v < 0 || m.V[v] != p {
			v, near = m.insert(p, near)
		}
		index[it.chain][it.i] = v
	}
	for c, ch := range chains {
		ids := index[c]
		for i, a := range ids {
			if err := m.keep(a, ids[(i+1)%len(ids)], ch.Mask); err != nil {
				return nil, nil, err
			}
		}
	}
	return m, index, nil
}

// square makes the two triangles that everything else lies in.
func (m *Mesh) square() {
	const l = Limit
	m.V = append(m.V, Pt{-l, -l}, Pt{l, -l}, Pt{l, l}, Pt{-l, l})
	m.out = append(m.out, 0, 1, 2, 5)
	m.Start = append(m.Start, 0, 1, 2, 0, 2, 3)
	m.Twin = append(m.Twin, -1, -1, 3, 2, -1, -1)
	m.Mask = append(m.Mask, 0, 0, 0, 0, 0, 0)
}

// hilbert is the place of p on a Hilbert curve over the grid.
func hilbert(p Pt) uint64 {
	x, y := uint64(p.X+Limit), uint64(p.Y+Limit)
	var d uint64
	for s := uint64(1) << 29; s > 0; s >>= 1 {
		var rx, ry uint64
		if x&s != 0 {
			rx = 1
		}
		if y&s != 0 {
			ry = 1
		}
		d += s * s * ((3 * rx) ^ ry)
		if ry == 0 {
			if rx == 1 {
				x, y = (2*s-1)-(x&(2*s-1)), (2*s-1)-(y&(2*s-1))
			}
			x, y = y, x
		}
	}
	return d
}
