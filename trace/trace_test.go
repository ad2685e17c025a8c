package trace

import (
	"context"
	"errors"
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"
)

func TestErrors(t *testing.T) {
	g := drawn("#.", ".#")
	for _, c := range []struct {
		img  image.Image
		mm   float64
		opts Options
		want string
	}{
		{nil, 1, Options{}, "no pixels"},
		{image.NewGray(image.Rectangle{}), 1, Options{}, "no pixels"},
		{g, 0, Options{}, "pixel of 0 mm"},
		{g, math.NaN(), Options{}, "pixel of NaN mm"},
		{g, math.Inf(1), Options{}, "pixel of +Inf mm"},
		{g, 1, Options{Threshold: 1.5}, "threshold 1.5"},
		{g, 1, Options{Smooth: -1}, "wobble of -1 mm"},
		{g, 1, Options{MinArea: -1}, "smallest area -1"},
		{g, 1, Options{Tolerance: math.NaN()}, "tolerance NaN"},
	} {
		if _, err := Image(c.img, c.mm, &c.opts); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v: %v, want %q", c.opts, err, c.want)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Outline(ctx, g, 1, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}

// Any kind of picture with the same look has the same outlines.
func TestKindsOfPictures(t *testing.T) {
	g := drawn("......", ".##.9.", ".#.#8.", "...7..", "......")
	want := tracedWhole(t, g, Options{})
	var palette color.Palette
	for i := range 256 {
		palette = append(palette, color.Gray{uint8(i)})
	}
	kinds := []interface {
		image.Image
		Set(x, y int, c color.Color)
	}{
		image.NewGray16(g.Rect), image.NewRGBA(g.Rect), image.NewNRGBA(g.Rect), image.NewRGBA64(g.Rect),
		image.NewNRGBA64(g.Rect), image.NewPaletted(g.Rect, palette), image.NewCMYK(g.Rect),
	}
	for _, k := range kinds {
		for y := range g.Rect.Dy() {
			for x := range g.Rect.Dx() {
				k.Set(x, y, g.GrayAt(x, y))
			}
		}
		if got := tracedWhole(t, k, Options{}); !sameFlat(want, got) {
			t.Errorf("%T differs", k)
		}
	}
	// Ink on nothing, over white.
	alpha := image.NewNRGBA(g.Rect)
	for i, v := range g.Pix {
		alpha.Pix[4*i+3] = 255 - v
	}
	if got := tracedWhole(t, alpha, Options{}); !sameFlat(want, got) {
		t.Error("black with alpha differs")
	}
	// Part of a larger picture.
	big := image.NewGray(image.Rect(-3, -2, 12, 13))
	for y := range g.Rect.Dy() {
		for x := range g.Rect.Dx() {
			big.SetGray(x+2, y+1, g.GrayAt(x, y))
		}
	}
	if got := tracedWhole(t, big.SubImage(g.Rect.Add(image.Pt(2, 1))), Options{}); !sameFlat(want, got) {
		t.Error("a part differs")
	}
}

func sameFlat(a, b *geom.MultiPolygon) bool {
	if len(a.FlatCoords()) != len(b.FlatCoords()) || a.NumPolygons() != b.NumPolygons() {
		return false
	}
	for i, v := range a.FlatCoords() {
		if b.FlatCoords()[i] != v {
			return false
		}
	}
	return true
}

func TestMinArea(t *testing.T) {
	g := drawn(
		"...........",
		".########..",
		".#......#..",
		".#.##.#.#..",
		".#.##...#.#",
		".#......#..",
		".########..",
		"...........")
	for _, c := range []struct {
		minArea       float64
		shells, holes int
	}{{0, 4, 1}, {0.5, 4, 1}, {0.6, 2, 1}, {4, 1, 1}, {40, 1, 0}, {60, 0, 0}} {
		m := tracedWhole(t, g, Options{MinArea: c.minArea})
		if shells, holes := shellsAndHoles(m); shells != c.shells || holes != c.holes {
			t.Errorf("%g mm²: %d shells %d holes, want %d and %d", c.minArea, shells, holes, c.shells, c.holes)
		}
		mustBeValid(t, m)
	}
}

// Where the picture ends, a cut area ends, whatever its grey.
func TestPictureEdge(t *testing.T) {
	g := image.NewGray(image.Rect(0, 0, 9, 7))
	for i := range g.Pix {
		g.Pix[i] = 100
	}
	m := tracedWhole(t, g, Options{Threshold: 0.5})
	b := m.Bounds()
	if b.Min(0) != 0 || b.Min(1) != 0 || b.Max(0) != 9 || b.Max(1) != 7 {
		t.Errorf("bounds %v", b)
	}
}

func TestResult(t *testing.T) {
	g := drawn("....", ".##.", ".##.", "....")
	res, err := Outline(context.Background(), g, 0.5, &Options{Tolerance: -1})
	if err != nil {
		t.Fatal(err)
	}
	if res.Level != 0.5 || !res.Hard || res.Covered != 0.25 || res.Traced != 8 || res.Nodes != 8 || res.Departure != 0 {
		t.Errorf("%+v", res)
	}
	if want := (4 + 2*math.Sqrt2) / 2; math.Abs(res.Length-want) > 1e-12 {
		t.Errorf("length %g, want %g", res.Length, want)
	}
	rnd := rand.New(rand.NewPCG(2, 2))
	noise := randomPicture(rnd, 50, 50, 256)
	var last float64
	res, err = Outline(context.Background(), noise, 0.1, &Options{Tolerance: 0.05, Progress: func(d float64) { last = d }})
	if err != nil {
		t.Fatal(err)
	}
	if last != 1 {
		t.Errorf("progress ended at %g", last)
	}
	if !(res.Departure > 0 && res.Departure <= 0.05) || res.Nodes >= res.Traced {
		t.Errorf("departure %g, nodes %d of %d", res.Departure, res.Nodes, res.Traced)
	}
}

// drawnBy makes a picture of w by w pixels, black where the distance outside a
// shape is below 0, with grey edges.
func drawnBy(w int, outside func(x, y float64) float64) *image.Gray {
	g := image.NewGray(image.Rect(0, 0, w, w))
	for i := range g.Pix {
		d := outside(float64(i%w)+0.5, float64(i/w)+0.5)
		g.Pix[i] = uint8(255 * min(max(d+0.5, 0), 1))
	}
	return g
}

// A disc whose edge swings has the disc's edge again with Smooth, and a square
// has its four corners still.
func TestSmoothOption(t *testing.T) {
	const c, r = 150, 120
	disc := drawnBy(2*c, func(x, y float64) float64 {
		swing := 0.7 * math.Sin(60*math.Atan2(y-c, x-c)) // 12.6 pixels long
		return math.Hypot(x-c, y-c) - r - swing
	})
	square := drawnBy(2*c, func(x, y float64) float64 {
		return max(math.Abs(x-c), math.Abs(y-c)) - r
	})
	worst := func(m *geom.MultiPolygon) (d float64) {
		for i := 0; i < len(m.FlatCoords()); i += 2 {
			d = max(d, math.Abs(math.Hypot(m.FlatCoords()[i]-c, m.FlatCoords()[i+1]-c)-r))
		}
		return d
	}
	o := Options{Tolerance: 0.1}
	rough, err := Outline(context.Background(), disc, 1, &o)
	if err != nil {
		t.Fatal(err)
	}
	o.Smooth = 20
	even, err := Outline(context.Background(), disc, 1, &o)
	if err != nil {
		t.Fatal(err)
	}
	if a, b := worst(rough.Cut), worst(even.Cut); a < 0.5 || b > 0.2 {
		t.Errorf("edge swings by %.2f, smoothed by %.2f", a, b)
	}
	if want := math.Pi * r * r; math.Abs(even.Cut.Area()/want-1) > 0.004 {
		t.Errorf("area %.0f, want %.0f", even.Cut.Area(), want)
	}
	if even.Corners != 0 {
		t.Errorf("a disc has %d corners", even.Corners)
	}
	mustBeValid(t, even.Cut)
	res, err := Outline(context.Background(), square, 1, &o)
	if err != nil {
		t.Fatal(err)
	}
	if res.Corners != 4 || res.Nodes > 8 || math.Abs(res.Cut.Area()-4*r*r) > 2 {
		t.Errorf("a square has %d corners, %d nodes, area %.1f of %d", res.Corners, res.Nodes, res.Cut.Area(), 4*r*r)
	}
}

// Turned, mirrored, shifted and with black and white swapped a picture has the
// same outlines, so turned, mirrored or shifted.
func TestLaws(t *testing.T) {
	rnd := rand.New(rand.NewPCG(4, 4))
	for n := range 30 {
		g := randomPicture(rnd, 21, 33, []int{2, 5, 256}[n%3])
		o := Options{Threshold: 0.5}
		want := tracedWhole(t, g, o)
		shells, holes := shellsAndHoles(want)
		same := func(name string, m *geom.MultiPolygon) {
			t.Helper()
			s, h := shellsAndHoles(m)
			if s != shells || h != holes || len(m.FlatCoords()) != len(want.FlatCoords()) ||
				math.Abs(m.Area()-want.Area()) > 1e-3 || math.Abs(m.Length()-want.Length()) > 1e-2 {
				t.Errorf("%s: %d shells %d holes area %g length %g, want %d %d %g %g", name,
					s, h, m.Area(), m.Length(), shells, holes, want.Area(), want.Length())
			}
		}
		turned, mirrored := image.NewGray(image.Rect(0, 0, 33, 21)), image.NewGray(g.Rect)
		shifted, swapped := image.NewGray(image.Rect(0, 0, 31, 40)), image.NewGray(g.Rect)
		for i := range shifted.Pix {
			shifted.Pix[i] = 255
		}
		inner := image.NewGray(image.Rect(0, 0, 23, 35))
		for i := range inner.Pix {
			inner.Pix[i] = 255
		}
		for y := range 33 {
			for x := range 21 {
				c := g.GrayAt(x, y)
				turned.SetGray(32-y, x, c)
				mirrored.SetGray(20-x, y, c)
				inner.SetGray(x+1, y+1, c)
				shifted.SetGray(x+7, y+4, c)
				swapped.SetGray(x, y, color.Gray{255 - c.Y})
			}
		}
		same("turned", tracedWhole(t, turned, o))
		same("mirrored", tracedWhole(t, mirrored, o))
		o.Invert = true
		same("swapped", tracedWhole(t, swapped, o))
		o.Invert = false
		a, b := tracedWhole(t, inner, o), tracedWhole(t, shifted, o)
		for i, v := range a.FlatCoords() {
			if d := float64(6 - 3*(i%2)); b.FlatCoords()[i] != v+d {
				t.Fatalf("shifted: %g became %g", v, b.FlatCoords()[i])
			}
		}
	}
}

func TestSameOnAnyNumberOfCores(t *testing.T) {
	g := page(1400, 3200, 800) // some bands, and some batches of rings
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	want, err := Image(g, 0.1, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range []int{2, 7} {
		runtime.GOMAXPROCS(n)
		if got, err := Image(g, 0.1, nil); err != nil || !sameFlat(want, got) {
			t.Errorf("on %d cores: differs (%v)", n, err)
		}
	}
}

func FuzzImage(f *testing.F) {
	f.Add([]byte("#..##.#..#.##..#"), uint8(4), 0.5, 0.3)
	f.Add([]byte{0, 255, 255, 0, 3, 9, 200}, uint8(1), 0.0, 1.0)
	f.Fuzz(func(t *testing.T, pix []byte, width uint8, threshold, tolerance float64) {
		w := int(width)
		if w == 0 || len(pix) < w || len(pix) > 1<<12 || !(tolerance < 1e6) {
			return
		}
		g := &image.Gray{Pix: pix, Stride: w, Rect: image.Rect(0, 0, w, len(pix)/w)}
		m, err := Image(g, 1, &Options{Threshold: threshold, Tolerance: tolerance})
		if err != nil {
			return
		}
		mustBeValid(t, m)
		if _, err := outlines(context.Background(), newRaster(g, 101, true, 1), 3, nil); err != nil {
			t.Fatal(err)
		}
	})
}
