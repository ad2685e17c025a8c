package export

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"image/png"
	"math"
	"testing"

	"github.com/twpayne/go-geom"
)

func lanternFace() *geom.Bounds { return geom.NewBounds(geom.XY).Set(15, 15, 55, 45) }

func mockupOf(t testing.TB, d *Drawing, face *geom.Bounds, depth float64, opts *MockupOptions) image.Image {
	t.Helper()
	var b bytes.Buffer
	if err := Mockup(&b, d, face, depth, opts); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	return img
}

func TestMockupGolden(t *testing.T) {
	var b bytes.Buffer
	if err := Mockup(&b, lantern(), lanternFace(), 12, &MockupOptions{Pixels: 240}); err != nil {
		t.Fatal(err)
	}
	goldenPicture(t, "lantern-mockup.png", b.Bytes())
}

// hue says which of the channels is clearly the strongest.
func hue(c color.Color) string {
	n := color.NRGBAModel.Convert(c).(color.NRGBA)
	r, g, b := int(n.R), int(n.G), int(n.B)
	switch {
	case r > max(g, b)+50:
		return "red"
	case g > max(r, b)+50:
		return "green"
	case b > max(r, g)+50:
		return "blue"
	}
	return "grey"
}

// windowed is a face with one square window in its middle.
func windowed() (*Drawing, *geom.Bounds) {
	return &Drawing{100, 100, []Layer{{Cut, []geom.T{polygon(square(0, 0, 100)), polygon(square(35, 35, 30))}}}},
		geom.NewBounds(geom.XY).Set(20, 20, 80, 80)
}

// The window shows the base's paper, and its share of the face is the true one.
func TestMockupShowsTheBase(t *testing.T) {
	d, face := windowed()
	blue := color.NRGBA{40, 80, 220, 255}
	img := mockupOf(t, d, face, 10, &MockupOptions{Base: blue, Pixels: 500})
	n := 0
	var box image.Rectangle
	for y := range img.Bounds().Dy() {
		for x := range img.Bounds().Dx() {
			if hue(img.At(x, y)) == "blue" {
				n++
				box = box.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	// The scene is (60 + 2·9.6 + 2.6) mm wide and that takes 500 pixels.
	side := 30 * 500 / (60 + 2*0.16*60 + 0.26*10)
	if math.Abs(float64(box.Dx())-side) > 3 || math.Abs(float64(box.Dy())-side) > 3 || float64(n) < 0.97*float64(box.Dx()*box.Dy()) {
		t.Errorf("the window is %v with %d pixels of the base, want a square of %.0f", box, n, side)
	}
	// The light comes from the upper left, so there the window's edge throws its shadow.
	bright := func(x, y int) int {
		r, g, b, _ := img.At(x, y).RGBA()
		return int(r+g+b) / 3
	}
	if a, b := bright(box.Min.X+4, box.Min.Y+4), bright(box.Max.X-10, box.Max.Y-10); float64(a) > 0.85*float64(b) {
		t.Errorf("near the upper left edge the base has brightness %d, near the lower right one %d: no shadow", a, b)
	}
}

// A picture of the base's paper lies in the face as it is, not turned or mirrored.
func TestMockupBacking(t *testing.T) {
	d, face := windowed()
	backing := image.NewNRGBA(image.Rect(10, 10, 310, 210)) // wider than the face: the sides are left out
	for y := 10; y < 210; y++ {
		for x := 10; x < 310; x++ {
			c := color.NRGBA{200, 40, 40, 255}
			if x >= 160 {
				c = color.NRGBA{40, 180, 40, 255}
			}
			if y >= 110 {
				c = color.NRGBA{40, 60, 220, 255}
			}
			backing.SetNRGBA(x, y, c)
		}
	}
	img := mockupOf(t, d, face, 10, &MockupOptions{Backing: backing, Pixels: 500})
	mmAt := func(x, y float64) color.Color {
		k := 500 / (60 + 2*0.16*60 + 0.26*10)
		border := 0.16 * 60.0
		return img.At(int((border+x-20)*k), int((border*0.92+y-20)*k))
	}
	for _, c := range []struct {
		x, y float64
		want string
	}{{43, 43, "red"}, {60, 43, "green"}, {43, 60, "blue"}, {60, 60, "blue"}, {28, 28, "grey"}} {
		if got := hue(mmAt(c.x, c.y)); got != c.want {
			t.Errorf("at (%g, %g) mm the picture is %s, want %s", c.x, c.y, got, c.want)
		}
	}
}

func TestMockupRefuses(t *testing.T) {
	d, face := windowed()
	bounds := func(x0, y0, x1, y1 float64) *geom.Bounds { return geom.NewBounds(geom.XY).Set(x0, y0, x1, y1) }
	for name, c := range map[string]struct {
		face  *geom.Bounds
		depth float64
		want  any
	}{
		"no face":                    {nil, 10, new(*FaceError)},
		"a face off the sheet":       {bounds(0, 0, 101, 50), 10, new(*FaceError)},
		"an empty face":              {geom.NewBounds(geom.XY), 10, new(*FaceError)},
		"a flat face":                {bounds(20, 20, 20, 80), 10, new(*FaceError)},
		"a negative depth":           {face, -1, new(*FaceError)},
		"a depth that is no number":  {face, math.NaN(), new(*FaceError)},
		"a face without openings":    {bounds(0, 0, 30, 30), 10, ErrEmpty},
		"a face across its openings": {bounds(0, 0, 50, 50), 10, ErrEmpty},
	} {
		err := Mockup(&bytes.Buffer{}, d, c.face, c.depth, nil)
		if want, is := c.want.(error); is && !errors.Is(err, want) || !is && !errors.As(err, c.want) {
			t.Errorf("%s: error %v, want %T", name, err, c.want)
		} else if err.Error() == "" {
			t.Errorf("%s: the error says nothing", name)
		}
	}
	var px *PixelsError
	if err := Mockup(&bytes.Buffer{}, d, face, 10, &MockupOptions{Pixels: 3000}); !errors.As(err, &px) {
		t.Errorf("3000 pixels: error %v", err)
	}
}

func TestMockupOfAnyBox(t *testing.T) {
	for _, c := range []struct{ w, h, depth float64 }{{60, 60, 0}, {60, 60, 1e5}, {1000, 4, 25}, {4, 1000, 25}, {0.02, 0.02, 0.01}} {
		window := polygon([]float64{c.w / 4, c.h / 4, c.w * 3 / 4, c.h / 4, c.w * 3 / 4, c.h * 3 / 4, c.w / 4, c.h * 3 / 4})
		d := &Drawing{c.w, c.h, []Layer{{Cut, []geom.T{window}}}}
		img := mockupOf(t, d, geom.NewBounds(geom.XY).Set(0, 0, c.w, c.h), c.depth, &MockupOptions{Pixels: 300})
		if b := img.Bounds(); max(b.Dx(), b.Dy()) != 300 {
			t.Errorf("%v: the picture is %v", c, b)
		}
		if _, n := find(img, color.NRGBA{}); n > 0 {
			t.Errorf("%v: %d pixels are unpainted", c, n)
		}
	}
}
