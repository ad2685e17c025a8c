package trace

import (
	"errors"
	"fmt"
	"image"
	"maps"
	"math"
	"slices"
	"testing"
)

// A photo must give the sheet's true millimetres: nothing is fitted to the
// truth before the two are compared.
func TestCleanPhotos(t *testing.T) {
	all := trueDrawings(t)
	for i, tt := range []struct {
		drawing string
		hard    bool
		rms     float64
	}{{"moon", false, 0.5}, {"words", false, 0.5}, {"letters", true, 2}, {"solid", true, 2}} {
		megapixels := 12.0
		if testing.Short() {
			if i > 0 {
				break
			}
			megapixels = 2
		}
		t.Run(fmt.Sprintf("%s hard=%v", tt.drawing, tt.hard), func(t *testing.T) {
			s := photoOf(uint64(i), all[tt.drawing], tt.hard, megapixels)
			out, rep, err := (&Picture{Gray: s.take(t)}).Clean(&CleanOptions{SheetWidth: 210, SheetHeight: 297})
			if err != nil {
				t.Fatal(err)
			}
			v := judge(out, all[tt.drawing], func(p vec2) vec2 { return p })
			px := 1 / out.MMPerPixel
			t.Logf("rms %.3f px, shift %+.3f px, size off by %.4f %%, k1 %.4f, %d of %d parts of ink, %d of %d of paper", v.rms*px, v.shift*px, 100*v.stretch, rep.Distortion, v.inks, v.wantInks, v.papers, v.wantPapers)
			if v.rms*px > tt.rms || math.Abs(v.shift*px) > 0.1 || math.Abs(v.stretch) > 5e-4 {
				t.Errorf("rms %.3f px, shift %+.3f px, size off by %.4f %%; want %g, 0.1 and 0.05 at most", v.rms*px, v.shift*px, 100*v.stretch, tt.rms)
			}
			if !v.sameParts() {
				t.Errorf("%d parts of ink, %d of paper, %d points far off; want %d, %d, 0", v.inks, v.papers, v.outside, v.wantInks, v.wantPapers)
			}
			for k, c := range sheetCorners(210, 297) {
				if d := s.toPixel(c).sub(vec2{rep.Sheet[k][0], rep.Sheet[k][1]}).norm(); d > 1 {
					t.Errorf("corner %d is off by %.2f px", k, d)
				}
			}
		})
	}
}

// On a table as light as the sheet, and without a shadow, its edges cannot be
// seen. Then there must be an error, not the frame or black area that is drawn
// on it.
func TestCleanSheetNotSeen(t *testing.T) {
	all := trueDrawings(t)
	for i, name := range slices.Sorted(maps.Keys(all)) {
		s := photoOf(704+uint64(i), all[name], false, 2)
		s.table = func(s *scene) []float32 { return s.plain(s.paper) }
		_, _, err := (&Picture{Gray: s.take(t)}).Clean(&CleanOptions{SheetWidth: 210, SheetHeight: 297})
		var lost *SheetError
		if !errors.As(err, &lost) {
			t.Errorf("%s: %v, want a *SheetError", name, err)
		}
	}
}

// Corners given by hand are used as they are.
func TestCleanGivenCorners(t *testing.T) {
	rings := trueDrawings(t)["words"]
	s := photoOf(1, rings, false, 1)
	opts := &CleanOptions{SheetWidth: 210, SheetHeight: 297}
	for i, c := range sheetCorners(210, 297) {
		p := s.toPixel(c)
		opts.Corners[i] = [2]float64{p.x, p.y}
	}
	out, rep, err := (&Picture{Gray: s.take(t)}).Clean(opts)
	if err != nil {
		t.Fatal(err)
	}
	if v := judge(out, rings, func(p vec2) vec2 { return p }); v.rms > 0.1 || !v.sameParts() {
		t.Errorf("%+v", v)
	}
	if rep.Steps[0].Ran || rep.Steps[0].Name != "find the sheet" {
		t.Errorf("steps %v", rep.Steps)
	}
	for name, c := range map[string][4][2]float64{
		"on a line": {{1, 1}, {2, 2}, {3, 3}, {4, 4}},
		"far off":   {{0, 0}, {1e9, 0}, {1e9, 1e9}, {0, 1e9}},
		"no number": {{math.NaN(), 0}, {10, 0}, {10, 10}, {0, 10}},
		"crossed":   {{0, 0}, {100, 100}, {100, 0}, {0, 100}},
	} {
		opts.Corners = c
		var lost *SheetError
		if _, _, err := (&Picture{Gray: s.take(t)}).Clean(opts); !errors.As(err, &lost) {
			t.Errorf("corners %s: %v", name, err)
		}
	}
}

