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
	scale := float64(panelHeight) / float64(s.h)
	if by := float64(panelWidth) / float64(s.w); by < scale {
		scale = by
	}
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
