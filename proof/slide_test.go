package proof_test

import (
	"bytes"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.org/kerfleaf/box"
	"example.org/kerfleaf/export"
	"example.org/kerfleaf/offset"
	"example.org/kerfleaf/proof"
	"github.com/twpayne/go-geom"
)

// netFile writes a net, with an opening where it has a window, and reads the file back.
func netFile(t testing.TB, n *box.Net, kerf float64, scores export.Layer, format string) *export.Drawing {
	t.Helper()
	outline := geom.NewMultiPolygon(geom.XY)
	if err := outline.Push(n.Outline); err != nil {
		t.Fatal(err)
	}
	around, err := offset.Outline(outline, kerf)
	if err != nil {
		t.Fatal(err)
	}
	shapes := []geom.T{n.Slits, around}
	if w := n.Window; w != nil {
		x0, y0, x1, y1 := w.Min(0), w.Min(1), w.Max(0), w.Max(1)
		shapes = append([]geom.T{geom.NewLinearRingFlat(geom.XY, []float64{x0, y0, x1, y0, x1, y1, x0, y0})}, shapes...)
	}
	for _, g := range append(shapes, scores.Shapes...) {
		shift(g, kerf/2, kerf/2)
	}
	size := around.Bounds()
	d := &export.Drawing{Width: size.Max(0), Height: size.Max(1), Layers: []export.Layer{scores, {Role: export.Cut, Shapes: shapes}}}
	f, err := proof.Read(bytes.NewReader(file(t, d, format)))
	if err != nil {
		t.Fatal(err)
	}
	return f.Drawing
}

// The gap of folded trays whose scores stand F and F' apart, of papers f and b thick, is (F - F' - 3f - b)/2 where two tabs of the front
// lie between its walls and (F - F' - f - b)/2 where none do: a score is the middle of the paper.
func TestSlideFindsTheGap(t *testing.T) {
	rnd := rand.New(rand.NewPCG(4, 9))
	n := 60
	if testing.Short() {
		n = 12
	}
	for range n {
		spec := box.Spec{
			Width: 20 + 180*rnd.Float64(), Height: 20 + 180*rnd.Float64(), Margin: 5 + 5*rnd.Float64(), Depth: 8 + 30*rnd.Float64(),
			FrontThickness: 0.1 + 0.5*rnd.Float64(), BaseThickness: 0.1 + 0.5*rnd.Float64(), Gap: 0.3 + rnd.Float64(),
			Tab: []box.Tab{box.Square, box.Mitred}[rnd.IntN(2)],
		}
		front, err := spec.Front()
		if err != nil {
			t.Fatal(err)
		}
		base, err := spec.Base()
		if err != nil {
			t.Fatal(err)
		}
		measures, err := spec.Measures()
		if err != nil {
			t.Fatal(err)
		}
		kerf := []float64{0, 0.15}[rnd.IntN(2)]
		format := []string{"SVG", "DXF", "DXF in"}[rnd.IntN(3)]
		scores := [2]export.Layer{{Role: export.Mountain, Shapes: []geom.T{front.Mountain}}, {Role: export.Mountain, Shapes: []geom.T{base.Mountain}}}
		switch rnd.IntN(4) {
		case 0:
			for i, net := range []*box.Net{front, base} {
				rows, err := box.Perforate(net.Mountain, 1.5, 1)
				if err != nil {
					t.Fatal(err)
				}
				scores[i] = export.Layer{Role: export.Perforation, Shapes: []geom.T{rows}}
			}
		case 1:
			for i, net := range []*box.Net{front, base} {
				marks, err := box.EndMarks(net.Mountain, 3)
				if err != nil {
					t.Fatal(err)
				}
				scores[i].Shapes = []geom.T{marks}
			}
		case 2:
			front, _ = front.FaceDown(nil)
			scores[0] = export.Layer{Role: export.Valley, Shapes: []geom.T{front.Valley}}
		}
		fd := netFile(t, front, kerf, scores[0], format)
		bd := netFile(t, base, kerf, scores[1], format)
		fit, err := proof.Slide(proof.Tray{Drawing: fd, Thickness: spec.FrontThickness, Kerf: kerf}, proof.Tray{Drawing: bd, Thickness: spec.BaseThickness, Kerf: kerf})
		if err != nil {
			t.Fatalf("%+v: %v", spec, err)
		}
		if math.Abs(fit.Width-measures.Gap.Width) > 0.01 || math.Abs(fit.Height-measures.Gap.Height) > 0.01 {
			t.Errorf("%+v: the gap is %.3f and %.3f, it should be %.3f and %.3f", spec, fit.Width, fit.Height, measures.Gap.Width, measures.Gap.Height)
		}
		if !fit.OK() {
			t.Errorf("%+v: %v", spec, fit.Claims)
		}
	}
}

