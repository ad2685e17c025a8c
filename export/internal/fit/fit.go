// Package fit lays cubic curves or circular arcs through the vertices of lines.
//
// A line is a list of points, in one unit throughout; a closed one joins its last point to its first and does not repeat it. The result
// runs through the line's sharp corners and along its long straight edges as they are; runs of short edges that turn little become
// curves or arcs. No point of the result is further from the line than the tolerance, and no point of the line further from the
// result. The shape of the result of a
// closed line does not depend on where that starts; the result starts there, or next to it where a corner is rounded.
package fit

import "math"

// Point is a place in the plane.
type Point struct{ X, Y float64 }

func (p Point) add(q Point) Point     { return Point{p.X + q.X, p.Y + q.Y} }
func (p Point) sub(q Point) Point     { return Point{p.X - q.X, p.Y - q.Y} }
func (p Point) times(f float64) Point { return Point{p.X * f, p.Y * f} }
func (p Point) dot(q Point) float64   { return p.X*q.X + p.Y*q.Y }
func (p Point) cross(q Point) float64 { return p.X*q.Y - p.Y*q.X }
func (p Point) length() float64       { return math.Sqrt(p.X*p.X + p.Y*p.Y) }

func (p Point) unit() Point {
	if n := p.length(); n > 0 {
		return p.times(1 / n)
	}
	return Point{1, 0}
}

// A Segment runs from where the one before it ends to End: straight, or, if Curved, as the cubic Bézier curve with the control points C1
// and C2, or, if it is of Arcs and Bulge is not 0, as the arc whose included angle has Bulge for the tangent of its quarter, positive
// where it turns from the x axis to the y axis.
type Segment struct {
	C1, C2, End Point
	Curved      bool
	Bulge       float64
}

// Cubics fits curves to the line, of two points or more.
func Cubics(line []Point, closed bool, tolerance float64) (start Point, segments []Segment) {
	return newFitter(line, closed, tolerance).run((*fitter).cubic)
}

// Arcs fits arcs to the line, of two points or more.
func Arcs(line []Point, closed bool, tolerance float64) (start Point, segments []Segment) {
	return newFitter(line, closed, tolerance).run((*fitter).arc)
}

// A fitter holds a line turned so that it starts at a place that depends on its shape alone; a closed one repeats that
// point at its end.
type fitter struct {
	pts       []Point
	start     int // vertex at which the given line started
	tolerance float64
	joints    []joint
	flat      []Point // scratch, as is samples
	samples   []sample
}

// A joint says how the result passes a vertex: as a corner, or with a tangent, then a little inside the turn. Where one of its edges
// is too long for the vertex's turn to be a bend of it, that edge is straight; where both are, the vertex is a corner.
type joint struct {
	at                           Point
	corner                       bool
	tangent                      Point
	straightBefore, straightNext bool
}

func newFitter(line []Point, closed bool, tolerance float64) *fitter {
	f := &fitter{tolerance: tolerance}
	first := 0
	if closed && len(line) > 2 {
		first = sharpest(line)
		f.start = (len(line) - first) % len(line)
	}
	f.pts = append(append(make([]Point, 0, len(line)+1), line[first:]...), line[:first]...)
	if closed {
		f.pts = append(f.pts, f.pts[0])
	}
	f.joints = make([]joint, len(f.pts))
	last := len(f.pts) - 1
	for i := range f.joints {
		switch {
		case i > 0 && i < last:
			f.joints[i] = f.joint(f.pts[i-1], f.pts[i], f.pts[i+1])
		case closed && last > 1:
			f.joints[i] = f.joint(f.pts[last-1], f.pts[0], f.pts[1])
		default:
			f.joints[i] = joint{at: f.pts[i], corner: true}
		}
	}
	return f
}

