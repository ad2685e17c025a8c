package main

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// openPage opens lanterns.png, 120 mm wide, and waits for its first picture.
func openPage(t *testing.T, wide, high int, flags flagValues) (*tuner, context.Context) {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser takes its time")
	}
	desk(t)
	savePNG(t, "lanterns.png", lanterns(600, 400))
	if flags == nil {
		flags = flagValues{}
	}
	flags["width"] = []string{"120mm"}
	tn := newTuner("lanterns.png", flags)
	ctx := browser(t, tn, wide, high)
	settled(t, ctx)
	until(t, ctx, `performance.getEntriesByName('front').length > 0`) // nothing moves any more
	return tn, ctx
}

// settled waits until the whole answer to the latest wish has come.
func settled(t testing.TB, ctx context.Context) {
	t.Helper()
	until(t, ctx, `document.body.dataset.state === 'settled'`)
}

func shownLine(t testing.TB, ctx context.Context) string {
	t.Helper()
	settled(t, ctx)
	return eval[string](t, ctx, `document.getElementById('line').textContent`)
}

// What the page says is what the command says.
func TestPageNumbers(t *testing.T) {
	_, ctx := openPage(t, 1300, 900, nil)
	line := shownLine(t, ctx)
	if want := "kerfleaf box lanterns.png --width 120mm"; line != want {
		t.Fatalf("the page shows %q, want %q", line, want)
	}
	var said struct {
		Bridges int
		Faults  []struct{ Text string }
		CutOut  sizeJSON `json:"cut_out"`
	}
	if err := json.Unmarshal([]byte(mustRun(t, append(strings.Fields(line)[1:], "--json")...)), &said); err != nil {
		t.Fatal(err)
	}
	if n := eval[int](t, ctx, `document.querySelectorAll('.strap').length`); n != said.Bridges || n < 5 {
		t.Errorf("%d bridges shown, the command ties %d", n, said.Bridges)
	}
	texts := eval[[]string](t, ctx, `[...document.querySelectorAll('#faults button')].map((b) => b.textContent)`)
	labels := eval[[]string](t, ctx, `[...document.querySelectorAll('.mark')].map((b) => b.getAttribute('aria-label'))`)
	var want []string
	for _, f := range said.Faults {
		want = append(want, strings.TrimPrefix(f.Text, "stencil: "))
	}
	if !slices.Equal(texts, want) || !slices.Equal(labels, want) || len(want) == 0 {
		t.Errorf("listed %q, marked %q, the command says %q", texts, labels, want)
	}
	if about := eval[string](t, ctx, `document.getElementById('about').textContent`); !strings.Contains(about, fmt.Sprintf("(%g mm)", math.Round(said.CutOut.Width*10)/10)) {
		t.Errorf("%q, the cut-out is %v wide", about, said.CutOut.Width)
	}
	// Nothing came from elsewhere.
	if away := eval[[]string](t, ctx, `performance.getEntriesByType('resource').map((e) => e.name).filter((n) => !n.startsWith(location.href))`); len(away) > 0 {
		t.Errorf("asked elsewhere: %v", away)
	}
}

// colours counts a canvas's pixels that are nearer to a colour than 24 in each part.
func colours(t testing.TB, ctx context.Context, id string, r, g, b int) int {
	t.Helper()
	return eval[int](t, ctx, fmt.Sprintf(`(() => {
		const c = document.getElementById('%s'), d = c.getContext('2d').getImageData(0, 0, c.width, c.height).data;
		let n = 0;
		for (let i = 0; i < d.length; i += 4) if (d[i + 3] > 200 && Math.abs(d[i] - %d) < 24 && Math.abs(d[i + 1] - %d) < 24 && Math.abs(d[i + 2] - %d) < 24) n++;
		return n;
	})()`, id, r, g, b))
}

