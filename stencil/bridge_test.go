package stencil

import (
	"testing"
)

func TestBridgePictures(t *testing.T) {
	for _, c := range pictures {
		cut, sheet := picture(t, c.rows)
		for _, width := range []float64{0.3, 1, 2} {
			out, straps, err := Bridge(cut, &BridgeOptions{Width: width, Sheet: sheet})
			if err != nil {
				t.Fatalf("%s, %.1f mm: %v", c.name, width, err)
			}
			valid(t, out)
			if n := len(straps); n < c.parts-1 {
				t.Errorf("%s: %d straps for %d parts", c.name, n, c.parts)
			}
			if got := islands(t, out, sheet); len(got) != 0 {
				t.Errorf("%s, %.1f mm: %v", c.name, width, got[0])
			}
			if n := len(scan(out, sheet, 0.05).parts()); n != 1 && out.Area() > 0 {
				t.Errorf("%s, %.1f mm: %d parts after Bridge", c.name, width, n)
			}
		}
	}
}

func TestBridgeTangles(t *testing.T) {
	seeds := int64(30)
	if testing.Short() {
		seeds = 8
	}
	for seed := range seeds {
		cut, sheet := tangle(t, seed, 6+int(seed)*2)
		out, _, err := Bridge(cut, &BridgeOptions{Width: 0.8, Sheet: sheet})
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		valid(t, out)
		if got := islands(t, out, sheet); len(got) != 0 {
			t.Errorf("seed %d: %v", seed, got[0])
		}
	}
}
