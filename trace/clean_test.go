package trace

import (
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// flatScan is a scan of an A4 sheet, tilted clockwise about its middle.
func flatScan(seed uint64, rings [][]vec2, dpi, tilt float64) *scene {
	s := &scene{rng: rand.New(rand.NewPCG(seed, 1)), ink: rings, sheetW: 210, sheetH: 297}
	s.w, s.h = int(math.Round(210*dpi/25.4)), int(math.Round(297*dpi/25.4))
	turn := rotation(tilt*math.Pi/180, vec2{105, 148.5})
	s.toPixel = func(p vec2) vec2 { return turn.at(p).mul(dpi / 25.4) }
	s.paper, s.inkTone = 0.82, 0.05
	return s
}

// dirtyScan adds what scans of drawings have: guide lines in pencil, dust,
// hairs, ink with a grain and a rough edge, a lamp that fades, blur, noise and
// JPEG.
func dirtyScan(seed uint64, rings [][]vec2, dpi, tilt float64) *scene {
	s := flatScan(seed, rings, dpi, tilt)
	s.grain, s.rough = 0.03, 0.02
	s.pencil, s.dust, s.hairs = 4, 120, 6
	s.blur, s.noise, s.quality = (1+0.7*s.rng.Float64())*dpi/300, 0.02, 80
	s.light = func(x, y float64) float64 { return 1 - 0.08*x - 0.05*y*y }
	return s
}

// fromResult gives the way from mm of a result to true mm, through the way that
// the report claims and the way that the picture was taken.
func (s *scene) fromResult(out *Picture, rep *Report) func(vec2) vec2 {
	o := s.toPixel(vec2{})
	ex, ey := s.toPixel(vec2{1, 0}).sub(o), s.toPixel(vec2{0, 1}).sub(o)
	back := (&homography{ex.x, ey.x, o.x, ex.y, ey.y, o.y, 0, 0, 1}).inverse()
	return func(p vec2) vec2 {
		x, y := rep.Source(p.x/out.MMPerPixel, p.y/out.MMPerPixel)
		return back.at(vec2{x, y})
	}
}

// A scan must give the true outline, in true millimetres, with no guide line,
// dust or hair cut and no hole lost.
func TestCleanScans(t *testing.T) {
	all := trueDrawings(t)
	for i, name := range slices.Sorted(maps.Keys(all)) {
		dpi := 300.0
		if testing.Short() {
			if i > 0 {
				break
			}
			dpi = 150
		}
		t.Run(name, func(t *testing.T) {
			tilt := 1 + 0.25*float64(i)
			s := dirtyScan(uint64(i), all[name], dpi, tilt)
			p := &Picture{Gray: s.take(t), MMPerPixel: 25.4 / dpi}
			out, rep, err := p.Clean(nil)
			if err != nil {
				t.Fatal(err)
			}
			v := judge(out, all[name], s.fromResult(out, rep))
			px := 1 / out.MMPerPixel
			t.Logf("rms %.3f px, shift %+.3f px, %d of %d parts of ink, %d of %d of paper", v.rms*px, v.shift*px, v.inks, v.wantInks, v.papers, v.wantPapers)
			if v.rms*px > 0.25 || math.Abs(v.shift*px) > 0.1 {
				t.Errorf("rms %.3f px, shift %+.3f px; want 0.25 and 0.1 at most", v.rms*px, v.shift*px)
			}
			if !v.sameParts() {
				t.Errorf("%d parts of ink, %d of paper, %d points far off; want %d, %d, 0", v.inks, v.papers, v.outside, v.wantInks, v.wantPapers)
			}
			if math.Abs(rep.Tilt-tilt) > 0.02 {
				t.Errorf("tilt %.3f degrees, want %.3f", rep.Tilt, tilt)
			}
			if len(rep.Warnings) != 0 {
				t.Errorf("warnings %q", rep.Warnings)
			}
		})
	}
}

// Turned by quarters, the same scan gives the same outline in the sheet's mm.
func TestCleanQuarterTurns(t *testing.T) {
	rings := trueDrawings(t)["words"]
	s := dirtyScan(5, rings, 150, 1.5)
	g := s.take(t)
	w, h := float64(s.w), float64(s.h)
	for o, back := range map[int]*homography{
		1: {1, 0, 0, 0, 1, 0, 0, 0, 1},
		3: {-1, 0, w, 0, -1, h, 0, 0, 1},
		6: {0, 1, 0, -1, 0, h, 0, 0, 1}, // (x, y) of the turned picture was at (y, h-x)
		8: {0, -1, w, 1, 0, 0, 0, 0, 1},
	} {
		if testing.Short() && o != 6 {
			continue
		}
		out, rep, err := (&Picture{Gray: oriented(g, o), MMPerPixel: 25.4 / 150}).Clean(nil)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(rep.Tilt-1.5) > 0.02 {
			t.Errorf("turn %d: tilt %.3f, want 1.5", o, rep.Tilt)
		}
		rep.view.toSource = *back.after(&rep.view.toSource)
		v := judge(out, rings, s.fromResult(out, rep))
		if px := out.MMPerPixel; v.rms > 0.25*px || math.Abs(v.shift) > 0.02*px || !v.sameParts() {
			t.Errorf("turn %d: %+v", o, v)
		}
	}
}

// One sheet scanned at many tilts has the same area of ink in mm².
func TestCleanAnyTilt(t *testing.T) {
	rings := trueDrawings(t)["moon"]
	var areas []float64
	tilts := []float64{-4, 0.5, -1.3, 0, 4}
	if testing.Short() {
		tilts = tilts[:2]
	}
	for _, tilt := range tilts {
		s := flatScan(1, rings, 100, tilt)
		s.blur = 0.8
		out, rep, err := (&Picture{Gray: s.take(t), MMPerPixel: 0.254}).Clean(nil)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(rep.Tilt-tilt) > 0.02 {
			t.Errorf("tilt %.3f, want %.1f: %v", rep.Tilt, tilt, rep.Steps)
		}
		areas = append(areas, inkArea(out))
	}
	if lo, hi := slices.Min(areas), slices.Max(areas); hi/lo > 1.002 {
		t.Errorf("areas differ: %.1f", areas)
	}
}

func inkArea(p *Picture) (mm2 float64) {
	g := p.Gray
	for y := range g.Rect.Dy() {
		for x := range g.Rect.Dx() {
			mm2 += 1 - float64(g.Pix[y*g.Stride+x])/255
		}
	}
	return mm2 * p.MMPerPixel * p.MMPerPixel
}

func TestCleanLeavesItsInput(t *testing.T) {
	s := dirtyScan(2, trueDrawings(t)["words"], 60, 1)
	p := &Picture{Gray: s.take(t), MMPerPixel: 25.4 / 60, Notes: []string{"as read"}}
	was := slices.Clone(p.Gray.Pix)
	out, _, err := p.Clean(nil)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(was, p.Gray.Pix) || len(p.Notes) != 1 {
		t.Error("the input changed")
	}
	if len(out.Notes) != 1 || out.MMPerPixel != p.MMPerPixel {
		t.Errorf("notes %q, %v mm", out.Notes, out.MMPerPixel)
	}
}

// A sheet on the scanner's black lid gives a frame of ink: say so.
func TestCleanDarkBorder(t *testing.T) {
	g := image.NewGray(image.Rect(0, 0, 400, 500))
	draw.Draw(g, image.Rect(40, 30, 380, 460), image.NewUniform(color.Gray{Y: 230}), image.Point{}, draw.Src)
	draw.Draw(g, image.Rect(150, 200, 250, 300), image.Black, image.Point{}, draw.Src)
	_, rep, err := (&Picture{Gray: g, MMPerPixel: 0.2}).Clean(nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(rep.Warnings) != 1 || !strings.Contains(rep.Warnings[0], "100 % of the picture's border is dark") {
		t.Errorf("warnings %q", rep.Warnings)
	}
}

func TestCleanNothingToFind(t *testing.T) {
	page := func() *image.Gray {
		g := image.NewGray(image.Rect(0, 0, 300, 400))
		draw.Draw(g, g.Rect, image.NewUniform(color.Gray{Y: 230}), image.Point{}, draw.Src)
		return g
	}
	blank := page()
	dusty := page()
	for i := range 20 {
		dusty.SetGray(i*13, i*17, color.Gray{})
	}
	for name, g := range map[string]*image.Gray{"blank": blank, "dust only": dusty, "black": image.NewGray(image.Rect(0, 0, 300, 400)), "two pixels": image.NewGray(image.Rect(0, 0, 2, 2))} {
		out, rep, err := (&Picture{Gray: g, MMPerPixel: 0.1}).Clean(nil)
		if !errors.Is(err, ErrNoInk) || out != nil || rep != nil {
			t.Errorf("%s: %v, %v, %v", name, out, rep, err)
		}
		_, _, err = (&Picture{Gray: g}).Clean(&CleanOptions{SheetWidth: 210, SheetHeight: 297})
		var noSheet *SheetError
		if !errors.As(err, &noSheet) || !strings.HasPrefix(err.Error(), "trace: no sheet of 210 x 297 mm") {
			t.Errorf("%s as a photo: %v", name, err)
		}
	}
}

func ExamplePicture_Clean() {
	// A scan: grey paper, a dark block and a speck of dust.
	scan := image.NewGray(image.Rect(0, 0, 400, 300))
	draw.Draw(scan, scan.Rect, image.NewUniform(color.Gray{Y: 210}), image.Point{}, draw.Src)
	draw.Draw(scan, image.Rect(100, 100, 300, 200), image.NewUniform(color.Gray{Y: 50}), image.Point{}, draw.Src)
	scan.SetGray(50, 50, color.Gray{Y: 40})

	p := &Picture{Gray: scan, MMPerPixel: 0.1}
	clean, report, err := p.Clean(nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	g := clean.Gray
	fmt.Println(g.Rect.Size(), "paper", g.GrayAt(5, 5).Y, "ink", g.GrayAt(g.Rect.Dx()/2, g.Rect.Dy()/2).Y)
	fmt.Println("dust dropped:", report.Dust)
	// Output:
	// (240,140) paper 255 ink 0
	// dust dropped: 1
}

func ExampleReport_Source() {
	scan := image.NewGray(image.Rect(0, 0, 400, 300))
	draw.Draw(scan, scan.Rect, image.White, image.Point{}, draw.Src)
	draw.Draw(scan, image.Rect(100, 100, 300, 200), image.Black, image.Point{}, draw.Src)
	p := &Picture{Gray: scan, MMPerPixel: 0.1}
	_, report, err := p.Clean(nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(report.Source(20, 20)) // the block's corner: 2 mm of paper were left round it
	// Output: 100 100
}

func ExampleStep() {
	s := Step{Name: "straighten", Why: "as asked"}
	fmt.Println(s)
	// Output: straighten: not done, as asked
}
