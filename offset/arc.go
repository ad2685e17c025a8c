package offset

import "math"

// arc is a round join: the points at distance d from (x, y) whose direction is
// turned from the unit vector (sx, sy) by 0 to turn, counter-clockwise with y up.
type arc struct {
	x, y, sx, sy   float64
	turn, cos, sin float64
}

func (a *arc) at(d, angle float64) (x, y float64) {
	sin, cos := math.Sincos(angle)
	return a.x + d*(cos*a.sx-sin*a.sy), a.y + d*(cos*a.sy+sin*a.sx)
}

// local returns a point seen from the centre, with the start direction as x.
func (a *arc) local(x, y float64) (float64, float64) {
	dx, dy := x-a.x, y-a.y
	return dx*a.sx + dy*a.sy, dy*a.sx - dx*a.sy
}

// within returns the angles at which a circle of radius d around the origin
// comes within d of edge k, whose ends are (xc, yc) and (xe, ye) in the circle's
// frame: one interval, around the direction of the edge's nearest point. It may
// begin below -π and end above π.
//
// A point d·u of the circle is nearer than d to q where u·q > |q|²/(2d): the
// directions within acos(|q|/2d) of q. Those of the points of a segment join up.
func (s *source) within(k int32, xc, yc, xe, ye float64) (interval, bool) {
	v := interval{math.Inf(1), math.Inf(-1), loose, loose}
	d, l := s.d, s.edges[k].length
	tx, ty := (xe-xc)/l, (ye-yc)/l
	foot := -(xc*tx + yc*ty) // the origin's place along the edge
	nx, ny := xc+foot*tx, yc+foot*ty
	if foot <= 0 {
		nx, ny = xc, yc
	} else if foot >= l {
		nx, ny = xe, ye
	}
	if r := nx*nx + ny*ny; r >= 4*d*d {
		return v, false
	} else if r < 1e-24*d*d {
		// The edge touches the centre: it covers the half circle before
		// it, or all but two points where it goes on behind.
		if foot > 0 && foot < l && min(foot, l-foot) > 1e-12*d {
			return interval{math.Inf(-1), math.Inf(1), loose, loose}, true
		}
		at := math.Atan2(ty, tx)
		if 2*foot > l {
			at = math.Atan2(-ty, -tx)
		}
		return interval{at - math.Pi/2, at + math.Pi/2, movedBy(k), movedBy(k)}, true
	}
	mid := math.Atan2(ny, nx)
	if r := math.Sqrt(xc*xc + yc*yc); r < 2*d {
		at, w := turned(math.Atan2(yc, xc)-mid), math.Acos(r/(2*d))
		v.add(at-w, at+w, joinAt(k))
	}
	if r := math.Sqrt(xe*xe + ye*ye); r < 2*d {
		at, w := turned(math.Atan2(ye, xe)-mid), math.Acos(r/(2*d))
		v.add(at-w, at+w, joinAt(k+1))
	}
	// On the edge's strip the circle keeps a distance of d from its line where
	// u·m = 1 - h/d, with h > 0 the origin's distance and m the line's normal
	// toward the origin: acos(1 - h/d) to both sides of m.
	mx, my := -ty, tx
	h := tx*-yc + ty*xc
	ccw := -1.0 // from m to t
	if h < 0 {
		mx, my, h, ccw = -mx, -my, -h, 1
	}
	if c := 1 - h/d; c > -1 {
		reach := d * math.Sqrt(max(1-c*c, 0))
		back := turned(math.Atan2(-my, -mx) - mid)
		w := math.Pi - math.Acos(c)
		for _, dir := range [2]float64{1, -1} { // toward t, away from t
			if f := foot + dir*reach; f <= 0 || f >= l {
				continue
			}
			if dir*ccw > 0 {
				v.add(back-w, math.Inf(-1), movedBy(k))
			} else {
				v.add(math.Inf(1), back+w, movedBy(k))
			}
		}
	}
	v.a += mid
	v.b += mid
	return v, v.a < v.b
}

// turned brings an angle into the range -π to π.
func turned(a float64) float64 {
	switch {
	case a > math.Pi:
		return a - 2*math.Pi
	case a < -math.Pi:
		return a + 2*math.Pi
	}
	return a
}
