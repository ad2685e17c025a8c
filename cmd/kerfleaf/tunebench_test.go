package main

import (
	"context"
	"fmt"
	"image"
	"slices"
	"testing"

	"golang.org/x/image/draw"
)

// letterPage is the demo's drawing on a page of 8 1/2 x 11 in at 300 dpi.
func letterPage() *image.Gray {
	page, scene := image.NewGray(image.Rect(0, 0, 2550, 3300)), drawScene()
	draw.BiLinear.Scale(page, page.Rect, scene, scene.Rect, draw.Src, nil)
	return page
}

// From a knob's move to the new picture on the screen, as the page itself measures
// it, on a page of 300 dpi: each knob is moved, and moved on once its picture has
// come. The median of b.N moves is told.
func BenchmarkTuneKnob(b *testing.B) {
	b.Chdir(b.TempDir())
	b.Setenv("HOME", b.TempDir())
	b.Setenv("XDG_CONFIG_HOME", b.TempDir())
	savePNG(b, "heron.png", letterPage())
	ctx := browser(b, newTuner("heron.png", flagValues{"dpi": {"300"}, "sheet": {"100x100cm"}}), 1500, 950)
	until(b, ctx, `document.getElementById('facts').textContent !== ''`)
	moves := 0
	for _, knob := range []struct {
		flag     string
		from, to float64
	}{{"kerf", 0.05, 0.4}, {"margin", 4, 14}, {"min-web", 0.5, 2}, {"grow", -0.2, 0.2}, {"tolerance", 0.04, 0.2}, {"smooth", 0, 1}, {"threshold", 0.3, 0.7}} {
		b.Run(knob.flag, func(b *testing.B) {
			ms := make([]float64, 0, b.N)
			for range b.N {
				moves++ // no place twice, or it would be known already
				v := knob.from + (knob.to-knob.from)*float64((moves*37)%100)/100 + float64(moves)*1e-4
				ms = append(ms, move(b, ctx, knob.flag, v))
			}
			slices.Sort(ms)
			b.ReportMetric(ms[len(ms)/2], "median-ms")
			b.ReportMetric(ms[len(ms)*9/10], "p90-ms")
		})
	}
}

// move moves a knob's slider and returns the time until the picture was there.
func move(t testing.TB, ctx context.Context, flag string, v float64) float64 {
	t.Helper()
	return await[float64](t, ctx, fmt.Sprintf(`new Promise((done) => {
		new PerformanceObserver((list, watch) => { watch.disconnect(); done(list.getEntriesByName('picture').at(-1).duration); }).observe({ type: 'measure' });
		const slide = document.querySelector('[data-flag=%s] input[type=range]');
		slide.step = 'any';
		slide.value = %g;
		slide.dispatchEvent(new Event('input', { bubbles: true }));
	})`, flag, v))
}

// The same without a browser: from the request to the piece that holds the lines.
func BenchmarkTuneLines(b *testing.B) {
	b.Chdir(b.TempDir())
	b.Setenv("HOME", b.TempDir())
	b.Setenv("XDG_CONFIG_HOME", b.TempDir())
	savePNG(b, "heron.png", letterPage())
	t := newTuner("heron.png", flagValues{"dpi": {"300"}, "sheet": {"100x100cm"}})
	for _, knob := range []struct {
		flag string
		from float64
	}{{"kerf", 0.05}, {"margin", 4}, {"grow", 0.1}, {"tolerance", 0.04}, {"threshold", 0.3}} {
		b.Run(knob.flag, func(b *testing.B) {
			n := 0
			for b.Loop() {
				n++
				w := wish{"box", flagValues{knob.flag: {fmt.Sprint(knob.from + float64(n)*1e-4)}}}
				err := t.answer(b.Context(), w, func(piece any) error {
					if _, ok := piece.(linesPiece); ok {
						return errSend // enough
					}
					b.Fatalf("%+v", piece)
					return nil
				})
				if err != errSend {
					b.Fatal(err)
				}
			}
		})
	}
}