// The pictures hold what they should: lines in the accent, the drawing under them,
// and the front's red.
func TestPagePictures(t *testing.T) {
	_, ctx := openPage(t, 1300, 900, nil)
	lines := colours(t, ctx, "line-canvas", 0xb4, 0x4a, 0x2a)
	if lines < 2000 {
		t.Errorf("%d pixels of line", lines)
	}
	paper, ink := colours(t, ctx, "paper-canvas", 0xfd, 0xfb, 0xf6), colours(t, ctx, "paper-canvas", 0xb1, 0xb0, 0xac)
	if paper < 50_000 || ink < 5_000 {
		t.Errorf("%d pixels of paper, %d of drawing", paper, ink)
	}
	if red := colours(t, ctx, "look", 0xb0, 0x44, 0x26); red < 500 {
		t.Errorf("%d pixels of the base's paper in the mock-up", red)
	}
	do(t, ctx, chromedp.Click("#see-drawing"))
	time.Sleep(100 * time.Millisecond)
	if after := colours(t, ctx, "paper-canvas", 0xb1, 0xb0, 0xac); after > ink/10 {
		t.Errorf("%d pixels of a drawing that is not to be seen", after)
	}
	// A web of half a millimetre is wide enough for a thumb.
	for range 20 {
		do(t, ctx, chromedp.Click("#closer"))
	}
	until(t, ctx, `parseFloat(document.getElementById('scale').textContent) >= 200`)
}

// However fast a knob moves, the picture is that of its last place.
func TestPageLastMoveWins(t *testing.T) {
	tn, ctx := openPage(t, 1300, 900, nil)
	await[bool](t, ctx, `(async () => {
		const slide = document.querySelector('[data-flag=threshold] input[type=range]');
		slide.step = 'any';
		for (let i = 0; i < 60; i++) {
			slide.value = 0.2 + 0.6 * ((i * 17) % 60) / 60;
			slide.dispatchEvent(new Event('input', { bubbles: true }));
			await new Promise(requestAnimationFrame);
		}
		slide.value = 0.437;
		slide.dispatchEvent(new Event('input', { bubbles: true }));
		slide.dispatchEvent(new Event('change', { bubbles: true }));
		return true;
	})()`)
	if line := shownLine(t, ctx); !strings.Contains(line, "--threshold 0.437") {
		t.Errorf("the last place was 0.437, the page shows %q", line)
	}
	if field := eval[string](t, ctx, `document.getElementById('knob-threshold').value`); field != "0.437" {
		t.Errorf("the field shows %s", field)
	}
	if n := tn.stages.traced.count(); n > 62 {
		t.Errorf("%d traces for 62 moves", n)
	}
}

// Files are written by the button, and not twice by accident.
func TestPageWrites(t *testing.T) {
	_, ctx := openPage(t, 1000, 900, flagValues{"out": {"supper"}, "format": {"svg"}})
	do(t, ctx, chromedp.Click("#write"))
	until(t, ctx, `document.getElementById('said').textContent.includes('front.svg')`)
	if got := files(t, "supper"); !slices.Equal(got, []string{"base.svg", "front.svg"}) {
		t.Errorf("wrote %v", got)
	}
	do(t, ctx, chromedp.Click("#write"))
	until(t, ctx, `!document.getElementById('replace').hidden`)
	do(t, ctx, chromedp.Click("#replace"))
	until(t, ctx, `document.getElementById('replace').hidden && document.getElementById('said').className === 'good'`)
}

// Leaving the page ends the program; a reload does not.
func TestPageLeft(t *testing.T) {
	tn, ctx := openPage(t, 800, 700, nil)
	left := make(chan struct{})
	tn.left = func() { close(left) }
	tn.gone.grace = 1500 * time.Millisecond
	do(t, ctx, chromedp.Reload())
	settled(t, ctx)
	select {
	case <-left:
		t.Fatal("a reload ended it")
	case <-time.After(2 * time.Second):
	}
	do(t, ctx, chromedp.Navigate("about:blank"))
	select {
	case <-left:
	case <-time.After(10 * time.Second):
		t.Fatal("nobody looks, and it goes on")
	}
}