// sharpest is the vertex of a closed line with the greatest turn, of several the one furthest left, of those the one furthest up.
func sharpest(line []Point) int {
	best, most := 0, -1.0
	for i, p := range line {
		before, after := line[(i+len(line)-1)%len(line)], line[(i+1)%len(line)]
		a, b := p.sub(before).unit(), after.sub(p).unit()
		turn := math.Round(1e6*(1-a.dot(b))) / 1e6
		q := line[best]
		if turn > most || turn == most && (p.X < q.X || p.X == q.X && p.Y < q.Y) {
			best, most = i, turn
		}
	}
	return best
}

// joint judges a vertex. Were an edge of length L the chord of a circle that turns by the same angle θ from chord to chord, the circle
// would rise above it by L·tan(θ/4)/2, which is about L·tan(θ/2)/4. An edge that would have to depart by more than twice the
// tolerance, once to either side, is not such a chord.
func (f *fitter) joint(before, at, after Point) joint {
	a, b := at.sub(before), after.sub(at)
	la, lb := a.length(), b.length()
	turn := math.Atan2(math.Abs(a.cross(b)), a.dot(b))
	rise := math.Tan(turn/2) / 4
	j := joint{at: at}
	j.straightBefore, j.straightNext = la*rise > 2*f.tolerance, lb*rise > 2*f.tolerance
	switch {
	case turn > maxTurn && min(la, lb) > 2*f.tolerance || j.straightBefore && j.straightNext:
		return joint{at: at, corner: true}
	case j.straightBefore:
		j.tangent = a.unit()
	case j.straightNext:
		j.tangent = b.unit()
	default:
		j.tangent = circleTangent(before, at, after)
		// A curve through the vertex would depart from the middles of the edges by their whole rise.
		inside := Point{-j.tangent.Y, j.tangent.X}.times(math.Copysign(1, a.cross(b)))
		j.at = at.add(inside.times(min(min(la, lb)*rise/2, mostInside*f.tolerance)))
	}
	return j
}

// maxTurn is the turn from which a vertex is a corner however short its edges are, as long as one can see them.
const maxTurn = 75 * math.Pi / 180

// mostInside is how far a joint may lie from its vertex, as a share of the tolerance.
const mostInside = 0.9

// straight says whether edge i, from vertex i to the next, stays as it is.
func (f *fitter) straight(i int) bool {
	return f.joints[i].straightNext || f.joints[i+1].straightBefore || f.joints[i].corner && f.joints[i+1].corner
}

// run goes through the line and replaces each run of edges between corners and straight edges by as few segments as it can find.
func (f *fitter) run(replace func(f *fitter, from, to int) (Segment, bool)) (Point, []Segment) {
	var out []Segment
	var spans []int // the vertex at which each begins
	for i, last := 0, len(f.pts)-1; i < last; {
		end := i // of the run
		for end < last && !f.straight(end) && (end == i || !f.joints[end].corner) {
			end++
		}
		if end == i {
			out, spans = append(out, Segment{End: f.joints[i+1].at}), append(spans, i)
			i++
			continue
		}
		for i < end {
			s, to := f.longest(i, end, replace)
			out, spans = append(out, s), append(spans, i)
			i = to
		}
	}
	return f.begin(f.start, out, spans)
}

// longest returns a segment from vertex i that replaces many edges, up to vertex to, at most end, found by doubling and then
// halving the stride; or the edge itself.
func (f *fitter) longest(i, end int, replace func(f *fitter, from, to int) (Segment, bool)) (best Segment, to int) {
	best, to = Segment{End: f.joints[i+1].at}, i+1
	if s, ok := replace(f, i, to); ok {
		best = s
	}
	growing := true
	for step := 1; step > 0; {
		next := min(to+step, end)
		s, ok := Segment{}, false
		if next > to {
			s, ok = replace(f, i, next)
		}
		if ok {
			best, to = s, next
		}
		growing = growing && ok
		if growing {
			step *= 2
		} else {
			step /= 2
		}
	}
	return best, to
}
