// Package fit turns outlines made of short straight lines into few lines and curves, for files that can hold curves.
//
// An outline is flat coordinates x, y, x, y ... of any unit, closed if its last point repeats the first. No point of the
// result is further than the tolerance, in the same unit, from the outline, nor the other way round. Where the outline
// turns sharply it keeps its corner exactly; where it bends little by little the curve runs on without a kink, as much
// outside the lines as inside them; what is straight stays a line.
package fit

import "math"

// Kind is what a Segment is.
type Kind uint8

// The kinds of segments. A Move stands first and only there.
const (
	Move Kind = iota
	Line
	Curve
)

// Segment goes from where the one before ended to (X, Y). A Curve is the cubic Bezier curve with the control points
// (X1, Y1) and (X2, Y2).
type Segment struct {
	Kind           Kind
	X1, Y1, X2, Y2 float64
	X, Y           float64
}

// outline is the points to fit, each once, and what is known of them.
type outline struct {
	x, y   []float64
	closed bool
	tol    float64

	// Of the edge from each point to the next: length and direction.
	l, dx, dy []float64
	// Of each point: the tangent of half its turn, positive from x toward y, and whether it is a corner.
	half   []float64
	corner []bool
	// Of each edge: whether it is a line of its own.
	line []bool
}

const (
	// surely is the tangent of half the turn that is a corner whatever is about it: 60 degrees.
	surely = 0.577
	// perhaps is that of a turn which is a corner if it is so many times those beside it: 25 degrees.
	perhaps = 0.222
	stand   = 2.2
	// bulge is how many times the tolerance an edge or corner may be off the curve through the middles beside it, which
	// least squares will bring nearer.
	bulge = 1.3
)

func newOutline(points []float64, tolerance float64) *outline {
	n := len(points) / 2
	o := &outline{tol: tolerance}
	o.closed = n > 2 && points[0] == points[2*n-2] && points[1] == points[2*n-1]
	if o.closed {
		n--
	}
	buf := make([]float64, 6*n)
	o.x, o.y, buf = buf[:0:n], buf[n:n:2*n], buf[2*n:]
	for i := range n {
		x, y := points[2*i], points[2*i+1]
		if k := len(o.x) - 1; k >= 0 && o.x[k] == x && o.y[k] == y {
			continue
		}
		o.x, o.y = append(o.x, x), append(o.y, y)
	}
	for k := len(o.x) - 1; o.closed && k > 0 && o.x[k] == o.x[0] && o.y[k] == o.y[0]; k-- {
		o.x, o.y = o.x[:k], o.y[:k]
	}
	n2 := n
	n = len(o.x)
	o.l, o.dx, o.dy, o.half = buf[:n], buf[n2:n2+n], buf[2*n2:2*n2+n], buf[3*n2:3*n2+n]
	flags := make([]bool, 2*n)
	o.corner, o.line = flags[:n], flags[n:]
	for i := range n {
		j := o.after(i)
		dx, dy := o.x[j]-o.x[i], o.y[j]-o.y[i]
		l := math.Sqrt(dx*dx + dy*dy)
		o.l[i] = l
		if l > 0 {
			o.dx[i], o.dy[i] = dx/l, dy/l
		}
	}
	o.findCorners()
	o.findLines()
	return o
}

func (o *outline) after(i int) int {
	if i++; i == len(o.x) {
		return 0
	}
	return i
}

func (o *outline) before(i int) int {
	if i == 0 {
		i = len(o.x)
	}
	return i - 1
}

// findCorners decides which points stay sharp: those that turn much, or much more than the points beside them, or
// where a curve from the middle of one edge to that of the next would leave the outline by more than the tolerance.
func (o *outline) findCorners() {
	n := len(o.x)
	for i := range n {
		if !o.closed && (i == 0 || i == n-1) {
			continue
		}
		h := o.before(i)
		sin, cos := o.dx[h]*o.dy[i]-o.dy[h]*o.dx[i], o.dx[h]*o.dx[i]+o.dy[h]*o.dy[i]
		if cos < -0.99 {
			o.half[i] = math.Copysign(14, sin)
		} else {
			o.half[i] = sin / (1 + cos)
		}
	}
	for i := range n {
		if !o.closed && (i == 0 || i == n-1) {
			o.corner[i] = true
			continue
		}
		t := math.Abs(o.half[i])
		if t < 1e-3 {
			continue
		}
		// A curve that leaves two edges at the distance d from their corner passes it by d tan(turn/4).
		d := min(o.l[o.before(i)], o.l[i]) / 2
		if t > surely || d*t/(1+math.Sqrt(1+t*t)) > bulge*o.tol {
			o.corner[i] = true
			continue
		}
		if t > perhaps {
			s := math.Copysign(stand, o.half[i])
			a, b := o.half[o.before(i)], o.half[o.after(i)]
			o.corner[i] = t > s*a && t > s*b
		}
	}
}

// findLines decides which edges are lines of their own: those that a curve with the turns of their ends would leave by
// more than the tolerance, and those between corners.
func (o *outline) findLines() {
	n := len(o.x)
	for i := range n {
		j := o.after(i)
		if o.corner[i] && o.corner[j] {
			o.line[i] = true
			continue
		}
		a, b := math.Abs(o.half[i]), math.Abs(o.half[j])
		if o.corner[i] {
			a = b
		} else if o.corner[j] {
			b = a
		}
		o.line[i] = o.l[i]*(a+b)/8 > bulge*o.tol
	}
	if !o.closed {
		o.line[n-1] = true // there is none
	}
}

// start is a point from which the outline can be gone along: the first one that ends a section, or -1 if it is all one
// smooth curve.
func (o *outline) start() int {
	if !o.closed {
		return 0
	}
	for i := range o.x {
		if o.corner[i] || o.line[i] || o.line[o.before(i)] {
			return i
		}
	}
	return -1
}

// round gives the circle that the outline is, if it is one: the centre of its area and the radius of a circle as large.
func (o *outline) round() (x, y, r float64, ok bool) {
	n := len(o.x)
	if n < 5 {
		return 0, 0, 0, false
	}
	var area, cx, cy float64
	x0, y0 := o.x[0], o.y[0]
	for i := range n {
		j := o.after(i)
		ax, ay, bx, by := o.x[i]-x0, o.y[i]-y0, o.x[j]-x0, o.y[j]-y0
		c := ax*by - bx*ay
		area += c
		cx += c * (ax + bx)
		cy += c * (ay + by)
	}
	if area == 0 {
		return 0, 0, 0, false
	}
	x, y = x0+cx/(3*area), y0+cy/(3*area)
	r = math.Sqrt(math.Abs(area) / (2 * math.Pi))
	if r > 900*o.tol {
		return 0, 0, 0, false // four curves are 0.03 % off
	}
	for i := range n {
		j := o.after(i)
		if math.Abs(math.Hypot(o.x[i]-x, o.y[i]-y)-r) > 0.7*o.tol ||
			math.Abs(math.Hypot((o.x[i]+o.x[j])/2-x, (o.y[i]+o.y[j])/2-y)-r) > 0.7*o.tol {
			return 0, 0, 0, false
		}
	}
	return x, y, math.Copysign(r, area), true
}
