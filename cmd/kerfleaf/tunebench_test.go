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

// tuneLetter is a tuner of that page.
func tuneLetter(b *testing.B) *tuner {
	b.Chdir(b.TempDir())
	b.Setenv("HOME", b.TempDir())
	b.Setenv("XDG_CONFIG_HOME", b.TempDir())
	savePNG(b, "heron.png", letterPage())
	return newTuner("heron.png", flagValues{"dpi": {"300"}, "sheet": {"100x100cm"}})
}

// turned is a knob of the page with the values that a benchmark turns it to, in
// thousandths, as the page rounds to them.
type turned struct {
	flag       string
	from, step int
	made       string // the first stage that has to run anew
	turns      int    // so far
}

func turnedKnobs() []*turned {
	return []*turned{
		{"threshold", 300, 2, "trace", 0}, {"tolerance", 40, 1, "trace", 0}, {"smooth", 5, 5, "trace", 0}, {"min-area", 200, 15, "trace", 0}, {"paper", 0, 0, "check", 0},
		{"grow", -199, 2, "grow", 0}, {"bridge", 1000, 15, "tie", 0}, {"margin", 4000, 50, "tie", 0}, {"min-web", 500, 8, "check", 0}, {"kerf", 50, 2, "kerf", 0},
	}
}

// places is how many values a knob is turned to: a prime, so that any stride meets
// each once.
const places = 199

// next is a value that was not there before, far from the one before it.
func (k *turned) next(b *testing.B) float64 {
	if k.turns == places {
		b.Fatalf("%s has %d new values only: take fewer turns", k.flag, places)
	}
	k.turns++
	return float64(k.from+k.step*(k.turns*79%places)) / 1000
}

// From a knob's move to the new picture on the screen, as the page itself measures
// it, on a page of 300 dpi: each knob is moved, and moved on once its picture has
// come. The counts of the stages prove that nothing was known before. Told are the
// medians of b.N moves until the lines were on the screen, and until all was, marks
// and all.
func BenchmarkTuneKnob(b *testing.B) { benchmarkKnobs(b, "picture", turnedKnobs()) }

// The same to the mock-up of the finished front.
func BenchmarkTuneFront(b *testing.B) {
	all := turnedKnobs()
	benchmarkKnobs(b, "front", []*turned{all[0], all[len(all)-1]})
}

func benchmarkKnobs(b *testing.B, until string, all []*turned) {
	tn := tuneLetter(b)
	ctx := browser(b, tn, 1500, 950)
	settled(b, ctx)
	other := turnedKnobs()[0]
	for _, knob := range all {
		b.Run(knob.flag, func(b *testing.B) {
			var lines, whole []float64
			for range b.N {
				act := fmt.Sprintf(`slide('%s', %g)`, knob.flag, knob.next(b))
				if knob.flag == "paper" { // there are few, so that another knob makes each new
					move(b, ctx, "picture", fmt.Sprintf(`slide('threshold', %g)`, other.next(b)+0.001))
					act = fmt.Sprintf(`choose('paper', %d)`, knob.turns)
				}
				before := tn.stages.runs()[knob.made]
				came := move(b, ctx, until, act)
				if tn.stages.runs()[knob.made] == before {
					b.Fatalf("%s: there was nothing to do for %s", act, knob.made)
				}
				lines, whole = append(lines, came["lines"]), append(whole, came[until])
			}
			eval[any](b, ctx, `document.querySelectorAll('.set .back').forEach((e) => e.click())`)
			settled(b, ctx)
			slices.Sort(lines)
			slices.Sort(whole)
			b.ReportMetric(lines[len(lines)/2], "lines-ms")
			b.ReportMetric(whole[len(whole)/2], until+"-ms")
			b.ReportMetric(whole[len(whole)*9/10], "p90-ms")
		})
	}
}

// move moves a knob, waits for a part of the page, and returns what the page measured.
func move(t testing.TB, ctx context.Context, until, act string) map[string]float64 {
	t.Helper()
	return await[map[string]float64](t, ctx, `new Promise((done) => {
		const came = {}, begun = performance.now();
		new PerformanceObserver((list, watch) => {
			for (const e of list.getEntries()) if (e.startTime >= begun) came[e.name] = e.duration;
			if (came.`+until+`) { watch.disconnect(); done(came); }
		}).observe({ type: 'measure' });
		const tell = (e, what) => e.dispatchEvent(new Event(what, { bubbles: true }));
		const slide = (flag, v) => { const e = document.querySelector('[data-flag=' + flag + '] input[type=range]'); e.step = 'any'; e.value = v; tell(e, 'input'); };
		const choose = (id, n) => { const e = document.getElementById(id); e.selectedIndex = (e.selectedIndex + 1 + n % 3) % e.options.length; tell(e, 'change'); };
		`+act+`;
	})`)
}

// While a hand draws a knob along for three seconds: how old the pictures are that it
// sees, and how many come a second. A few turns will do.
func BenchmarkTuneDrag(b *testing.B) {
	tn := tuneLetter(b)
	ctx := browser(b, tn, 1500, 950)
	settled(b, ctx)
	for _, flag := range []string{"threshold", "kerf"} {
		b.Run(flag, func(b *testing.B) {
			var all []float64
			for n := range b.N {
				all = append(all, await[[]float64](b, ctx, fmt.Sprintf(`new Promise((done) => {
					const came = [], begun = performance.now(), slide = document.querySelector('[data-flag=%s] input[type=range]');
					const watch = new PerformanceObserver((list) => { for (const e of list.getEntriesByName('picture')) if (e.startTime >= begun) came.push(e.duration); });
					watch.observe({ type: 'measure' });
					slide.step = 'any';
					const low = Number(slide.min), high = Number(slide.max), timer = setInterval(() => {
						const gone = (performance.now() - begun) / 3000;
						if (gone >= 1) { clearInterval(timer); watch.disconnect(); return done(came); }
						slide.value = low + (high - low) * (0.3 + 0.4 * gone) + %g;
						slide.dispatchEvent(new Event('input', { bubbles: true }));
					}, 16);
				})`, flag, float64(n)/1000))...)
				settled(b, ctx)
			}
			slices.Sort(all)
			b.ReportMetric(all[len(all)/2], "picture-ms")
			b.ReportMetric(all[len(all)*9/10], "p90-ms")
			b.ReportMetric(float64(len(all))/float64(3*b.N), "pictures/s")
		})
	}
}

// The same without a browser, for profiles: the whole answer to a move.
func BenchmarkTuneAnswer(b *testing.B) {
	tn := tuneLetter(b)
	if err := tn.answer(b.Context(), wish{"box", flagValues{}}, func(...any) error { return nil }); err != nil {
		b.Fatal(err)
	}
	for _, knob := range turnedKnobs() {
		if knob.flag == "paper" {
			continue
		}
		b.Run(knob.flag, func(b *testing.B) {
			for range b.N {
				w := wish{"box", flagValues{knob.flag: {fmt.Sprint(knob.next(b))}}}
				before := tn.stages.runs()[knob.made]
				err := tn.answer(b.Context(), w, func(pieces ...any) error {
					if failed, ok := pieces[0].(failedPiece); ok {
						b.Fatal(failed.Why)
					}
					return nil
				})
				if err != nil {
					b.Fatal(err)
				}
				if tn.stages.runs()[knob.made] == before {
					b.Fatalf("%v: there was nothing to do for %s", w, knob.made)
				}
			}
		})
	}
}
