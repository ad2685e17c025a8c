package trace

import (
	"math"
	"slices"
)

// A straightener draws the outline that a traced ring most likely stood for: few straight lines, each the best fit to
// a stretch of the ring, that meet where the stretches do. Pixel steps and noise average out along a stretch, a line
// lies as much inside a bend as outside, so that areas keep their size, and a corner that the pixels cut off is sharp
// again where the lines of its two sides meet.
//
// A hard ring is de-stepped first (straight_steps.go). Douglas and Peucker's rule finds stretches; each break moves to
// where the two beside it fit best, breaks that nothing needs are dropped, stretches that bulge too much are halved
// (straight_breaks.go, straight_merge.go), and the two breaks beside a cut-off corner become one (straight_ends.go). The time is in
// proportion to the ring's vertices, but for Douglas and Peucker's halvings.
//
// Hoshyari et al. 2018 (see corner.go) and Dominici et al., "PolyFit: perception-aligned vectorization of raster
// clip-art via intermediate polygonal fitting", ACM Transactions on Graphics 39(4), 2020, showed what people expect of
// such an outline, and that a polygon is the first thing to look for.
type straightener struct {
	tolerance float64 // pixels
	shares    shares
	w, h      float64 // of the picture

	raw   []float64 // the ring
	first int       // its first anchor
	hard  bool

	n      int
	p      []float64 // x, y of the ring's vertices from an anchor on, in pixels from the first
	sum    []moments // of all vertices before one, also past the ring's end: see upTo
	dist   []float64 // how far along the ring a vertex lies, with half of what it stands for
	loss   float64   // more than rounding takes from a residue
	blur   float64   // the more usual loss: residues that differ by less are equal
	breaks []int32   // vertices between stretches, growing
	spare  []int32
	calm   [][2]int32 // of a vertex: the breaks before and after between which it stays one; see settle
	need   []need     // of a vertex: how much it is needed as a break; see merge
	lines  []line     // the kth from the kth break on
	tips   []tip
	ends   []float64 // how much of each break's stretches is left out of their lines
	stairs []stair
	keys   []key
	fixed  []bool // lines that are level, upright or at half a right angle
	out    []float64
	holder holder
}

const (
	// straightTolerance is the default tolerance in pixels.
	straightTolerance = 0.5
	// vertexNoise is the mean squared distance in pixels of vertices from the true edge that is no bulge: by linear
	// interpolation between pixels that hold an area's share, or left over after de-stepping.
	vertexNoise = 0.0015
	// hardEdge is what the edge of a hard picture is known to in pixels: half a one, and a little as that is a distance
	// that pixels often have. De-stepped vertices are nearer to it, but not beside corners.
	hardEdge = 0.501
	// digitalLength is the least length in pixels of steps that are told to be a straight line's, digitalSlack what that
	// line may miss a pixel's middle by, and digitalResidue the mean squared distance of its de-stepped vertices that is
	// worth a look.
	digitalLength  = 30.0
	digitalSlack   = 0.05
	digitalResidue = 0.06
	// tie is the part by which lengths and their squares may differ and be taken as equal.
	tie = 1e-9
	// fewestVertices is the least that lines are fitted to: a ring round one pixel has four, round two six.
	fewestVertices = 8
)

// shares say how long stretches are, by their bulges in parts of the tolerance: up to merge a break is not needed, from
// halve on a stretch is too long, and from turning on if it turns by so many radians.
type shares struct{ merge, halve, turning, turn float64 }

// With these there are at most a tenth more nodes than Douglas and Peucker's line at the tolerance has, half of whose
// stretches bulge by less than half of it. Small bends get shorter stretches, since the direction of a line is off by a
// share of its turn. Those of hard pictures are off by pixel steps as well, which they make up for with some nodes more.
var (
	greyShares = shares{merge: 0.42, halve: 0.65, turning: 0.3, turn: 0.2}
	hardShares = shares{merge: 0.2, halve: 0.6, turning: 0.3, turn: 0.12}
)

// ring straightens an open ring of vertices in pixels, flat. The course holds until the next call. Of rings too small for
// lines there is none.
func (s *straightener) ring(xy []float64, hard bool) course {
	s.n = len(xy) / 2
	if s.n < fewestVertices {
		return course{}
	}
	s.raw, s.first, s.hard = xy, s.anchors(xy), hard
	s.load(xy, s.first)
	s.shares = greyShares
	if hard {
		s.shares = hardShares
		s.destep()
	}
	if c := s.disc(xy, hard); c.nodes != nil {
		return c
	}
	s.accumulate()
	s.findBreaks()
	if len(s.breaks) < 3 {
		return course{}
	}
	s.place(xy[0], xy[1], !hard)
	return s.inOrder(s.holder.hold(course{s.breaks, s.out}.apart(), s.p[:2*s.n], bound(s.tolerance, hard)))
}

// plain gives a ring's vertices that Douglas and Peucker's line has, for rings in which no lines are found.
func (s *straightener) plain(xy []float64) course {
	s.n = len(xy) / 2
	if s.n == 0 {
		return course{}
	}
	s.raw, s.first = xy, s.anchors(xy)
	s.load(xy, s.first)
	s.rule()
	s.out = s.out[:0]
	for _, b := range s.breaks {
		s.out = append(s.out, s.p[2*b], s.p[2*b+1])
	}
	return s.inOrder(course{s.breaks, s.out})
}

// inOrder numbers a course's nodes as the ring has its vertices, and moves them to where it is.
func (s *straightener) inOrder(c course) course {
	for i := range c.nodes {
		c.nodes[i] += int32(s.first)
		if c.nodes[i] >= int32(s.n) {
			c.nodes[i] -= int32(s.n)
		}
		c.at[2*i] += s.raw[0]
		c.at[2*i+1] += s.raw[1]
	}
	return c
}

