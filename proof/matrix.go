package proof

import "math"

// matrix maps (x, y) to (a x + c y + e, b x + d y + f), as SVG writes it (SVG 1.1, 7.4).
type matrix struct{ a, b, c, d, e, f float64 }

var identity = matrix{a: 1, d: 1}

// mul is the matrix that maps by n and then by m.
func (m matrix) mul(n matrix) matrix {
	return matrix{
		m.a*n.a + m.c*n.b, m.b*n.a + m.d*n.b,
		m.a*n.c + m.c*n.d, m.b*n.c + m.d*n.d,
		m.a*n.e + m.c*n.f + m.e, m.b*n.e + m.d*n.f + m.f,
	}
}

func (m matrix) apply(x, y float64) (float64, float64) {
	return m.a*x + m.c*y + m.e, m.b*x + m.d*y + m.f
}

// stretch is the most by which m makes a length longer: its greater singular value.
func (m matrix) stretch() float64 {
	p, q := math.Hypot(m.a+m.d, m.b-m.c), math.Hypot(m.a-m.d, m.b+m.c)
	return (p + q) / 2
}

func translation(x, y float64) matrix { return matrix{1, 0, 0, 1, x, y} }

func scaling(x, y float64) matrix { return matrix{a: x, d: y} }

// rotation turns by an angle in degrees from the x axis to the y axis, exactly for quarter turns.
func rotation(degrees float64) matrix {
	s, c := sincos(degrees)
	return matrix{c, s, -s, c, 0, 0}
}

func sincos(degrees float64) (s, c float64) {
	switch r := math.Mod(degrees, 360); r {
	case 0:
		return 0, 1
	case 90, -270:
		return 1, 0
	case 180, -180:
		return 0, -1
	case 270, -90:
		return -1, 0
	default:
		return math.Sincos(r * math.Pi / 180)
	}
}
