package trace

import (
	"image"
	"testing"
)

// Not looking closely where all is paper or ink leaves every edge as it was: the
// judge looks closely everywhere.
func TestLevelledLooksWhereEdgesAre(t *testing.T) {
	rings := trueDrawings(t)["letters"]
	photo, scan := photoOf(2, rings, true, 1.5), dirtyScan(2, rings, 100, 1)
	for _, s := range []*scene{photo, scan} {
		s.dust, s.hairs = 0, 0
		g := s.take(t)
		opts := &CleanOptions{Trim: Off}
		if s == photo {
			opts.SheetWidth, opts.SheetHeight = 210, 297
		}
		_, rep, err := (&Picture{Gray: g, MMPerPixel: 0.254}).Clean(opts)
		if err != nil {
			t.Fatal(err)
		}
		got, want := levelled(g, coarse(g), &rep.view, rep.tone), levelledSlowly(g, &rep.view, rep.tone)
		even := 0
		for i, w := range want.Pix {
			switch v := got.Pix[i]; {
			case v == w:
			case (v == 255 && w > 128+32) || (v == 0 && w < 128-32):
				even++
			default:
				t.Fatalf("pixel %d is %d, want %d", i, v, w)
			}
		}
		if even < len(want.Pix)/4 {
			t.Errorf("only %d of %d pixels were not looked at closely: does it still save time?", even, len(want.Pix))
		}
	}
}

func levelledSlowly(g *image.Gray, v *view, t *tone) *image.Gray {
	out := image.NewGray(image.Rect(0, 0, v.w, v.h))
	light := make([]float32, v.w)
	dx, dy, whole := v.shifted()
	for y := range v.h {
		if whole {
			sampleRow(light, g, dx, y+dy)
		} else {
			warpRow(light, g, v, 0, y)
		}
		for x, l := range light {
			from, to := t.leveling(v, x/stretch*stretch, y), t.leveling(v, x/stretch*stretch+stretch, y)
			f := float32(x%stretch) / stretch
			l = l*(from.gain+f*(to.gain-from.gain)) + from.offset + f*(to.offset-from.offset)
			out.Pix[y*out.Stride+x] = uint8(min(max(l, 0), 255) + 0.5)
		}
	}
	return out
}
