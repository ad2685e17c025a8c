package trace

import (
	"image"
	"image/color"
	"math/rand/v2"
	"testing"

	"golang.org/x/image/draw"

	"example.org/kerfleaf/internal/ring"
)

// shadowed is a sheet of 200 x 150 mm, 0.25 mm a pixel, with a piece of one colour and its shadow, 3 mm to the right and 2
// mm below, that gets softer toward its edge.
func shadowed(edge []vec2, piece color.RGBA) *Picture {
	p := &Picture{Gray: image.NewGray(image.Rect(0, 0, 800, 600)), MMPerPixel: 0.25, Colours: image.NewRGBA(image.Rect(0, 0, 800, 600))}
	r := flat(edge)
	on := func(x, y float64) bool { return ring.Locate(r, x, y) != ring.Outside }
	for y := range 600 {
		for x := range 800 {
			mx, my := (float64(x)+0.5)/4, (float64(y)+0.5)/4
			c := piece
			if !on(mx, my) {
				dark := 0.0
				for k := range 4 {
					if f := float64(k+1) / 4; on(mx-3*f, my-2*f) {
						dark += 0.12
					}
				}
				v := uint8(255*encodeSRGB(0.8*(1-dark)) + 0.5)
				c = color.RGBA{v, v, v - 6, 255}
			}
			p.Colours.SetRGBA(x, y, c)
			p.Gray.SetGray(x, y, color.GrayModel.Convert(c).(color.Gray))
		}
	}
	return p
}

// A shadow is not taken for paper, nor a piece as grey as the sheet for its shadow.
func TestFindScrapShadow(t *testing.T) {
	edge := torn(rand.New(rand.NewPCG(8, 8)), 95, 72, 45)
	r := flat(edge)
	outside := func(p *Picture) (n int, area float64) {
		got, err := FindScrap(p, 0.7)
		if err != nil {
			t.Fatal(err)
		}
		for i, xy := 0, got.FlatCoords(); i < len(xy); i += 2 {
			if ring.Locate(r, xy[i], xy[i+1]) != ring.Inside {
				n++
			}
		}
		return n, got.Area()
	}
	whole := ring.Area(r)
	red := shadowed(edge, color.RGBA{150, 60, 50, 255})
	if n, area := outside(red); n > 0 || area < 0.93*whole {
		t.Errorf("%d vertices are off the piece, %.0f of its %.0f mm² are usable", n, area, whole)
	}
	grey := shadowed(edge, color.RGBA{120, 120, 119, 255})
	// 4 mm of its rim may be shadow: with the inset and two cells that is 5.4 mm along an edge of some 310 mm.
	if n, area := outside(grey); n > 0 || area < whole-5.4*310 {
		t.Errorf("a grey piece: %d vertices are off it, %.0f of its %.0f mm² are usable", n, area, whole)
	}
	red.Colours = nil // in grey a shadow is as good as paper: the scene has one
	if n, _ := outside(red); n == 0 {
		t.Error("the shadow makes no difference")
	}
}

// Colours lie in the flat picture where the greys lie.
func TestFlattenColours(t *testing.T) {
	p := &Picture{Gray: image.NewGray(image.Rect(0, 0, 400, 300)), Colours: image.NewRGBA(image.Rect(0, 0, 400, 300))}
	for y := range 300 {
		for x := range 400 {
			c := color.RGBA{uint8(x / 2), uint8(x / 2), uint8(x / 2), 255}
			p.Colours.SetRGBA(x, y, c)
			p.Gray.SetGray(x, y, color.Gray{Y: c.R})
		}
	}
	out, _, err := p.Flatten(&CleanOptions{SheetWidth: 100, SheetHeight: 75, Corners: [4][2]float64{{40, 30}, {350, 10}, {390, 280}, {20, 290}}})
	if err != nil {
		t.Fatal(err)
	}
	if out.Colours.Rect != out.Gray.Rect {
		t.Fatalf("colours %v, greys %v", out.Colours.Rect, out.Gray.Rect)
	}
	for y := range out.Gray.Rect.Dy() {
		for x := range out.Gray.Rect.Dx() {
			if c, g := out.Colours.RGBAAt(x, y), out.Gray.GrayAt(x, y).Y; max(c.R, g)-min(c.R, g) > 1 || c.A != 255 {
				t.Fatalf("(%d, %d): %v, grey %d", x, y, c, g)
			}
		}
	}
}

// BenchmarkFindScrap finds a piece on a sheet of 8 megapixels, in grey and in colours; bytes are pixels.
func BenchmarkFindScrap(b *testing.B) {
	small := shadowed(torn(rand.New(rand.NewPCG(8, 8)), 95, 72, 45), color.RGBA{150, 60, 50, 255})
	r := image.Rect(0, 0, 3200, 2400)
	big := &Picture{Gray: image.NewGray(r), Colours: image.NewRGBA(r), MMPerPixel: 0.0625}
	draw.NearestNeighbor.Scale(big.Gray, r, small.Gray, small.Gray.Rect, draw.Src, nil)
	draw.NearestNeighbor.Scale(big.Colours, r, small.Colours, small.Colours.Rect, draw.Src, nil)
	for name, p := range map[string]*Picture{"grey": {Gray: big.Gray, MMPerPixel: big.MMPerPixel}, "colours": big} {
		b.Run(name, func(b *testing.B) {
			b.SetBytes(int64(r.Dx() * r.Dy()))
			for b.Loop() {
				if _, err := FindScrap(p, 0.7); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
