package offset

import (
	"cmp"
	"math"
	"slices"

	"example.org/kerfleaf/internal/ring"
)

func sortVia(via [][3]float64) {
	slices.SortFunc(via, func(a, b [3]float64) int {
		return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1]), cmp.Compare(a[2], b[2]))
	})
}

// resolve returns simple rings around where loops, which may cross and overlap
// each other in any way, wind around a point more than zero times, counting
// also what around says of it. Outer rings come out positive, holes negative;
// rings meet at most at points. Points move by up to about the size of the
// loops over 10^8. It reports false if it could not.
func resolve(loops [][]float64, around func(x, y float64) int) ([][]float64, bool) {
	l := newLattice(loops)
	noded, ok := node(l.snap(loops))
	if !ok {
		return nil, false
	}
	g := newGraph(noded)
	g.wind(func(x, y float64) int { return around(l.back(x, y)) })
	var out [][]float64
	for _, c := range g.boundary() {
		r := make([]float64, 0, 2*len(c)+2)
		for _, p := range append(c, c[0]) {
			x, y := l.back(g.x[p], g.y[p])
			r = append(r, x, y)
		}
		out = append(out, r)
	}
	return out, true
}

// graph is a plane graph of edges that meet only at their ends. Half-edge 2e
// runs along edge e, 2e+1 back.
type graph struct {
	x, y    []float64
	from    []int32 // per half-edge
	times   []int32 // per half-edge: how often it is passed, less how often back
	out     [][]int32
	place   []int32 // per half-edge: its index in out[from]
	cycle   []int32 // per half-edge: the cycle around the face on its left
	winding []int   // per cycle
}

func (g *graph) to(h int32) int32 { return g.from[h^1] }

// turnLeft returns the half-edge that follows h around the face on its left.
func (g *graph) turnLeft(h int32) int32 {
	o := g.out[g.to(h)]
	i := int(g.place[h^1]) - 1
	if i < 0 {
		i = len(o) - 1
	}
	return o[i]
}

func newGraph(rings [][]float64) *graph {
	g := &graph{}
	ids := make(map[[2]float64]int32)
	id := func(x, y float64) int32 {
		i, ok := ids[[2]float64{x, y}]
		if !ok {
			i = int32(len(g.x))
			ids[[2]float64{x, y}] = i
			g.x, g.y = append(g.x, x), append(g.y, y)
		}
		return i
	}
	type use struct{ a, b, times int32 }
	var uses []use
	for _, r := range rings {
		for i := 0; i+3 < len(r); i += 2 {
			u := use{id(r[i], r[i+1]), id(r[i+2], r[i+3]), 1}
			if u.a > u.b {
				u = use{u.b, u.a, -1}
			}
			uses = append(uses, u)
		}
	}
	slices.SortFunc(uses, func(u, v use) int { return cmp.Or(cmp.Compare(u.a, v.a), cmp.Compare(u.b, v.b)) })
	g.out = make([][]int32, len(g.x))
	for i := 0; i < len(uses); {
		u := uses[i]
		for i++; i < len(uses) && uses[i].a == u.a && uses[i].b == u.b; i++ {
			u.times += uses[i].times
		}
		if u.times != 0 {
			h := int32(len(g.from))
			g.from = append(g.from, u.a, u.b)
			g.times = append(g.times, u.times, -u.times)
			g.out[u.a] = append(g.out[u.a], h)
			g.out[u.b] = append(g.out[u.b], h+1)
		}
	}
	g.place = make([]int32, len(g.from))
	for _, o := range g.out {
		slices.SortFunc(o, g.byAngle)
		for i, h := range o {
			g.place[h] = int32(i)
		}
	}
	return g
}

// byAngle orders half-edges from one point by direction, from -180 degrees
// (exclusive) to 180.
func (g *graph) byAngle(a, b int32) int {
	c, p, q := g.from[a], g.to(a), g.to(b)
	upper := func(i int32) bool { return g.y[i] > g.y[c] || g.y[i] == g.y[c] && g.x[i] < g.x[c] }
	if ua, ub := upper(p), upper(q); ua != ub {
		if ub {
			return -1
		}
		return 1
	}
	return -ring.Orient(g.x[c], g.y[c], g.x[p], g.y[p], g.x[q], g.y[q])
}

