package trace

import "math"

// A ring whose vertices all lie about as far from its middle as a circle's do is drawn as a regular polygon of as large an
// area, for lines alone make polygons with sides of their own of small discs: dots over letters, eyes, punched holes.
//
// Of discs of 3 to 40 pixels radius, at any place, vertices are at most 0.15 pixels from the circle of the same area and
// middle and 0.07 in the root mean square; of hard ones of 4 pixels and more 0.63 and 0.27. Of octagons of 6 pixels radius and
// more it is at least 0.17 and 0.09, of hard ones of 13 and more 0.8 and 0.34 (our own measurement).
const (
	discOff, discRMS         = 0.17, 0.07
	hardDiscOff, hardDiscRMS = 0.6, 0.27
	// The least radius: below it a square is as round.
	discLeast, hardDiscLeast = 3.0, 4.5
	// discSquare is by how much height and width may differ.
	discSquare, hardDiscSquare = 0.4, 1.01
	// discBulge is the height of the arc over a side in parts of the tolerance, and discSides the fewest sides: with fewer
	// their turns would be corners.
	discBulge = 0.42
	discSides = 12
)

// disc gives the nodes of a regular polygon for a ring that is round and has been loaded, in the ring's own numbers, or none.
func (s *straightener) disc(xy []float64, hard bool) course {
	off, rms, least, square := discOff, discRMS, discLeast, discSquare
	if hard {
		off, rms, least, square = hardDiscOff, hardDiscRMS, hardDiscLeast, hardDiscSquare
	}
	box := boxOf(xy)
	if w, h := box.MaxX-box.MinX, box.MaxY-box.MinY; math.Abs(w-h) > square || w < 2*least-square {
		return course{}
	}
	x, y, area := centre(s.p[:2*s.n]) // of a hard ring once it is de-stepped
	x, y = x+xy[0], y+xy[1]
	way := 1.0
	if area < 0 {
		way, area = -1, -area
	}
	r := math.Sqrt(area / math.Pi)
	sum := 0.0
	for i := 0; i < len(xy); i += 2 {
		d := edge(xy[i]-x, xy[i+1]-y) - r
		if math.Abs(d) > off {
			return course{}
		}
		sum += d * d
	}
	if r < least || sum > rms*rms*float64(len(xy)/2) {
		return course{}
	}
	c := s.polygon(xy, x, y, r, way)
	limit := bound(s.tolerance, hard)
	for k := range c.nodes {
		if c.furthest(xy, k, limit*limit) > limit*limit || c.nodeOff(xy, k) > limit*limit {
			return course{}
		}
	}
	return c
}

// polygon gives the nodes of a regular polygon about (x, y) with a circle's area and an axis between nodes, each standing for
// the vertex nearest to it. None are given where there are too few vertices.
func (s *straightener) polygon(xy []float64, x, y, r, way float64) course {
	m := len(xy) / 2
	sides := math.Pi / math.Acos(max(0.5, 1-discBulge*s.tolerance/r))
	if sides > float64(m) { // of a tiny tolerance perhaps without end
		return course{}
	}
	n := max(discSides, 4*int(math.Ceil(sides/4)))
	half := math.Pi / float64(n)
	far := r * math.Sqrt(2*half/math.Sin(2*half))
	s.spare, s.out = s.spare[:0], s.out[:0] // the anchors stay, if it comes to nothing
	first, i := 0, 0
	for k := range n {
		sin, cos := math.Sincos(way * float64(2*k+1) * half)
		px, py := x+far*cos, y+far*sin
		off := func(i int) float64 {
			j := 2 * (i % m)
			return (xy[j]-px)*(xy[j]-px) + (xy[j+1]-py)*(xy[j+1]-py)
		}
		if k == 0 {
			for v := range m {
				if off(v) < off(first) {
					first = v
				}
			}
			i = first
		} else {
			i++
		}
		for i+1 < first+m && off(i+1) <= off(i) {
			i++
		}
		if i >= first+m {
			return course{}
		}
		s.spare = append(s.spare, int32(i%m))
		s.out = append(s.out, px, py)
	}
	return course{s.spare, s.out}
}

// centre is the middle of an open ring's area, and that area as ringArea has it.
func centre(xy []float64) (x, y, area float64) {
	x0, y0 := xy[0], xy[1]
	px, py := 0.0, 0.0
	for i := 2; i < len(xy); i += 2 {
		qx, qy := xy[i]-x0, xy[i+1]-y0
		c := px*qy - py*qx
		area += c
		x, y = x+c*(px+qx), y+c*(py+qy)
		px, py = qx, qy
	}
	return x0 + x/(3*area), y0 + y/(3*area), area / 2
}
