package trace

import (
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/ring"
)

// torn is an irregular piece of paper about (x, y), as a ring in mm.
func torn(rng *rand.Rand, x, y, r float64) []vec2 {
	var out []vec2
	a, b, c := rng.Float64(), rng.Float64(), rng.Float64()
	for i := range 120 {
		t := 2 * math.Pi * float64(i) / 120
		d := r * (1 + 0.2*math.Sin(2*t+6*a) + 0.1*math.Sin(3*t+6*b) + 0.05*math.Sin(7*t+6*c))
		out = append(out, vec2{x + d*math.Cos(t), y + d*math.Sin(t)})
	}
	return out
}

func flat(r []vec2) []float64 {
	var out []float64
	for i := 0; i <= len(r); i++ {
		out = append(out, r[i%len(r)].x, r[i%len(r)].y)
	}
	return out
}

// A hole as light as the sheet is left out, with the inset round it.
func TestFindScrapHole(t *testing.T) {
	g := scrapSheet()
	draw.Draw(g, image.Rect(140, 110, 180, 150), image.NewUniform(color.Gray{Y: 240}), image.Point{}, draw.Src)
	got, err := FindScrap(&Picture{Gray: g, MMPerPixel: 0.5}, 1)
	if err != nil {
		t.Fatal(err)
	}
	if got.NumPolygons() != 1 || got.Polygon(0).NumLinearRings() != 2 {
		t.Fatalf("%d pieces, %d rings", got.NumPolygons(), got.Polygon(0).NumLinearRings())
	}
	b := got.Polygon(0).LinearRing(1).Bounds()
	if w, h := b.Max(0)-b.Min(0), b.Max(1)-b.Min(1); math.Abs(w-22) > 2.1 || math.Abs(h-22) > 2.1 {
		t.Errorf("hole of %.1f x %.1f mm, want 20 and an inset of 1 all round", w, h)
	}
}

// On a photographed sheet, the outline found lies inside the true edge by the
// inset, and never outside it; the pattern on the piece makes no holes.
func TestFindScrap(t *testing.T) {
	for seed := range uint64(2) {
		s := photoOf(seed, nil, false, 3)
		s.dust = 0
		edge := torn(s.rng, 105, 140, 62)
		s.over = func(s *scene) []blot {
			blots := []blot{{edge, 0.35}}
			for range 30 { // dots as light as the sheet and dark ones
				x, y := 105+45*(s.rng.Float64()-0.5), 140+45*(s.rng.Float64()-0.5)
				blots = append(blots, blot{discRing(x, y, 1+3*s.rng.Float64()), []float64{0.75, 0.05}[s.rng.IntN(2)]})
			}
			return blots
		}
		sheet, _, err := (&Picture{Gray: s.take(t)}).Flatten(&CleanOptions{SheetWidth: 210, SheetHeight: 297})
		if err != nil {
			t.Fatal(err)
		}
		got, err := FindScrap(sheet, 1)
		if err != nil {
			t.Fatal(err)
		}
		if got.NumPolygons() != 1 || got.Polygon(0).NumLinearRings() != 1 {
			t.Errorf("seed %d: %d pieces", seed, got.NumPolygons())
		}
		if err := ring.Check(got); err != nil {
			t.Error(err)
		}
		xy := got.Polygon(0).LinearRing(0).FlatCoords()
		for i := 0; i < len(xy); i += 2 {
			d := awayFrom(edge, vec2{xy[i], xy[i+1]})
			if ring.Locate(flat(edge), xy[i], xy[i+1]) != ring.Inside || d < 0.6 || d > 2.2 {
				t.Fatalf("seed %d: (%.2f, %.2f) is %.2f mm from the true edge, want about 1 inside", seed, xy[i], xy[i+1], d)
			}
		}
	}
}

func awayFrom(edge []vec2, p vec2) float64 {
	best := math.Inf(1)
	for i, a := range edge {
		d := edge[(i+1)%len(edge)].sub(a)
		f := min(1, max(0, d.dot(p.sub(a))/d.dot(d)))
		best = min(best, p.sub(a).sub(d.mul(f)).norm())
	}
	return best
}

