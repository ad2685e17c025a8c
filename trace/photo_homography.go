package trace

import "math"

// A vec2 is a point or a direction in a plane, x right and y down.
type vec2 struct{ x, y float64 }

func (a vec2) sub(b vec2) vec2      { return vec2{a.x - b.x, a.y - b.y} }
func (a vec2) add(b vec2) vec2      { return vec2{a.x + b.x, a.y + b.y} }
func (a vec2) mul(f float64) vec2   { return vec2{a.x * f, a.y * f} }
func (a vec2) dot(b vec2) float64   { return a.x*b.x + a.y*b.y }
func (a vec2) cross(b vec2) float64 { return a.x*b.y - a.y*b.x }
func (a vec2) norm() float64        { return math.Hypot(a.x, a.y) }

// A homography maps one plane to another as a camera does: straight lines stay
// straight. Its nine numbers are rows of a 3 x 3 matrix on (x, y, 1).
type homography [9]float64

func (h *homography) at(p vec2) vec2 {
	w := h[6]*p.x + h[7]*p.y + h[8]
	return vec2{(h[0]*p.x + h[1]*p.y + h[2]) / w, (h[3]*p.x + h[4]*p.y + h[5]) / w}
}

// after gives the map that applies g, then h.
func (h *homography) after(g *homography) *homography {
	var m homography
	for r := range 3 {
		for c := range 3 {
			for k := range 3 {
				m[3*r+c] += h[3*r+k] * g[3*k+c]
			}
		}
	}
	return &m
}

// inverse is the way back, by the adjugate; nil where there is none.
func (h *homography) inverse() *homography {
	a := &homography{
		h[4]*h[8] - h[5]*h[7], h[2]*h[7] - h[1]*h[8], h[1]*h[5] - h[2]*h[4],
		h[5]*h[6] - h[3]*h[8], h[0]*h[8] - h[2]*h[6], h[2]*h[3] - h[0]*h[5],
		h[3]*h[7] - h[4]*h[6], h[1]*h[6] - h[0]*h[7], h[0]*h[4] - h[1]*h[3],
	}
	det := h[0]*a[0] + h[1]*a[3] + h[2]*a[6]
	if det == 0 || math.IsNaN(det) || math.IsInf(det, 0) {
		return nil
	}
	for i := range a {
		a[i] /= det
	}
	return a
}

// homographyFrom solves for the map that takes each from[i] to to[i]: two
// linear equations a point in eight unknowns, the ninth being 1 (the direct
// linear transform; Hartley and Zisserman, Multiple View Geometry, 4.1). It is
// nil where three points lie on a line.
func homographyFrom(from, to [4]vec2) *homography {
	if onLine(from) || onLine(to) {
		return nil
	}
	var m [8][9]float64
	for i := range 4 {
		f, t := from[i], to[i]
		m[2*i] = [9]float64{f.x, f.y, 1, 0, 0, 0, -f.x * t.x, -f.y * t.x, t.x}
		m[2*i+1] = [9]float64{0, 0, 0, f.x, f.y, 1, -f.x * t.y, -f.y * t.y, t.y}
	}
	if !eliminate(m[:]) {
		return nil
	}
	h := homography{8: 1}
	for i := range 8 {
		h[i] = m[i][8]
	}
	return &h
}

// onLine tells whether three of the points lie on a line.
func onLine(p [4]vec2) bool {
	size := p[2].sub(p[0]).norm() + p[3].sub(p[1]).norm()
	for i := range p {
		a, b := p[(i+1)%4].sub(p[i]), p[(i+2)%4].sub(p[i])
		if !(math.Abs(a.cross(b)) > 1e-9*size*size) {
			return true
		}
	}
	return false
}

// eliminate solves the augmented system in place (Gauss-Jordan with partial
// pivoting) and leaves the answer in the last column.
func eliminate(m [][9]float64) bool {
	n := len(m)
	for c := range n {
		best := c
		for r := c + 1; r < n; r++ {
			if math.Abs(m[r][c]) > math.Abs(m[best][c]) {
				best = r
			}
		}
		m[c], m[best] = m[best], m[c]
		pivot := m[c][c]
		if !(math.Abs(pivot) > 1e-12) {
			return false
		}
		for k := c; k < 9; k++ {
			m[c][k] /= pivot
		}
		for r := range n {
			if f := m[r][c]; r != c && f != 0 {
				for k := c; k < 9; k++ {
					m[r][k] -= f * m[c][k]
				}
			}
		}
	}
	return true
}

// rotation turns by an angle in radians, clockwise as seen (y is down), about c.
func rotation(angle float64, c vec2) *homography {
	s, k := math.Sincos(angle)
	return &homography{k, -s, c.x - k*c.x + s*c.y, s, k, c.y - s*c.x - k*c.y, 0, 0, 1}
}
