package trace

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"testing"
)

// The found corners are marked where the sheet's corners truly are, and what
// was dropped is ringed.
func TestExplain(t *testing.T) {
	s := photoOf(1, trueDrawings(t)["words"], false, 1)
	p := &Picture{Gray: s.take(t)}
	out, rep, err := p.Clean(&CleanOptions{SheetWidth: 210, SheetHeight: 297})
	if err != nil {
		t.Fatal(err)
	}
	m := rep.Explain(p, out)
	if w := m.Rect.Dx(); w < 1900 || w > 2000 {
		t.Errorf("%d pixels wide", w)
	}
	// Three pictures of one height, of which two have the sheet's shape.
	scale := (1956.0 - 4*24) / (float64(s.w)/float64(s.h) + 2*210.0/297) / float64(s.h)
	for i, c := range sheetCorners(210, 297) {
		q := s.toPixel(c).mul(scale)
		found := false
		for dy := -2; dy <= 2; dy++ {
			for dx := -2; dx <= 2; dx++ {
				x, y := panelGap+int(q.x)+dx, panelGap+captionSize+panelGap/2+int(q.y)+dy
				found = found || m.RGBAAt(x, y) == explainFound
			}
		}
		if !found {
			t.Errorf("corner %d is not marked at (%.0f, %.0f)", i, q.x, q.y)
		}
	}
	rep.specks.dust = append(rep.specks.dust, image.Rect(100, 100, 103, 103))
	if after := rep.Explain(p, out); countColour(after, explainGone) < countColour(m, explainGone)+10 {
		t.Error("a dropped speck is not ringed")
	}
}

// Nothing is left empty, whether pictures stand or lie, with a level or without.
func TestExplainLeavesNoGap(t *testing.T) {
	for _, size := range []image.Point{{400, 300}, {300, 400}, {600, 90}} {
		g := image.NewGray(image.Rectangle{Max: size})
		draw.Draw(g, g.Rect, image.White, image.Point{}, draw.Src)
		draw.Draw(g, image.Rect(40, 30, size.X-50, size.Y-30), image.Black, image.Point{}, draw.Src)
		p := &Picture{Gray: g, MMPerPixel: 0.1}
		w, h := float64(size.X), float64(size.Y)
		flat, seen, err := p.Flatten(&CleanOptions{SheetWidth: w / 10, SheetHeight: h / 10, Corners: [4][2]float64{{1, 1}, {w, 1}, {w, h}, {1, h}}})
		if err != nil {
			t.Fatal(err)
		}
		clean, rep, err := p.Clean(nil)
		if err != nil {
			t.Fatal(err)
		}
		for what, m := range map[string]*image.RGBA{"scan": rep.Explain(p, clean), "flat": seen.Explain(p, flat)} {
			if rows, columns := blank(m, m.Rect.Dy(), m.Rect.Dx(), false), blank(m, m.Rect.Dx(), m.Rect.Dy(), true); rows > 2*panelGap || columns > 300 {
				t.Errorf("%v, %s: %d empty rows, %d empty columns", size, what, rows, columns)
			}
		}
	}
}

// blank is the longest run of rows, or columns, without anything on them.
func blank(m *image.RGBA, n, across int, columns bool) (longest int) {
	run := 0
	for i := range n {
		run++
		for k := range across {
			x, y := k, i
			if columns {
				x, y = i, k
			}
			if m.RGBAAt(x, y) != explainPaper {
				run = 0
				break
			}
		}
		longest = max(longest, run)
	}
	return longest
}

func countColour(m *image.RGBA, c color.RGBA) (n int) {
	for y := range m.Rect.Dy() {
		for x := range m.Rect.Dx() {
			if m.RGBAAt(x, y) == c {
				n++
			}
		}
	}
	return n
}

func ExampleReport_Explain() {
	scan := image.NewGray(image.Rect(0, 0, 400, 300))
	draw.Draw(scan, scan.Rect, image.White, image.Point{}, draw.Src)
	draw.Draw(scan, image.Rect(100, 100, 300, 200), image.Black, image.Point{}, draw.Src)
	p := &Picture{Gray: scan, MMPerPixel: 0.1}
	clean, report, err := p.Clean(nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(report.Explain(p, clean).Rect.Dx(), "pixels wide")
	for _, s := range report.Steps {
		fmt.Println(s)
	}
	// Output:
	// 1956 pixels wide
	// straighten: not done, 4 straight edges stand upright within 0.00 degrees
	// adaptive threshold: not done, one level against a smooth estimate of the paper tells ink from paper
	// level the light: the brightest paper has 1.0 times the light of the darkest, ink has 0 % of the paper's
	// drop specks: not done, nothing is under 0.5 mm² or 0.35 mm wide
	// trim: to the ink and 2 mm round it: 24.0 x 14.0 mm
}