// bound is how far from its vertices a line may be in pixels.
func bound(tolerance float64, hard bool) float64 {
	if hard {
		return tolerance + hardEdge
	}
	return tolerance
}

// load takes the ring over from its vertex first on.
func (s *straightener) load(xy []float64, first int) {
	x0, y0 := xy[0], xy[1]
	if cap(s.p) < len(xy)+2 {
		s.p = make([]float64, len(xy)+2+len(xy)/4)
	}
	s.p = s.p[:len(xy)+2]
	j := 0
	for _, part := range [2][]float64{xy[2*first:], xy[:2*first]} {
		for i := 0; i+1 < len(part); i += 2 {
			s.p[j] = part[i] - x0
			s.p[j+1] = part[i+1] - y0
			j += 2
		}
	}
	s.p[j], s.p[j+1] = s.p[0], s.p[1]
}

// moments are sums over vertices, each weighted by the length of edge that it stands for.
type moments struct{ w, x, y, xx, xy, yy float64 }

// accumulate fills sum and dist.
func (s *straightener) accumulate() {
	n := s.n
	s.sum, s.dist = slices.Grow(s.sum[:0], n+1), slices.Grow(s.dist[:0], n)
	sum, dist, p := s.sum[:n+1], s.dist[:n], s.p[:2*n+2]
	var m moments
	k := 2 * (n - 1)
	x, y := p[0], p[1]
	before := edge(p[k]-x, p[k+1]-y)
	far := 0.0
	for i := range dist {
		sum[i] = m
		nextX, nextY := p[2*i+2], p[2*i+3]
		after := edge(nextX-x, nextY-y)
		w := (before + after) / 2
		before = after
		wx, wy := w*x, w*y
		dist[i] = m.w
		m.w += w
		dist[i] = (dist[i] + m.w) / 2
		m.x += wx
		m.y += wy
		m.xx += wx * x
		m.xy += wx * y
		m.yy += wy * y
		if r := x*x + y*y; r > far {
			far = r
		}
		x, y = nextX, nextY
	}
	sum[n] = m
	s.sum, s.dist = sum, dist
	s.loss = 1e-14 * m.w * far
	s.blur = s.loss / 32
}

// upTo counts sums and distances on, past the ring's end, so that there are sums up to the ith.
func (s *straightener) upTo(i int) {
	whole := s.sum[s.n]
	for k := len(s.dist); k < i; k++ {
		m := &s.sum[k+1-s.n]
		s.sum = append(s.sum, moments{m.w + whole.w, m.x + whole.x, m.y + whole.y, m.xx + whole.xx, m.xy + whole.xy, m.yy + whole.yy})
		s.dist = append(s.dist, s.dist[k-s.n]+whole.w)
	}
}

func edge(dx, dy float64) float64 { return math.Sqrt(dx*dx + dy*dy) }

// stretch gives the moments of the vertices from a to b, both counted in; b may be past the ring's end.
func (s *straightener) stretch(a, b int) moments {
	if b >= len(s.dist) {
		s.upTo(b + 1)
	}
	lo, hi := &s.sum[a], &s.sum[b+1]
	return moments{hi.w - lo.w, hi.x - lo.x, hi.y - lo.y, hi.xx - lo.xx, hi.xy - lo.xy, hi.yy - lo.yy}
}

// spread is the mean squared distance of the vertices from a to b from their best line.
func (s *straightener) spread(a, b int) float64 {
	if b >= len(s.dist) {
		s.upTo(b + 1)
	}
	p, q := &s.sum[a], &s.sum[b+1]
	w := q.w - p.w
	return residue(w, q.x-p.x, q.y-p.y, q.xx-p.xx, q.xy-p.xy, q.yy-p.yy) / w
}

// residue is the weighted sum of the squared distances from the best line: the lesser eigenvalue of the scatter.
func (m moments) residue() float64 { return residue(m.w, m.x, m.y, m.xx, m.xy, m.yy) }

func residue(w, x, y, xx, xy, yy float64) float64 {
	f := 1 / w
	xx, xy, yy = xx-x*x*f, xy-x*y*f, yy-y*y*f
	h := xx - yy
	r := (xx + yy - math.Sqrt(h*h+4*xy*xy)) / 2
	if r < 0 {
		return 0
	}
	return r
}

// bulge is the height of the arc with the mean squared distance from its best line that the vertices have, noise apart:
// a parabola of height h has 4/45 h².
func (m moments) bulge() float64 {
	return math.Sqrt(max(0, m.residue()/m.w-vertexNoise) * 45 / 4)
}

// bulgeResidue is the mean squared distance of vertices that bulge so high.
func bulgeResidue(bulge float64) float64 { return bulge*bulge*4/45 + vertexNoise }

// line is a straight line through (x, y) along the unit vector (dx, dy).
type line struct{ x, y, dx, dy float64 }

// line is the line of least squared distances.
func (m moments) line() line {
	x, y := m.x/m.w, m.y/m.w
	xx, xy, yy := m.xx-m.x*x, m.xy-m.x*y, m.yy-m.y*y
	h := (xx - yy) / 2
	r := math.Sqrt(h*h + xy*xy)
	dx, dy := xy, r-h
	if h >= 0 {
		dx, dy = h+r, xy
	}
	if l := edge(dx, dy); l > 0 {
		return line{x, y, dx / l, dy / l}
	}
	return line{x, y, 1, 0}
}
