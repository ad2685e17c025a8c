package stencil

import "testing"

// The width at which a side snag of F newtons at L mm is borne: sqrt(6FL/N), by the
// section modulus of a rectangle; N is 5.5 N/mm at 220 g/m² and 3 at 120.
func TestSnagWidth(t *testing.T) {
	for _, c := range []struct{ force, arm, strength, want float64 }{
		{0.1, 20, 5.5, 1.477}, {0.05, 10, 5.5, 0.739}, {0.05, 10, 3, 1.00},
	} {
		if got := snagWidth(c.force, c.arm, c.strength); !near(got, c.want, 0.0006) {
			t.Errorf("snagWidth(%g, %g, %g) = %.4f, want %.3f", c.force, c.arm, c.strength, got, c.want)
		}
	}
}

// A cantilever of 220 g/m², 0.27 mm thick, droops 0.343 mm at 50 mm and 16 times as
// much at 100 (the handbook case of an evenly loaded beam, worked out with a pencil).
func TestOverhang(t *testing.T) {
	for _, c := range []struct{ droop, want float64 }{{0.343, 50}, {16 * 0.343, 100}} {
		if got := Overhang(220, 0.27, c.droop); !near(got, c.want, 0.1) {
			t.Errorf("Overhang at %.3f mm is %.2f, want %.0f", c.droop, got, c.want)
		}
	}
	if got := Overhang(220, 0, 1) + Overhang(-1, 1, 1) + Overhang(80, 0.1, 0); got != 0 {
		t.Errorf("paper without weight or thickness: %g, want 0", got)
	}
}