func TestFindScrapNone(t *testing.T) {
	s := photoOf(1, nil, false, 1)
	s.dust = 0
	sheet, rep, err := (&Picture{Gray: s.take(t)}).Flatten(&CleanOptions{SheetWidth: 210, SheetHeight: 297})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := FindScrap(sheet, 1); !errors.Is(err, ErrNoScrap) {
		t.Errorf("bare sheet: %v", err)
	}
	if m := rep.Explain(sheet, sheet); m.Rect.Empty() {
		t.Error("no picture of what was understood")
	}
}

func block(x0, y0, x1, y1 float64) []float64 {
	return []float64{x0, y0, x1, y0, x1, y1, x0, y1, x0, y0}
}

// On whole-number shapes every place on the grid can be tried by plain loops:
// none may leave a larger rest.
func TestPlaceOnScrapAgainstAllPlaces(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	for n := range 8 {
		w, h := 40+rng.IntN(16), 36+rng.IntN(12)
		nx, ny := 5+rng.IntN(w/2), 5+rng.IntN(h/2) // an L, with a hole in it
		on := make([][]bool, h)
		for y := range on {
			on[y] = make([]bool, w)
			for x := range w {
				on[y][x] = (x < w-nx || y < h-ny) && (x < 4 || x >= 9 || y < 4 || y >= 9)
			}
		}
		scrap := geom.NewMultiPolygonFlat(geom.XY, append([]float64{
			0, 0, float64(w), 0, float64(w), float64(h - ny), float64(w - nx), float64(h - ny), float64(w - nx), float64(h), 0, float64(h), 0, 0,
		}, 4, 4, 4, 9, 9, 9, 9, 4, 4, 4), [][]int{{14, 24}})
		pw, ph := 6+rng.IntN(12), 6+rng.IntN(12)
		part := geom.NewPolygonFlat(geom.XY, block(0, 0, float64(pw), float64(ph)), []int{10})
		want := -1
		for _, size := range [][2]int{{pw, ph}, {ph, pw}} {
			for y := range h - size[1] + 1 {
				for x := range w - size[0] + 1 {
					want = max(want, plainRest(on, x, y, size[0], size[1]))
				}
			}
		}
		got, err := PlaceOnScrap(scrap, part, &ScrapOptions{Step: 1, Turn: 90})
		if err != nil && want >= 0 || err == nil && got.Rest != float64(want) {
			t.Errorf("%d: %+v, %v; want a rest of %v", n, got, err, want)
		}
	}
}

// plainRest is the rest of PlaceOnScrap, -1 where the part is not inside.
func plainRest(on [][]bool, px, py, pw, ph int) int {
	h, w := len(on), len(on[0])
	left := make([][]bool, h)
	for y := range h {
		left[y] = slices.Clone(on[y])
		for x := range w {
			if x >= px && x < px+pw && y >= py && y < py+ph {
				if !on[y][x] {
					return -1
				}
				left[y][x] = false
			}
		}
	}
	room := map[[2]int]bool{}
	for y := range h - 19 {
	next:
		for x := range w - 19 {
			for j := range 20 {
				for i := range 20 {
					if !left[y+j][x+i] {
						continue next
					}
				}
			}
			room[[2]int{x, y}] = true
		}
	}
	largest := 0
	for len(room) > 0 {
		var todo [][2]int
		for k := range room {
			todo = append(todo, k)
			delete(room, k)
			break
		}
		size := 0
		for len(todo) > 0 {
			k := todo[len(todo)-1]
			todo = todo[:len(todo)-1]
			size++
			for _, d := range [][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
				if q := [2]int{k[0] + d[0], k[1] + d[1]}; room[q] {
					delete(room, q)
					todo = append(todo, q)
				}
			}
		}
		largest = max(largest, size)
	}
	return largest
}

