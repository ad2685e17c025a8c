package offset

import (
	"math"

	"example.org/kerfleaf/internal/ring"
)

// lattice is a grid of points of the plane; on it coordinates are whole numbers
// of at most 27 bits, so that all predicates are cheap and exact.
type lattice struct{ x, y, unit float64 }

// newLattice returns the finest lattice for rings.
func newLattice(rings [][]float64) lattice {
	box := ring.EmptyBox()
	for _, r := range rings {
		for i := 0; i < len(r); i += 2 {
			box = box.Add(r[i], r[i+1])
		}
	}
	half := max(box.MaxX-box.MinX, box.MaxY-box.MinY, 1e-9) / 2
	far := max(math.Abs(box.MinX), math.Abs(box.MaxX), math.Abs(box.MinY), math.Abs(box.MaxY))
	// A power of two, and at least a few units in the last place of what it
	// is to express.
	unit := max(math.Exp2(math.Ceil(math.Log2(half))-26), math.Exp2(math.Ceil(math.Log2(max(far, 1e-9)))-50))
	return lattice{math.Round((box.MinX+box.MaxX)/2/unit) * unit, math.Round((box.MinY+box.MaxY)/2/unit) * unit, unit}
}

// snap moves every point to the nearest of the lattice.
func (l lattice) snap(rings [][]float64) [][]float64 {
	out := make([][]float64, 0, len(rings))
	for _, r := range rings {
		s := make([]float64, len(r))
		for i := 0; i < len(r); i += 2 {
			s[i], s[i+1] = math.Round((r[i]-l.x)/l.unit), math.Round((r[i+1]-l.y)/l.unit)
		}
		if s = distinct(s); len(s) >= 6 {
			out = append(out, s)
		}
	}
	return out
}

func (l lattice) back(x, y float64) (float64, float64) {
	return x*l.unit + l.x, y*l.unit + l.y
}

// distinct drops points that repeat their predecessor.
func distinct(r []float64) []float64 {
	out := r[:2]
	for i := 2; i < len(r); i += 2 {
		if n := len(out); r[i] != out[n-2] || r[i+1] != out[n-1] {
			out = append(out, r[i], r[i+1])
		}
	}
	return out
}

// node adds points to rings on the lattice, and moves edges by up to one unit,
// until edges meet only at their ends or coincide: every edge is led through the
// centres of the unit squares around points and crossings that it passes (snap
// rounding: Hobby, "Practical segment intersection with finite precision
// output", Computational Geometry 13:199-214, 1999). Crossings are rounded in
// floating point, so it looks again; it reports whether it came to an end.
func node(rings [][]float64) ([][]float64, bool) {
	for range 64 {
		hot, clean := crossings(rings)
		if clean {
			return rings, true
		}
		rings = leadThrough(rings, hot)
	}
	return rings, false
}

// crossings returns the rounded points where edges cross, and whether edges
// meet nowhere but at their ends.
func crossings(rings [][]float64) (at [][2]float64, clean bool) {
	ix := ring.NewIndex(rings)
	clean = true
	ix.Meetings(0, len(ix.Blocks), func(m ring.Meeting) bool {
		e, f := rings[m.RingA][2*m.EdgeA:], rings[m.RingB][2*m.EdgeB:]
		switch m.Kind {
		case ring.Cross:
			clean = false
			ex, ey, fx, fy := e[2]-e[0], e[3]-e[1], f[2]-f[0], f[3]-f[1]
			t := ((f[0]-e[0])*fy - (f[1]-e[1])*fx) / (ex*fy - ey*fx)
			at = append(at, [2]float64{math.Round(e[0] + t*ex), math.Round(e[1] + t*ey)})
		case ring.Touch:
			if !sharedEnd(e, f) {
				clean = false
			}
		default:
			if !sameEdge(e, f) {
				clean = false
			}
		}
		return true
	})
	return at, clean
}

func same(a, b []float64) bool { return a[0] == b[0] && a[1] == b[1] }

func sharedEnd(e, f []float64) bool {
	return same(e, f) || same(e, f[2:]) || same(e[2:], f) || same(e[2:], f[2:])
}

func sameEdge(e, f []float64) bool {
	return same(e, f) && same(e[2:], f[2:]) || same(e, f[2:]) && same(e[2:], f)
}

// leadThrough leads all edges through the points of rings and of more whose
// unit square they meet.
func leadThrough(rings [][]float64, more [][2]float64) [][]float64 {
	seen := make(map[[2]float64]bool)
	var hot [][2]float64
	var boxes []ring.Box
	add := func(p [2]float64) {
		if !seen[p] {
			seen[p] = true
			hot = append(hot, p)
			boxes = append(boxes, ring.Box{MinX: p[0] - 0.5, MinY: p[1] - 0.5, MaxX: p[0] + 0.5, MaxY: p[1] + 0.5})
		}
	}
	for _, r := range rings {
		for i := 0; i < len(r); i += 2 {
			add([2]float64{r[i], r[i+1]})
		}
	}
	for _, p := range more {
		add(p)
	}
	tree := ring.NewTree(boxes)
	var near []int32
	out := make([][]float64, 0, len(rings))
	for _, r := range rings {
		s := append([]float64(nil), r[:2]...)
		for i := 0; i+3 < len(r); i += 2 {
			ax, ay, bx, by := r[i], r[i+1], r[i+2], r[i+3]
			near = tree.Search(ring.Box{MinX: min(ax, bx), MinY: min(ay, by), MaxX: max(ax, bx), MaxY: max(ay, by)}, near[:0])
			var via [][3]float64 // place along the edge, point
			for _, id := range near {
				if b := boxes[id]; crosses(b, ax, ay, bx, by) {
					p := hot[id]
					via = append(via, [3]float64{(p[0]-ax)*(bx-ax) + (p[1]-ay)*(by-ay), p[0], p[1]})
				}
			}
			sortVia(via)
			for _, v := range via {
				s = append(s, v[1], v[2])
			}
			s = append(s, bx, by)
		}
		if s = distinct(s); len(s) >= 6 {
			out = append(out, s)
		}
	}
	return out
}

// crosses reports whether an edge, whose box meets b, meets b.
func crosses(b ring.Box, ax, ay, bx, by float64) bool {
	var side [3]bool
	for _, c := range [4][2]float64{{b.MinX, b.MinY}, {b.MaxX, b.MinY}, {b.MaxX, b.MaxY}, {b.MinX, b.MaxY}} {
		side[ring.Orient(ax, ay, bx, by, c[0], c[1])+1] = true
	}
	return side[1] || side[0] && side[2]
}