// A tray by hand, on lines of its own: 60 x 40 within the scores, walls of 10, tabs on the walls at the sides.
func plainTray(w, h float64) *export.Drawing {
	const d = 10
	line := func(p ...float64) geom.T { return geom.NewLineStringFlat(geom.XY, p) }
	return &export.Drawing{Width: w + 2*d, Height: h + 2*d, Layers: []export.Layer{
		{Role: export.Mountain, Shapes: []geom.T{line(0, d, w+2*d, d), line(0, d+h, w+2*d, d+h), line(d, d, d, d+h), line(d+w, d, d+w, d+h)}},
		{Role: export.Cut, Shapes: []geom.T{
			line(d, 0, d, d), line(d+w, 0, d+w, d), line(d, h+d, d, h+2*d), line(d+w, h+d, d+w, h+2*d),
			geom.NewLinearRingFlat(geom.XY, []float64{0, 0, w + 2*d, 0, w + 2*d, h + 2*d, 0, h + 2*d, 0, 0}),
		}},
	}}
}

// The tabs hang on the walls at the sides and lie inside the walls above and below, so the height is the narrower axis. Sizes from the
// formulas: (60 - 57 - 0.3 - 0.5)/2 = 1.1 and (40 - 37 - 3*0.3 - 0.5)/2 = 0.8.
func TestSlideByHand(t *testing.T) {
	fit, err := proof.Slide(proof.Tray{Drawing: plainTray(60, 40), Thickness: 0.3}, proof.Tray{Drawing: plainTray(57, 37), Thickness: 0.5})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(fit.Width-1.1) > 1e-9 || math.Abs(fit.Height-0.8) > 1e-9 || fit.Turned || !fit.OK() {
		t.Errorf("got %+v", fit)
	}
	// A base drawn on its side goes in turned: (60 - 57 - 0.3 - 0.5)/2 across the width, as its walls are now.
	fit, err = proof.Slide(proof.Tray{Drawing: plainTray(60, 40), Thickness: 0.3}, proof.Tray{Drawing: plainTray(37, 57), Thickness: 0.5})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(fit.Width-1.1) > 1e-9 || math.Abs(fit.Height-0.8) > 1e-9 || !fit.Turned || !fit.OK() {
		t.Errorf("turned: got %+v", fit)
	}
	for _, c := range []struct {
		size float64
		want string
	}{{39.2, "does not go"}, {38.4, "jams"}} {
		fit, err := proof.Slide(proof.Tray{Drawing: plainTray(60, 40), Thickness: 0.3}, proof.Tray{Drawing: plainTray(50, c.size), Thickness: 0.5})
		if err != nil {
			t.Fatal(err)
		}
		if last := fit.Claims[len(fit.Claims)-1]; fit.OK() || last.OK || !strings.Contains(last.Text, c.want) {
			t.Errorf("a base of %v: got %+v", c.size, fit)
		}
	}
}

func TestSlideSeesWhatDoesNotFold(t *testing.T) {
	good := proof.Tray{Drawing: plainTray(57, 37), Thickness: 0.3}
	flat := plainTray(60, 40)
	flat.Layers = flat.Layers[1:]
	three := plainTray(60, 40)
	three.Layers[0].Shapes = three.Layers[0].Shapes[:3]
	other := plainTray(60, 40)
	other.Layers = append(other.Layers, export.Layer{Role: export.Valley, Shapes: other.Layers[0].Shapes[3:]})
	other.Layers[0].Shapes = other.Layers[0].Shapes[:3]
	uncut := plainTray(60, 40)
	uncut.Layers[1].Shapes = uncut.Layers[1].Shapes[1:]
	for name, d := range map[string]*export.Drawing{"no scores": flat, "three walls": three, "a wall the other way": other, "an uncut corner": uncut} {
		fit, err := proof.Slide(proof.Tray{Drawing: d, Thickness: 0.3}, good)
		if err == nil && fit.OK() {
			t.Errorf("%s was not noticed: %v", name, fit.Claims)
		}
		t.Log(name, err, fit)
	}
}