// At any angle the part must be inside the scrap, and on a scrap that is as
// large as the part turned, only that angle may be found.
func TestPlaceOnScrapTurned(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for range 5 {
		edge := torn(rng, 80, 70, 50)
		scrap := geom.NewMultiPolygonFlat(geom.XY, flat(edge), [][]int{{2*len(edge) + 2}})
		part := geom.NewPolygonFlat(geom.XY, block(-3, 2, 47, 32), []int{10})
		got, err := PlaceOnScrap(scrap, part, &ScrapOptions{Step: 2, Turn: 15})
		if err != nil {
			t.Fatal(err)
		}
		for i := range 400 {
			f := float64(i%100) / 100
			p := []vec2{{-3 + 50*f, 2}, {-3 + 50*f, 32}, {-3, 2 + 30*f}, {47, 2 + 30*f}}[i/100]
			if x, y := got.Move(p.x, p.y); ring.Locate(flat(edge), x, y) != ring.Inside {
				t.Fatalf("%+v: (%.1f, %.1f) is off the scrap", got, x, y)
			}
		}
	}
	turn := ScrapPlacement{Angle: 30}
	var corners []float64
	for _, p := range [][2]float64{{-2, -2}, {102, -2}, {102, 22}, {-2, 22}, {-2, -2}} {
		x, y := turn.Move(p[0], p[1])
		corners = append(corners, x, y)
	}
	strip := geom.NewMultiPolygonFlat(geom.XY, corners, [][]int{{10}})
	got, err := PlaceOnScrap(strip, geom.NewPolygonFlat(geom.XY, block(0, 0, 100, 20), []int{10}), &ScrapOptions{Step: 0.5})
	if err != nil || math.Mod(got.Angle, 180) != 30 {
		t.Errorf("%+v, %v; want 30 or 210 degrees", got, err)
	}
	_, err = PlaceOnScrap(strip, geom.NewPolygonFlat(geom.XY, block(0, 0, 100, 30), []int{10}), nil)
	var lost *ScrapError
	if !errors.As(err, &lost) || lost.Height != 30 {
		t.Errorf("too large a part: %v", err)
	}
}

func ExamplePlaceOnScrap() {
	// A piece of paper with a corner torn off, and a lid of 60 x 40 mm.
	scrap := geom.NewMultiPolygonFlat(geom.XY, []float64{0, 0, 100, 0, 100, 60, 40, 60, 0, 20, 0, 0}, [][]int{{12}})
	lid := geom.NewPolygonFlat(geom.XY, []float64{0, 0, 60, 0, 60, 40, 0, 40, 0, 0}, []int{10})
	place, err := PlaceOnScrap(scrap, lid, &ScrapOptions{Step: 1, Turn: 90})
	if err != nil {
		fmt.Println(err)
		return
	}
	x, y := place.Move(0, 0)
	fmt.Printf("turned by %g degrees, its corner at (%.0f, %.0f)\n", place.Angle, x, y)
	// Output: turned by 90 degrees, its corner at (100, 0)
}

func ExampleFindScrap() {
	// A sheet seen flat, 0.5 mm a pixel, with a dark piece of 60 x 50 mm on it.
	sheet := &Picture{Gray: scrapSheet(), MMPerPixel: 0.5}
	scrap, err := FindScrap(sheet, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	b := scrap.Bounds()
	fmt.Printf("usable: %.0f x %.0f mm\n", b.Max(0)-b.Min(0), b.Max(1)-b.Min(1))
	// Output: usable: 58 x 48 mm
}

func ExamplePicture_Flatten() {
	// The corners are given here; without them the sheet is looked for.
	photo := &Picture{Gray: scrapSheet()}
	flat, _, err := photo.Flatten(&CleanOptions{SheetWidth: 100, SheetHeight: 75,
		Corners: [4][2]float64{{0, 0}, {400, 0}, {400, 300}, {0, 300}}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d x %d pixels of %.2f mm\n", flat.Gray.Rect.Dx(), flat.Gray.Rect.Dy(), flat.MMPerPixel)
	// Output: 400 x 300 pixels of 0.25 mm
}

func ExampleScrapPlacement_Move() {
	p := ScrapPlacement{X: 100, Y: 50, Angle: 90}
	x, y := p.Move(10, 0)
	fmt.Printf("(%.0f, %.0f)\n", x, y)
	// Output: (100, 60)
}

// BenchmarkPlaceOnScrap lays a box front on a scrap of about an A5 sheet.
func BenchmarkPlaceOnScrap(b *testing.B) {
	edge := torn(rand.New(rand.NewPCG(6, 6)), 105, 105, 90)
	scrap := geom.NewMultiPolygonFlat(geom.XY, flat(edge), [][]int{{2*len(edge) + 2}})
	part := geom.NewPolygonFlat(geom.XY, block(0, 0, 100, 80), []int{10})
	for b.Loop() {
		if _, err := PlaceOnScrap(scrap, part, nil); err != nil {
			b.Fatal(err)
		}
	}
}
