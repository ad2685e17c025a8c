package trace

import "math"

// shape is an outline given by formulas, one unit an inch.
type shape struct {
	name  string
	rings [][]oraclePoint
}

func shapes() []shape {
	return []shape{
		{"leaf", leaf()}, {"moon", moon()}, {"boat", boat()}, {"moth", moth()}, {"lamp", lamp()},
		{"small disc", disc(0.2)}, {"disc", disc(0.5)}, {"ring", annulus(0.5, 0.35)},
		{"star of 5", star(5, 0.6, 0.25)}, {"star of 12", star(12, 0.6, 0.4)}, {"gear", gear(16, 0.6, 0.5, 0.2)},
	}
}

func disc(r float64) [][]oraclePoint { return [][]oraclePoint{circleRing(r, 1)} }

func annulus(r, inner float64) [][]oraclePoint {
	return [][]oraclePoint{circleRing(r, 1), circleRing(inner, -1)}
}

// circleRing has so many chords that none is further from it than 4e-7 of its radius; way is 1 or -1.
func circleRing(r, way float64) []oraclePoint {
	const n = 3600
	ring := make([]oraclePoint, n)
	for i := range ring {
		sin, cos := math.Sincos(way * 2 * math.Pi * float64(i) / n)
		ring[i] = oraclePoint{r * cos, r * sin}
	}
	return ring
}

// star has points at radius r and notches at radius inner.
func star(points int, r, inner float64) [][]oraclePoint {
	var ring []oraclePoint
	for i := range 2 * points {
		radius := r
		if i%2 == 1 {
			radius = inner
		}
		sin, cos := math.Sincos(math.Pi * float64(i) / float64(points))
		ring = append(ring, oraclePoint{radius * cos, radius * sin})
	}
	return [][]oraclePoint{ring}
}

// gear has teeth that stand between the radii root and tip, arcs on both, and a round hole.
func gear(teeth int, tip, root, hole float64) [][]oraclePoint {
	var ring []oraclePoint
	step := 2 * math.Pi / float64(teeth)
	for i := range teeth {
		for _, part := range []struct{ r, from, to float64 }{{tip, 0, 0.38}, {root, 0.52, 0.86}} {
			for k := range 33 {
				sin, cos := math.Sincos(step * (float64(i) + part.from + (part.to-part.from)*float64(k)/32))
				ring = append(ring, oraclePoint{part.r * cos, part.r * sin})
			}
		}
	}
	return [][]oraclePoint{ring, circleRing(hole, -1)}
}

// The lantern supper's own drawings: outlines of lines and cubic Bezier curves.

func leaf() [][]oraclePoint {
	var n pen
	n.move(0, 0)
	n.cubic(0.25, -0.35, 0.8, -0.3, 1.1, 0)
	n.cubic(0.8, 0.15, 0.3, 0.25, 0, 0)
	return n.outline()
}

func moon() [][]oraclePoint {
	var n pen
	n.move(0.5, 0)
	n.cubic(0.1, 0.05, -0.1, 0.75, 0.55, 1)
	n.cubic(0.2, 0.8, 0.2, 0.2, 0.5, 0)
	return n.outline()
}

func boat() [][]oraclePoint {
	var n pen
	n.move(-0.7, 0)
	n.line(0.75, -0.05)
	n.cubic(0.6, 0.25, 0.4, 0.32, 0.1, 0.33)
	n.cubic(-0.3, 0.34, -0.55, 0.3, -0.7, 0)
	n.move(0, -0.08)
	n.line(0.02, -0.95)
	n.cubic(0.3, -0.7, 0.5, -0.4, 0.55, -0.13)
	return n.outline()
}

// moth is symmetric about the y axis.
func moth() [][]oraclePoint {
	half := func(s float64) [][6]float64 {
		return [][6]float64{
			{s * 0.05, -0.2, s * 0.3, -0.65, s * 0.85, -0.6}, {s * 0.8, -0.35, s * 0.75, -0.1, s * 0.35, 0.02},
			{s * 0.75, 0.1, s * 0.6, 0.5, s * 0.4, 0.62}, {s * 0.3, 0.4, s * 0.1, 0.3, 0, 0.75},
		}
	}
	var n pen
	n.move(0, -0.15)
	for _, c := range half(1) {
		n.cubic(c[0], c[1], c[2], c[3], c[4], c[5])
	}
	back := half(-1)
	for i := len(back) - 1; i >= 0; i-- {
		c := back[i]
		x, y := 0.0, -0.15
		if i > 0 {
			x, y = back[i-1][4], back[i-1][5]
		}
		n.cubic(c[2], c[3], c[0], c[1], x, y)
	}
	return n.outline()
}

// lamp has a pointed top, a bellied body and two slots.
func lamp() [][]oraclePoint {
	var n pen
	n.move(0, -0.6)
	n.line(0.25, -0.4)
	n.cubic(0.5, -0.2, 0.5, 0.3, 0.25, 0.5)
	n.line(-0.25, 0.5)
	n.cubic(-0.5, 0.3, -0.5, -0.2, -0.25, -0.4)
	for _, x := range []float64{-0.15, 0.15} {
		n.move(x-0.05, -0.25)
		n.cubic(x-0.12, 0, x-0.12, 0.1, x-0.05, 0.35)
		n.line(x+0.05, 0.35)
		n.cubic(x+0.12, 0.1, x+0.12, 0, x+0.05, -0.25)
	}
	return n.outline()
}
