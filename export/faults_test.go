package export

import (
	"bytes"
	"image/color"
	"image/png"
	"math"
	"testing"

	"github.com/twpayne/go-geom"
)

// square is one of s mm with its corner at (x, y).
func squareAt(x, y, s float64) *geom.Polygon {
	return geom.NewPolygonFlat(geom.XY, []float64{x, y, x + s, y, x + s, y + s, x, y + s, x, y}, []int{10})
}

// What is pointed out differs from plain paper in black and white too: about a quarter of what falls out is dark, less
// of what hangs, a bridge at its edge only; the paper beside them stays as it was.
func TestAreas(t *testing.T) {
	d := &Drawing{Width: 100, Height: 100, Layers: []Layer{{Role: Cut, Shapes: []geom.T{squareAt(5, 5, 5)}}}}
	dark := func(areas []Area, x, y, s float64) float64 {
		var b bytes.Buffer
		if err := PNG(&b, d, &PNGOptions{Openings: true, Areas: areas, Pixels: 1000}); err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(&b)
		if err != nil {
			t.Fatal(err)
		}
		p := newPlan(d, &PNGOptions{Openings: true, Areas: areas}, 1000)
		x0, y0 := p.at(x, y)
		x1, y1 := p.at(x+s, y+s)
		n, all := 0, 0
		for py := int(y0) + 1; py < int(y1); py++ {
			for px := int(x0) + 1; px < int(x1); px++ {
				all++
				if r, g, b, _ := img.At(px, py).RGBA(); (r+g+b)/3 < 0xc000 {
					n++
				}
			}
		}
		return float64(n) / float64(all)
	}
	areas := []Area{{squareAt(20, 20, 20), Loose}, {squareAt(50, 20, 20), Hanging}, {squareAt(20, 50, 20), Kept}}
	for _, c := range []struct {
		name       string
		x, y, s    float64
		least, top float64
	}{
		{"falls out", 21, 21, 18, 0.15, 0.4},
		{"hangs", 51, 21, 18, 0.04, 0.14},
		{"inside a bridge", 22, 52, 16, 0, 0},
		{"all of a bridge", 19, 49, 22, 0.01, 0.1},
		{"plain paper", 51, 51, 18, 0, 0},
	} {
		if got := dark(areas, c.x, c.y, c.s); got < c.least || got > c.top {
			t.Errorf("%s: %.3f is dark, want %.2f to %.2f", c.name, got, c.least, c.top)
		}
	}
}

// A hole in an area is not pointed out.
func TestAreaWithHole(t *testing.T) {
	ring := squareAt(20, 20, 60)
	if err := ring.Push(geom.NewLinearRingFlat(geom.XY, []float64{40, 40, 40, 60, 60, 60, 60, 40, 40, 40})); err != nil {
		t.Fatal(err)
	}
	d := &Drawing{Width: 100, Height: 100, Layers: []Layer{{Role: Cut, Shapes: []geom.T{squareAt(5, 5, 5)}}}}
	opts := &PNGOptions{Openings: true, Areas: []Area{{ring, Loose}}}
	p := newPlan(d, opts, 1000)
	p.draw()
	x0, y0 := p.at(41, 41)
	x1, y1 := p.at(59, 59)
	for py := int(y0) + 2; py < int(y1)-2; py++ {
		for px := int(x0) + 2; px < int(x1)-2; px++ {
			if r, _, _, _ := p.dc.Image().At(px, py).RGBA(); r < 0xf000 {
				t.Fatalf("pixel (%d, %d) in the hole is hatched", px, py)
			}
		}
	}
}

func TestAreasRefused(t *testing.T) {
	d := &Drawing{Width: 100, Height: 100, Layers: []Layer{{Role: Cut, Shapes: []geom.T{squareAt(5, 5, 5)}}}}
	bad := squareAt(1, 1, 2)
	bad.FlatCoords()[4] = math.NaN()
	for _, a := range []Area{{nil, Loose}, {squareAt(1, 1, 2), Look(7)}, {bad, Kept}} {
		if err := PNG(&bytes.Buffer{}, d, &PNGOptions{Areas: []Area{a}}); err == nil {
			t.Errorf("%+v was drawn", a)
		}
	}
}

// Where parts may lie is outlined, and its inside stays as it was.
func TestUsableArea(t *testing.T) {
	d := &Drawing{Width: 100, Height: 100, Layers: []Layer{{Role: Cut, Shapes: []geom.T{squareAt(5, 5, 5)}}}}
	opts := &PNGOptions{Openings: true, Areas: []Area{{squareAt(30, 30, 40), Usable}}, Pixels: 1000}
	img := pngOf(t, d, opts)
	p := newPlan(d, opts, 1000)
	x0, y0 := p.at(30, 30)
	x1, y1 := p.at(70, 70)
	edge := 0
	for x := x0; x < x1; x++ {
		if c := color.NRGBAModel.Convert(img.At(int(x), int(y0))).(color.NRGBA); off(c.B, accentColor.B) < 20 {
			edge++
		}
	}
	if share := float64(edge) / (x1 - x0); share < 0.4 || share > 0.9 { // dashes of 1.2 with gaps of 0.6 are two thirds
		t.Errorf("%.2f of the edge is drawn", share)
	}
	if c := color.NRGBAModel.Convert(img.At(int(x0+x1)/2, int(y0+y1)/2)); c != paperColor {
		t.Errorf("the middle is %v", c)
	}
}
