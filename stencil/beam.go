package stencil

import "math"

// Elementary beam theory for a flat strip of paper, in its plane and out of it.

// snagWidth is how wide in mm a strip must be that bears a force in newtons at a
// right angle to it and the given mm from its root, in the plane of the paper. The
// paper bears strength newtons a mm of width in pure pull; bending in its plane it
// bears strength·w²/6 (a rectangular section's modulus).
func snagWidth(force, arm, strength float64) float64 {
	return math.Sqrt(6 * force * arm / strength)
}

// Overhang is the length in mm at which a strip of paper that is held level at one
// end droops by the given mm at the other under its own weight; gsm is its weight in
// g/m² and thickness is in mm. It suits Options.Sag. Paper is taken to have an
// elastic modulus of 3 GPa (from memory): a cantilever under its own weight droops
// by 12·G·g·L⁴ ÷ (8·E·t³). It is zero unless all three are positive.
func Overhang(gsm, thickness, droop float64) float64 {
	const (
		gravity = 9.81 // m/s²
		modulus = 3e9  // Pa
	)
	if !(gsm > 0 && thickness > 0 && droop > 0) {
		return 0
	}
	t := thickness / 1000
	return 1000 * math.Pow(8*modulus*t*t*t*(droop/1000)/(12*gsm/1000*gravity), 0.25)
}
