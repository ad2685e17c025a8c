package main

import (
	"testing"

	"example.org/kerfleaf/paper"
)

// TestToPixels: lines do not follow the pixels of a coarse drawing unless that is asked for.
func TestToPixels(t *testing.T) {
	card := paper.Stock{Tolerance: 0.05}
	for _, c := range []struct {
		flag          lengthValue
		pixel, expect float64
	}{
		{lengthValue{}, 25.4 / 600, 0.05},
		{lengthValue{}, 25.4 / 100, 0.127},
		{lengthValue{mm: 0.02, given: true}, 25.4 / 100, 0.02},
		{lengthValue{mm: 0.2, given: true}, 25.4 / 600, 0.2},
	} {
		s := &settings{tolerance: c.flag}
		if got := s.toPixels(s.own(card), c.pixel).Tolerance; round3(got) != c.expect {
			t.Errorf("pixels of %g mm, --tolerance %+v: %g, want %g", c.pixel, c.flag, got, c.expect)
		}
	}
}