// wind finds the winding number of every face.
func (g *graph) wind(around func(x, y float64) int) {
	n := int32(len(g.from))
	g.cycle = make([]int32, n)
	for h := range g.cycle {
		g.cycle[h] = -1
	}
	var starts []int32
	for h := range n {
		if g.cycle[h] >= 0 {
			continue
		}
		for i := h; g.cycle[i] < 0; i = g.turnLeft(i) {
			g.cycle[i] = int32(len(starts))
		}
		starts = append(starts, h)
	}
	parts, first := g.parts()
	boxes := make([]ring.Box, n/2)
	for e := range boxes {
		boxes[e] = ring.EmptyBox().Add(g.x[g.from[2*e]], g.y[g.from[2*e]]).Add(g.x[g.from[2*e+1]], g.y[g.from[2*e+1]])
	}
	tree := ring.NewTree(boxes)
	g.winding = make([]int, len(starts))
	known := make([]bool, len(starts))
	var near []int32
	for part, p := range first {
		// Left of its leftmost point a part sees only other parts.
		x, y := g.x[p], g.y[p]
		w := around(x, y)
		near = tree.Search(ring.Box{MinX: math.Inf(-1), MinY: y, MaxX: x, MaxY: y}, near[:0])
		for _, e := range near {
			if parts[g.from[2*e]] != int32(part) {
				w += int(g.times[2*e]) * g.passes(2*e, x, y)
			}
		}
		o := g.out[p]
		c := g.cycle[o[len(o)-1]]
		g.winding[c], known[c] = w, true
		for queue := []int32{c}; len(queue) > 0; queue = queue[1:] {
			c := queue[0]
			for h := starts[c]; ; {
				if t := g.cycle[h^1]; !known[t] {
					g.winding[t], known[t] = g.winding[c]-int(g.times[h]), true
					queue = append(queue, t)
				}
				if h = g.turnLeft(h); h == starts[c] {
					break
				}
			}
		}
	}
}

// passes returns 1 where half-edge h runs down on the left of (x, y), -1 where
// it runs up there, and 0 otherwise.
func (g *graph) passes(h int32, x, y float64) int {
	return passes(g.x[g.from[h]], g.y[g.from[h]], g.x[g.to(h)], g.y[g.to(h)], x, y)
}

func passes(ax, ay, bx, by, x, y float64) int {
	down := by <= y
	if (ay <= y) == down {
		return 0
	}
	o := ring.Orient(ax, ay, bx, by, x, y)
	switch {
	case down && o > 0:
		return 1
	case !down && o < 0:
		return -1
	}
	return 0
}

// parts numbers the connected parts of the graph: the part of each point, and
// the leftmost, lowest point of each part. Points without edges have none.
func (g *graph) parts() (part, first []int32) {
	part = make([]int32, len(g.x))
	for p := range part {
		part[p] = -1
	}
	for p := range g.x {
		if part[p] >= 0 || len(g.out[p]) == 0 {
			continue
		}
		id, best := int32(len(first)), int32(p)
		part[p] = id
		for stack := []int32{int32(p)}; len(stack) > 0; {
			q := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			if g.x[q] < g.x[best] || g.x[q] == g.x[best] && g.y[q] < g.y[best] {
				best = q
			}
			for _, h := range g.out[q] {
				if t := g.to(h); part[t] < 0 {
					part[t] = id
					stack = append(stack, t)
				}
			}
		}
		first = append(first, best)
	}
	return part, first
}

// boundary returns the rings, as points, around the faces of positive winding
// number. Rings around a connected area are cut apart where they touch
// themselves.
func (g *graph) boundary() [][]int32 {
	bounds := func(h int32) bool { return g.winding[g.cycle[h]] > 0 && g.winding[g.cycle[h^1]] <= 0 }
	seen := make([]bool, len(g.from))
	where := make([]int32, len(g.x)) // 1 + place on the path
	var out [][]int32
	for h := range int32(len(g.from)) {
		if seen[h] || !bounds(h) {
			continue
		}
		var path []int32
		for i := h; !seen[i]; {
			seen[i] = true
			p := g.from[i]
			if k := where[p]; k > 0 {
				out = append(out, slices.Clone(path[k-1:]))
				for _, q := range path[k-1:] {
					where[q] = 0
				}
				path = path[:k-1]
			}
			path = append(path, p)
			where[p] = int32(len(path))
			for i = g.turnLeft(i); !bounds(i); {
				i = g.turnLeft(i ^ 1)
			}
		}
		for _, q := range path {
			where[q] = 0
		}
		out = append(out, path)
	}
	return out
}
