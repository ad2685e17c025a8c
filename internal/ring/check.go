package ring

import (
	"fmt"
	"math"
	"math/bits"

	"github.com/twpayne/go-geom"
)

// Kind is what two edges, or a ring, have wrong.
type Kind int

// Faults of rings, and of pairs of edges.
const (
	Open      Kind = iota + 1 // the last point does not repeat the first
	Short                     // fewer than three distinct points, or no area
	Infinite                  // a coordinate is NaN or infinite
	Repeated                  // two equal points in a row
	Turned                    // an outer ring negative or a hole positive
	Touch                     // two edges that are not neighbours share one point
	Cross                     // two edges cross
	Overlap                   // two edges share a stretch
	Misplaced                 // a hole outside its shell, or a shell inside another
)

var kindNames = [...]string{Open: "ring is not closed", Short: "ring has no area", Infinite: "coordinate is not finite",
	Repeated: "two equal points in a row", Turned: "ring runs the wrong way", Touch: "ring touches itself",
	Cross: "edges cross", Overlap: "edges overlap", Misplaced: "ring lies in the wrong place"}

func (k Kind) String() string { return kindNames[k] }

// Fault says what is wrong with polygons and where.
type Fault struct {
	Kind Kind
	X, Y float64
}

func (f *Fault) Error() string { return fmt.Sprintf("%v at (%.6g, %.6g)", f.Kind, f.X, f.Y) }

// Check returns the first fault of mp, or nil if it is valid: rings closed,
// finite, of at least three points, outer ones positive and holes negative;
// no ring meets itself, no two rings cross or share an edge (they may touch at
// points); every hole in its shell and no shell in another polygon's area.
// It does not look for holes that touch so often that they part their polygon.
// About n log n for n points.
func Check(mp *geom.MultiPolygon) error {
	rings := Rings(mp)
	if f := checkEach(mp.Endss(), rings); f != nil {
		return f
	}
	var fault *Fault
	ix := NewIndex(rings)
	ix.Meetings(0, len(ix.Blocks), func(m Meeting) bool {
		if m.Kind == Touch && m.RingA != m.RingB {
			return true
		}
		fault = &Fault{m.Kind, ix.Rings[m.RingA][2*m.EdgeA], ix.Rings[m.RingA][2*m.EdgeA+1]}
		return false
	})
	if fault == nil {
		fault = ix.checkPlaces(mp.Endss())
	}
	if fault != nil {
		return fault
	}
	return nil
}

// CheckApart is Check for polygons of the index's rings, in its order, of which
// is known that no two edges meet. endss has an element for each polygon, with
// one for each of its rings.
func (ix *Index) CheckApart(endss [][]int) error {
	fault := checkEach(endss, ix.Rings)
	if fault == nil {
		fault = ix.checkPlaces(endss)
	}
	if fault != nil {
		return fault
	}
	return nil
}

// Sound reports whether r by itself is the outer ring of a valid polygon.
func Sound(r []float64) bool {
	if checkRing(r, true) != nil {
		return false
	}
	sound := true
	none := func(Meeting) bool {
		sound = false
		return false
	}
	const few = 40 // blocks, of which all pairs are soon looked at
	if len(r)/2 > few*BlockEdges {
		ix := NewIndex([][]float64{r})
		ix.Meetings(0, len(ix.Blocks), none)
		return sound
	}
	var blocks [few]Block
	ix := Index{Rings: [][]float64{r}, Blocks: appendBlocks(blocks[:0], r, 0, BlockEdges)}
	var all [few]int32
	for i := range all {
		all[i] = int32(i)
	}
	for a := range ix.Blocks {
		if !ix.MeetingsOf(a, all[a:len(ix.Blocks)], none) {
			break
		}
	}
	return sound
}

// checkEach looks at the rings of polygons one by one.
func checkEach(endss [][]int, rings [][]float64) *Fault {
	k := 0
	for _, ends := range endss {
		for i := range ends {
			if f := checkRing(rings[k], i == 0); f != nil {
				return f
			}
			k++
		}
	}
	return nil
}

// checkPlaces looks for rings that do not lie in one another as endss has it.
func (ix *Index) checkPlaces(endss [][]int) *Fault {
	var parent []int
	for _, ends := range endss {
		shell := len(parent)
		for i := range ends {
			if i == 0 {
				parent = append(parent, -1)
			} else {
				parent = append(parent, shell)
			}
		}
	}
	for k, p := range ix.parents(ix.areas()) {
		hole := parent[k] >= 0
		if hole && p != parent[k] || !hole && p >= 0 && parent[p] < 0 {
			return &Fault{Misplaced, ix.Rings[k][0], ix.Rings[k][1]}
		}
	}
	return nil
}

