package stencil

import (
	"testing"

	"github.com/twpayne/go-geom"
)

// FuzzStencil feeds rings of any kind: what comes back is valid, or an error.
func FuzzStencil(f *testing.F) {
	f.Add([]byte("aaqaqqaqddmdmmdm"), uint8(8), false)
	f.Add([]byte{0, 0, 255, 0, 255, 255, 0, 255, 16, 16, 16, 240, 240, 240, 240, 16}, uint8(20), true)
	f.Add([]byte{10, 10, 20, 10, 20, 20, 10, 20, 20, 20, 30, 20, 30, 30, 20, 30}, uint8(3), true)
	f.Fuzz(func(t *testing.T, b []byte, width uint8, holes bool) {
		mp := geom.NewMultiPolygon(geom.XY)
		var flat []float64
		var ends []int
		for i := 0; i+8 <= len(b) && i < 64; i += 8 {
			for j := i; j < i+8; j++ {
				flat = append(flat, float64(b[j])/4)
			}
			flat = append(flat, flat[len(flat)-8], flat[len(flat)-7])
			ends = append(ends, len(flat))
			if !holes {
				if err := mp.Push(geom.NewPolygonFlat(geom.XY, flat, ends)); err != nil {
					t.Fatal(err)
				}
				flat, ends = nil, nil
			}
		}
		if len(ends) > 0 {
			if err := mp.Push(geom.NewPolygonFlat(geom.XY, flat, ends)); err != nil {
				t.Fatal(err)
			}
		}
		sheet := bounds(0, 0, 60, 60)
		if _, err := Check(mp, sheet, &Options{Fold: bounds(5, 5, 55, 55)}); err != nil {
			return
		}
		if !isValid(mp) {
			return // what follows asks for valid cut areas
		}
		w := 0.1 + float64(width)/32
		out, _, err := Bridge(mp, &BridgeOptions{Width: w, Sheet: sheet, Flare: width%2 == 1})
		if err != nil {
			t.Fatalf("Bridge: %v", err)
		}
		if !out.Empty() {
			valid(t, out)
			if got, err := Check(out, sheet, nil); err != nil {
				t.Fatal(err)
			} else if len(got) > 0 && got[0].Kind == Island {
				t.Fatalf("after Bridge: %v", got[0])
			}
		}
		out, _, err = Thicken(mp, w)
		if err != nil {
			t.Fatalf("Thicken: %v", err)
		}
		valid(t, out)
	})
}
