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
		hard          bool
	}{
		{lengthValue{}, 25.4 / 600, 0.05, true},
		{lengthValue{}, 25.4 / 100, 0.127, false},
		{lengthValue{}, 25.4 / 100, 0.203, true},
		{lengthValue{mm: 0.02, given: true}, 25.4 / 100, 0.02, true},
		{lengthValue{mm: 0.2, given: true}, 25.4 / 600, 0.2, false},
	} {
		s := &settings{tolerance: c.flag}
		if got := s.toPixels(s.own(card), c.pixel, c.hard).Tolerance; round3(got) != c.expect {
			t.Errorf("pixels of %g mm, --tolerance %+v: %g, want %g", c.pixel, c.flag, got, c.expect)
		}
	}
}