func checkRing(r []float64, outer bool) *Fault {
	for i, v := range r {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return &Fault{Infinite, r[i&^1], r[i|1]}
		}
	}
	n := len(r)
	switch {
	case n == 0:
		return &Fault{Kind: Short}
	case r[0] != r[n-2] || r[1] != r[n-1]:
		return &Fault{Open, r[0], r[1]}
	case n < 8:
		return &Fault{Short, r[0], r[1]}
	}
	for i := 0; i+3 < n; i += 2 {
		if r[i] == r[i+2] && r[i+1] == r[i+3] {
			return &Fault{Repeated, r[i], r[i+1]}
		}
	}
	switch a := Area(r); {
	case a == 0:
		return &Fault{Short, r[0], r[1]}
	case (a > 0) != outer:
		return &Fault{Turned, r[0], r[1]}
	}
	return nil
}

// Meeting is a pair of edges, not joined in a row, that share a point, or of
// neighbours that share more than their common point.
type Meeting struct {
	Kind         Kind // Touch, Cross or Overlap
	RingA, EdgeA int
	RingB, EdgeB int
}

// Meetings calls visit for each pair of edges that meet, exactly found, of
// which the first is in Blocks[from:to]; each pair comes once over all blocks.
// It stops when visit returns false. Edges of no length meet nothing.
func (ix *Index) Meetings(from, to int, visit func(Meeting) bool) {
	var near []int32
	for a := from; a < to; a++ {
		near = ix.Tree.Search(ix.Blocks[a].Box, near[:0])
		if !ix.MeetingsOf(a, near, visit) {
			return
		}
	}
}

// MeetingsOf calls visit for each pair of edges that meet, of which the first is
// in block a and the other in the same or a later one, among the blocks near:
// at least those whose boxes meet its own. It returns false if visit does.
func (ix *Index) MeetingsOf(a int, near []int32, visit func(Meeting) bool) bool {
	var ea, eb [BlockEdges]int32
	ba := &ix.Blocks[a]
	if !ix.monotone(ba) && !ix.within(ba, visit) {
		return false
	}
	for _, id := range near {
		bb := &ix.Blocks[id]
		if int(id) <= a || !ba.Box.Meets(bb.Box) {
			continue
		}
		both := Box{max(ba.Box.MinX, bb.Box.MinX), max(ba.Box.MinY, bb.Box.MinY), min(ba.Box.MaxX, bb.Box.MaxX), min(ba.Box.MaxY, bb.Box.MaxY)}
		na := ix.edgesIn(ba, both, &ea)
		if na == 0 {
			continue
		}
		nb := ix.edgesIn(bb, both, &eb)
		for _, i := range ea[:na] {
			for _, j := range eb[:nb] {
				if k := ix.pair(ba, bb, int(i), int(j)); k != 0 && !visit(Meeting{k, int(ba.Ring), int(i), int(bb.Ring), int(j)}) {
					return false
				}
			}
		}
	}
	return true
}

// monotone reports whether the edges of a block all run strictly to one side or
// all strictly up or down: then no two of them meet but in a row.
func (ix *Index) monotone(b *Block) bool {
	r := ix.Rings[b.Ring][2*b.First : 2*b.End+2]
	right, left, up, down := true, true, true, true
	for i := 0; i+3 < len(r); i += 2 {
		dx, dy := r[i+2]-r[i], r[i+3]-r[i+1]
		right, left, up, down = right && dx > 0, left && dx < 0, up && dy > 0, down && dy < 0
	}
	return right || left || up || down
}