// Turned by quarters, the same photo gives the same outline in the sheet's mm.
func TestCleanPhotoQuarterTurns(t *testing.T) {
	rings := trueDrawings(t)["moon"]
	s := photoOf(6, rings, true, 2)
	g := s.take(t)
	for quarters, o := range [4]int{1, 6, 3, 8} { // EXIF orientations
		if testing.Short() && o != 6 {
			continue
		}
		out, _, err := (&Picture{Gray: oriented(g, o)}).Clean(&CleanOptions{SheetWidth: 210, SheetHeight: 297})
		if err != nil {
			t.Fatal(err)
		}
		px := out.MMPerPixel
		if v := judge(out, rings, fromTurned[quarters]); v.rms > 0.5*px || math.Abs(v.shift) > 0.1*px || math.Abs(v.stretch) > 5e-4 || !v.sameParts() {
			t.Errorf("turn %d: %+v at %.3f mm", o, v, px)
		}
	}
}

// A sheet may lie on its side, and have another size.
func TestCleanLyingSheet(t *testing.T) {
	s := photoOf(3, [][]vec2{rectRing(40, 40, 170, 100), discRing(100, 180, 40)}, false, 2)
	s.sheetW, s.sheetH = 215.9, 279.4
	s.toPixel = camera{w: s.w, h: s.h, focal: 1200, tilt: 30, toward: 200, roll: 94, fill: 0.9}.sees(215.9, 279.4)
	out, rep, err := (&Picture{Gray: s.take(t)}).Clean(&CleanOptions{SheetWidth: 215.9, SheetHeight: 279.4})
	if err != nil {
		t.Fatal(err)
	}
	w, h := float64(out.Gray.Rect.Dx())*out.MMPerPixel, float64(out.Gray.Rect.Dy())*out.MMPerPixel
	if math.Abs(w-279.4) > 0.3 || math.Abs(h-215.9) > 0.3 {
		t.Errorf("%.1f x %.1f mm", w, h)
	}
	for i, c := range sheetCorners(215.9, 279.4) {
		// Turned clockwise by a quarter, its top left is seen at the top right.
		at := rep.Sheet[(i+1)%4]
		if d := s.toPixel(c).sub(vec2{at[0], at[1]}).norm(); d > 1 {
			t.Errorf("corner %d is off by %.2f px", i, d)
		}
	}
}

