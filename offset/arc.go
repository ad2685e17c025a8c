package offset

import "math"

// arc is a round join: the points at distance d from (x, y) in the directions
// that the unit vector (mx, my) takes when it is turned by -2·atan(end) to
// 2·atan(end), counter-clockwise with y up: by no more than a right angle each
// way. A place on it is the tangent of half the angle from its middle: with
// that all of an arc is worked out without angles.
type arc struct {
	x, y, mx, my float64
	end          float64 // the place of the end; the start is at -end
	cos, sin     float64 // of the angle from the middle to the end
}

// newArc returns the arc around the start of edge b, from the normal of edge a
// to that of b.
func newArc(a, b *edge) arc {
	cross, dot := a.ux*b.uy-a.uy*b.ux, a.ux*b.ux+a.uy*b.uy
	r := arc{x: b.x, y: b.y}
	// The normals' sum and the directions' difference both run along the
	// middle: the longer is the more precise.
	if dot >= 0 {
		r.cos = math.Sqrt((1 + dot) / 2)
		r.sin = math.Abs(cross) / (2 * r.cos)
		r.mx, r.my = (a.uy+b.uy)/(2*r.cos), -(a.ux+b.ux)/(2*r.cos)
	} else {
		r.sin = math.Sqrt((1 - dot) / 2)
		r.cos = math.Abs(cross) / (2 * r.sin)
		r.mx, r.my = (a.ux-b.ux)/(2*r.sin), (a.uy-b.uy)/(2*r.sin)
	}
	r.end = r.sin / (1 + r.cos)
	return r
}

// at returns the point at place t.
func (a *arc) at(d, t float64) (x, y float64) {
	f := d / (1 + t*t)
	cos, sin := (1-t*t)*f, 2*t*f
	return a.x + cos*a.mx - sin*a.my, a.y + cos*a.my + sin*a.mx
}

// local returns a point seen from the centre, with the middle direction as x.
func (a *arc) local(x, y float64) (float64, float64) {
	dx, dy := x-a.x, y-a.y
	return dx*a.mx + dy*a.my, dy*a.mx - dx*a.my
}

// tanBetween returns the tangent of half the angle from place t to place u.
func tanBetween(t, u float64) float64 { return (u - t) / (1 + t*u) }

// direction is a unit vector, and the piece that an arc meets there.
type direction struct {
	x, y, dot float64
	by        int32
}

// take replaces the direction by (x, y) if that lies on the given side (1:
// counter-clockwise) of (nx, ny) and further from it.
func (c *direction) take(x, y, nx, ny, side float64, by int32) {
	if dot := x*nx + y*ny; dot < c.dot && (nx*y-ny*x)*side >= 0 {
		*c = direction{x, y, dot, by}
	}
}

// place returns the place of the direction on an arc, or one beyond its ends.
func (c *direction) place() float64 {
	if c.x < -0.5 {
		return math.Copysign(2, c.y)
	}
	return c.y / (1 + c.x)
}

// within returns the places at which an arc around the origin, its middle along
// x, comes within d of edge k, whose ends are (xc, yc) and (xe, ye): from v.a to
// v.b, or where it is split all but those from v.b to v.a.
//
// A point d·u of the circle is nearer than d to q where u·q > |q|²/(2d): the
// directions within acos(|q|/2d) of q. Those of the points of a segment join up
// to one stretch, which holds the direction of its nearest point.
func (s *source) within(k int32, xc, yc, xe, ye float64) (v interval, split, ok bool) {
	d, l := s.d, s.edges[k].length
	tx, ty := (xe-xc)/l, (ye-yc)/l
	foot := -(xc*tx + yc*ty) // the origin's place along the edge
	nx, ny := xc+foot*tx, yc+foot*ty
	if foot <= 0 {
		nx, ny = xc, yc
	} else if foot >= l {
		nx, ny = xe, ye
	}
	reach := 4 * d * d
	near := nx*nx + ny*ny
	if near >= reach {
		return v, false, false
	}
	var from, to direction // clockwise and counter-clockwise ends
	if near < 1e-24*d*d {
		// The edge touches the centre: it covers the half circle before
		// it, or all but two points where it goes on behind.
		if foot > 0 && foot < l && min(foot, l-foot) > 1e-12*d {
			return interval{math.Inf(-1), math.Inf(1), loose, loose}, false, true
		}
		if nx, ny = tx, ty; 2*foot > l {
			nx, ny = -tx, -ty
		}
		from, to = direction{ny, -nx, 0, movedBy(k)}, direction{-ny, nx, 0, movedBy(k)}
	} else {
		from.dot, to.dot = math.Inf(1), math.Inf(1)
		half := 1 / (2 * d)
		if r := xc*xc + yc*yc; r < reach {
			tan := math.Sqrt(reach/r - 1)
			from.take((xc+yc*tan)*half, (yc-xc*tan)*half, nx, ny, -1, joinAt(k))
			to.take((xc-yc*tan)*half, (yc+xc*tan)*half, nx, ny, 1, joinAt(k))
		}
		if r := xe*xe + ye*ye; r < reach {
			tan := math.Sqrt(reach/r - 1)
			from.take((xe+ye*tan)*half, (ye-xe*tan)*half, nx, ny, -1, joinAt(k+1))
			to.take((xe-ye*tan)*half, (ye+xe*tan)*half, nx, ny, 1, joinAt(k+1))
		}
		// On the edge's strip the circle keeps a distance of d from its
		// line where u·m = 1 - h/d, with h > 0 the origin's distance and m
		// the line's normal toward the origin.
		mx, my := -ty, tx
		h := tx*-yc + ty*xc
		if h < 0 {
			mx, my, h = ty, -tx, -h
		}
		if c := 1 - h/d; c > -1 {
			sin := math.Sqrt(max(1-c*c, 0))
			for _, sin := range [2]float64{sin, -sin} {
				if f := foot + d*sin; f > 0 && f < l {
					// Toward m's left the stretch begins, toward its right it ends.
					if x, y := c*mx+sin*tx, c*my+sin*ty; (mx*ty-my*tx)*sin > 0 {
						from.take(x, y, nx, ny, -1, movedBy(k))
					} else {
						to.take(x, y, nx, ny, 1, movedBy(k))
					}
				}
			}
		}
		if math.IsInf(from.dot, 1) || math.IsInf(to.dot, 1) {
			return v, false, false
		}
	}
	v = interval{from.place(), to.place(), from.by, to.by}
	// Whether the stretch holds the direction opposite to the middle.
	opposite := -nx
	if ny >= 0 {
		split = opposite > to.dot
	} else {
		split = opposite > from.dot
	}
	return v, split, split || v.a < v.b
}