// within visits the meetings of a block's own edges.
func (ix *Index) within(b *Block, visit func(Meeting) bool) bool {
	r := ix.Rings[b.Ring][2*b.First : 2*b.End+2]
	n := len(r)/2 - 1
	var boxes [BlockEdges]Box
	for i := range n {
		e := r[2*i : 2*i+4 : 2*i+4]
		boxes[i] = Box{min(e[0], e[2]), min(e[1], e[3]), max(e[0], e[2]), max(e[1], e[3])}
	}
	end := 1 // of the edges that run strictly to the same side as edge i
	for i := range n {
		if dx := r[2*i+2] - r[2*i]; end <= i+1 && dx != 0 {
			for end = i + 1; end < n && (r[2*end+2]-r[2*end])*dx > 0; end++ {
			}
		}
		var hits uint32
		for j := max(end, i+1); j < n; j++ {
			hits |= uint32(1^boxes[i].apart(&boxes[j])) << j
		}
		for ; hits != 0; hits &= hits - 1 {
			i, j := int(b.First)+i, int(b.First)+bits.TrailingZeros32(hits)
			if k := ix.pair(b, b, i, j); k != 0 && !visit(Meeting{k, int(b.Ring), i, int(b.Ring), j}) {
				return false
			}
		}
	}
	return true
}

// edgesIn lists the edges of a block whose boxes meet q.
func (ix *Index) edgesIn(b *Block, q Box, out *[BlockEdges]int32) int {
	r := ix.Rings[b.Ring]
	n := 0
	for i := b.First; i < b.End; i++ {
		e := r[2*i : 2*i+4 : 2*i+4]
		if !(e[0] < q.MinX && e[2] < q.MinX || e[0] > q.MaxX && e[2] > q.MaxX ||
			e[1] < q.MinY && e[3] < q.MinY || e[1] > q.MaxY && e[3] > q.MaxY) {
			out[n] = i
			n++
		}
	}
	return n
}

// Pair says how edge i of ring a and edge j of ring b meet, 0 if they do not or
// are joined in a row.
func (ix *Index) Pair(a, i, b, j int) Kind {
	return ix.pair(&Block{Ring: int32(a)}, &Block{Ring: int32(b)}, i, j)
}

// pair says how edge i of one block and edge j of another, or a later one of
// the same, meet.
func (ix *Index) pair(a, b *Block, i, j int) Kind {
	ra := ix.Rings[a.Ring]
	e, f := ra[2*i:2*i+4:2*i+4], ix.Rings[b.Ring][2*j:2*j+4]
	if max(e[0], e[2]) < min(f[0], f[2]) || min(e[0], e[2]) > max(f[0], f[2]) ||
		max(e[1], e[3]) < min(f[1], f[3]) || min(e[1], e[3]) > max(f[1], f[3]) {
		return 0
	}
	if a.Ring == b.Ring {
		last := len(ra)/2 - 2
		switch {
		case j == i+1:
			return fold(e[0], e[1], e[2], e[3], f[2], f[3])
		case i == 0 && j == last:
			return fold(f[0], f[1], e[0], e[1], e[2], e[3])
		case j == 0 && i == last:
			return fold(e[0], e[1], f[0], f[1], f[2], f[3])
		case i == j+1:
			return fold(f[0], f[1], e[0], e[1], e[2], e[3])
		}
	}
	return meet(e, f)
}

// fold reports an overlap where the edges ab and bc double back on each other.
func fold(ax, ay, bx, by, cx, cy float64) Kind {
	if (ax-bx)*(cx-bx)+(ay-by)*(cy-by) > 0 && Orient(ax, ay, bx, by, cx, cy) == 0 {
		return Overlap
	}
	return 0
}

// meet classifies two edges of some length that have no place in a row.
func meet(e, f []float64) Kind {
	o1 := Orient(e[0], e[1], e[2], e[3], f[0], f[1])
	o2 := Orient(e[0], e[1], e[2], e[3], f[2], f[3])
	if o1*o2 > 0 {
		return 0
	}
	o3 := Orient(f[0], f[1], f[2], f[3], e[0], e[1])
	o4 := Orient(f[0], f[1], f[2], f[3], e[2], e[3])
	switch {
	case o3*o4 > 0:
		return 0
	case o1*o2 < 0 && o3*o4 < 0:
		return Cross
	case o1 != 0 || o2 != 0 || o3 != 0 || o4 != 0:
		return Touch // the boxes meet, so an end lies on the other edge
	}
	if f[0] == f[2] && f[1] == f[3] || e[0] == e[2] && e[1] == e[3] {
		return 0
	}
	// Collinear: compare along the longer side of e.
	k := 0
	if math.Abs(e[3]-e[1]) > math.Abs(e[2]-e[0]) {
		k = 1
	}
	lo := max(min(e[k], e[k+2]), min(f[k], f[k+2]))
	switch hi := min(max(e[k], e[k+2]), max(f[k], f[k+2])); {
	case lo < hi:
		return Overlap
	case lo == hi:
		return Touch
	}
	return 0
}