func FuzzClean(f *testing.F) {
	f.Add([]byte("\xf0\xf0\xf0\x10\x10\xf0\xf0\xf0\xf0"), uint8(3), 210.0, 297.0, 0.0, 0.0, 3.0, 3.0)
	f.Add([]byte{255, 0, 255, 0, 255, 0, 255, 0}, uint8(2), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
	f.Fuzz(func(t *testing.T, pix []byte, width uint8, sheetW, sheetH, x0, y0, x1, y1 float64) {
		w := max(2, int(width))
		h := len(pix) / w
		if h < 2 || h > 200 {
			return
		}
		p := &Picture{Gray: &image.Gray{Pix: pix, Stride: w, Rect: image.Rect(0, 0, w, h)}, MMPerPixel: 0.3}
		opts := &CleanOptions{SheetWidth: sheetW, SheetHeight: sheetH, MinArea: 0.01, MinWidth: 0.01, Corners: [4][2]float64{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}}
		out, rep, err := p.Clean(opts)
		if (err == nil) != (out != nil && rep != nil) {
			t.Fatalf("%v, %v, %v", out, rep, err)
		}
		if err == nil {
			rep.Explain(p, out)
		}
	})
}

// Unit square to a trapezium, and an A4 sheet to a photo: worked by hand from
// the two linear equations a point, with h33 = 1.
func TestHomographyWorked(t *testing.T) {
	near := func(got *homography, want homography, within float64) {
		t.Helper()
		for i := range want {
			if math.Abs(got[i]-want[i]) > within {
				t.Errorf("%v, want %v", *got, want)
				return
			}
		}
	}
	h := homographyFrom(sheetCorners(1, 1), [4]vec2{{0, 0}, {4, 0}, {3, 2}, {1, 2}})
	near(h, homography{4, 2, 0, 0, 4, 0, 0, 1, 1}, 1e-12)
	if p := h.at(vec2{0.5, 0.5}); math.Abs(p.x-2) > 1e-12 || math.Abs(p.y-4.0/3) > 1e-12 {
		t.Errorf("(0.5, 0.5) -> %v, want (2, 4/3)", p)
	}
	near(h.inverse(), homography{0.25, -0.125, 0, 0, 0.25, 0, 0, -0.25, 1}, 1e-12)
	near(h.after(h.inverse()), homography{0: 1, 4: 1, 8: 1}, 1e-12)

	h = homographyFrom(sheetCorners(210, 297), [4]vec2{{100, 80}, {900, 120}, {860, 1180}, {140, 1240}})
	near(h, homography{4.242151119, 0.189699306, 100, 0.248159832, 4.393036570, 80, 0.000480697, 0.000392994, 1}, 5e-10)
	if p := h.at(vec2{105, 148.5}); math.Abs(p.x-517.2973) > 5e-5 || math.Abs(p.y-683.9829) > 5e-5 {
		t.Errorf("centre -> %v, want (517.2973, 683.9829)", p)
	}
	if homographyFrom(sheetCorners(1, 1), [4]vec2{{0, 0}, {1, 1}, {2, 2}, {0, 1}}) != nil {
		t.Error("three corners on a line: want none")
	}
}

// Any camera's view of the sheet fits it; other shapes do not.
func TestMisfit(t *testing.T) {
	for i := range uint64(20) {
		s := photoOf(i, nil, false, 12)
		var c [4]vec2
		for k, p := range sheetCorners(210, 297) {
			c[k] = s.toPixel(p)
		}
		middle := vec2{float64(s.w) / 2, float64(s.h) / 2}
		if m, turned := misfitOf(c, middle, 210, 297); m > 0.01 || turned {
			t.Errorf("photo %d: misfit %.4f, turned %v", i, m, turned)
		}
		if m, turned := misfitOf(c, middle, 297, 210); m > 0.01 || !turned {
			t.Errorf("photo %d, named the other way: misfit %.4f, turned %v", i, m, turned)
		}
		if m, _ := misfitOf(c, middle, 200, 200); m < 0.06 {
			t.Errorf("photo %d: a square would fit within %.4f", i, m)
		}
	}
}

func TestLensThereAndBack(t *testing.T) {
	for _, k1 := range []float64{-0.08, -0.02, 0, 0.03} {
		l := lens{centre: vec2{1500, 2000}, unit: 2500, k1: k1}
		for _, p := range []vec2{{0, 0}, {1500, 2000}, {3000, 4000}, {10, 3000}} {
			if d := l.bent(l.straight(p)).sub(p).norm(); d > 1e-3 {
				t.Errorf("k1 %v at %v: off by %g", k1, p, d)
			}
		}
	}
}

// The best split of the histogram 8 7 2 6 9 4 is before level 3: the worked
// example of Otsu's method (1979) that many courses give.
func TestBestSplitWorked(t *testing.T) {
	if got := bestSplit([]int{8, 7, 2, 6, 9, 4}); got != 3 {
		t.Errorf("%d, want 3", got)
	}
}

func TestFitLineIgnoresOutliers(t *testing.T) {
	var points []vec2
	for i := range 200 {
		x := float64(i)
		y := 10 + 0.1*x
		if i%4 == 0 {
			y += 5 + float64(i%7)
		}
		points = append(points, vec2{x, y})
	}
	l, kept, rms := fitLine(points, vec2{0, 1})
	if len(kept) != 150 || rms > 1e-9 || math.Abs(l.normal.x/l.normal.y+0.1) > 1e-9 {
		t.Errorf("%+v, %d kept, rms %g", l, len(kept), rms)
	}
	slices.Reverse(points)
	if again, _, _ := fitLine(points, vec2{0, 1}); again.normal.sub(l.normal).norm() > 1e-9 {
		t.Errorf("reversed: %v, want %v", again.normal, l.normal)
	}
}
