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

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
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
	until(t, ctx, `document.getElementById('look').width > 300`)
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

// Everything can be done by keys alone.
func TestPageByKeys(t *testing.T) {
	_, ctx := openPage(t, 1300, 900, nil)
	press := func(keys string, opts ...chromedp.KeyOption) {
		t.Helper()
		do(t, ctx, chromedp.KeyEvent(keys, opts...))
	}
	focus := func(selector string) {
		t.Helper()
		do(t, ctx, chromedp.Focus(selector))
	}
	active := func() string {
		t.Helper()
		return eval[string](t, ctx, `(document.activeElement.getAttribute('aria-label') ?? document.activeElement.textContent) + ' ' + document.activeElement.className`)
	}
	has := func(part string) {
		t.Helper()
		if line := shownLine(t, ctx); !strings.Contains(line, part) {
			t.Fatalf("%q lacks %q", line, part)
		}
	}
	focus("[data-flag=kerf] input[type=range]")
	press(kb.ArrowRight + kb.ArrowRight)
	has("--kerf 0.02mm")
	press(kb.Tab) // to its field
	press(kb.ArrowUp)
	has("--kerf 0.03mm")
	focus("#knob-margin")
	eval[any](t, ctx, `document.activeElement.select()`)
	press("1/2 in" + kb.Enter)
	has("--margin '1/2 in'")
	if got := eval[string](t, ctx, `document.getElementById('knob-margin').value`); got != "1/2 in" && got != "12.7 mm" {
		t.Errorf("the field has %q", got)
	}
	focus("#paper")
	press("thin")
	has("--paper thin-card")

	focus("#view")
	before := eval[string](t, ctx, `document.getElementById('scale').textContent`)
	press("+++")
	until(t, ctx, fmt.Sprintf(`document.getElementById('scale').textContent !== %q`, before))
	press("0")
	until(t, ctx, fmt.Sprintf(`document.getElementById('scale').textContent === %q`, before))
	press("n")
	until(t, ctx, `document.activeElement.classList.contains('mark') && !document.getElementById('tip').hidden`)
	if tip := eval[string](t, ctx, `document.getElementById('tip').textContent`); !strings.Contains(active(), tip) || !strings.Contains(tip, "mm") {
		t.Errorf("the tip says %q of %q", tip, active())
	}
	press("b")
	if a := active(); !strings.Contains(a, "bridge, 2.0 mm wide") {
		t.Fatalf("B goes to %q", a)
	}
	press(kb.Enter)
	if a := active(); !strings.HasPrefix(a, "Move") {
		t.Fatalf("what can be done begins with %q", a)
	}
	press(kb.Escape)
	if a := active(); !strings.Contains(a, "strap") {
		t.Fatalf("Escape goes back to %q", a)
	}
	press(kb.Enter)
	press(kb.Tab + kb.Tab)
	press(kb.Enter)
	has("--no-bridge-at ")
	press("z", chromedp.KeyModifiers(kb.ModifierCtrl))
	if line := shownLine(t, ctx); strings.Contains(line, "--no-bridge-at") {
		t.Errorf("undone, it still has %q", line)
	}
	focus("#view")
	press("b")
	press(kb.Enter)
	press(kb.Enter) // move
	press(kb.ArrowDown + kb.ArrowDown + kb.ArrowDown)
	press(kb.Enter)
	has("--pin ")
	until(t, ctx, `document.querySelectorAll('.strap.pinned').length === 1 && !document.getElementById('own-bridges').hidden`)
}

// A bridge is dragged to the other side of its island, and the island knows it.
func TestPageDragsBridge(t *testing.T) {
	_, ctx := openPage(t, 1300, 900, nil)
	type xy struct{ X, Y float64 }
	at := func(selector string) xy {
		t.Helper()
		return eval[xy](t, ctx, fmt.Sprintf(`(() => { const r = document.querySelector(%q).getBoundingClientRect(); return { X: r.x + r.width / 2, Y: r.y + r.height / 2 }; })()`, selector))
	}
	n := eval[int](t, ctx, `document.querySelectorAll('.strap').length`)
	from := at(".strap")
	// The first lantern's middle is 14.4, 24 mm from the drawing's top left.
	mid := eval[xy](t, ctx, `(() => { const s = [...document.querySelectorAll('.strap')].map((b) => b.getBoundingClientRect()); return { X: s[0].x, Y: s[0].y }; })()`)
	do(t, ctx, chromedp.DragAndDropXY(from.X, from.Y, mid.X+10, mid.Y+60, 8))
	line := shownLine(t, ctx)
	if strings.Count(line, "--pin ") != 1 {
		t.Fatalf("after the drag: %s", line)
	}
	if pinned := eval[int](t, ctx, `document.querySelectorAll('.strap.pinned').length`); pinned != 1 {
		t.Errorf("%d bridges are pinned", pinned)
	}
	if islands := eval[int](t, ctx, `document.querySelectorAll('.mark.falls').length`); islands != 0 {
		t.Errorf("%d islands fall out", islands)
	}
	if after := eval[int](t, ctx, `document.querySelectorAll('.strap').length`); after > n+1 {
		t.Errorf("%d bridges, %d before", after, n)
	}
	// The line that it shows does the same.
	var said struct {
		Bridges int
		Faults  []struct{ Kind string }
	}
	if err := json.Unmarshal([]byte(mustRun(t, append(strings.Fields(line)[1:], "--json")...)), &said); err != nil {
		t.Fatal(err)
	}
	if shown := eval[int](t, ctx, `document.querySelectorAll('.strap').length`); shown != said.Bridges {
		t.Errorf("%d bridges shown, %d made", shown, said.Bridges)
	}
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

// On a narrow window nothing sticks out, in dark and light all text stands out
// (WCAG 2.2, 1.4.3: 4.5 to 1), and every control has a name (4.1.2).
func TestPageForEverybody(t *testing.T) {
	_, ctx := openPage(t, 340, 700, nil)
	if over := eval[float64](t, ctx, `document.documentElement.scrollWidth - innerWidth`); over > 0 {
		t.Errorf("%v px wider than a window of 340", over)
	}
	if nameless := eval[[]string](t, ctx, `[...document.querySelectorAll('button, input, select, [tabindex]:not([tabindex="-1"])')].filter((e) => !(e.getAttribute('aria-label') || e.labels?.length || e.textContent.trim())).map((e) => e.outerHTML)`); len(nameless) > 0 {
		t.Errorf("controls without a name: %v", nameless)
	}
	for _, scheme := range []string{"light", "dark"} {
		if _, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}}); err != nil {
			t.Fatal(err)
		}
		pale := eval[[]string](t, ctx, `(() => {
			const light = (c) => { const [r, g, b] = c.match(/[\d.]+/g).map((v) => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; }); return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
			const ground = (e) => { for (; e; e = e.parentElement) { const c = getComputedStyle(e).backgroundColor; if (!/, 0\)$/.test(c)) return c; } return 'rgb(255, 255, 255)'; };
			const out = [];
			for (const e of document.querySelectorAll('body *')) {
				if (![...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim()) || !e.checkVisibility() || e.disabled || e.closest('#marks')) continue;
				const a = light(getComputedStyle(e).color), b = light(ground(e)), ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
				if (ratio < 4.5) out.push(ratio.toFixed(2) + ' ' + e.outerHTML.slice(0, 80));
			}
			return out;
		})()`)
		if len(pale) > 0 {
			t.Errorf("%s: %s", scheme, strings.Join(pale, "\n"))
		}
	}
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

// A click on an island shows what ties it; with nothing, what would.
func TestPageIsland(t *testing.T) {
	_, ctx := openPage(t, 1300, 900, nil)
	type xy struct{ X, Y float64 }
	// The second lantern's middle, 37.2, 24 mm from the drawing's top left.
	middle := func() xy {
		t.Helper()
		return eval[xy](t, ctx, `(() => {
			const k = parseFloat(document.getElementById('scale').textContent), r = document.getElementById('view').getBoundingClientRect();
			const m = [...document.querySelectorAll('.mark')].find((b) => b.getAttribute('aria-label').includes('(37.2, 72.0)')).getBoundingClientRect();
			return { X: m.x + m.width / 2, Y: m.y + m.height / 2 - 48 * k };
		})()`)
	}
	at := middle()
	do(t, ctx, chromedp.MouseClickXY(at.X, at.Y))
	until(t, ctx, `!document.getElementById('card').hidden && document.getElementById('card').textContent.includes('mm wide')`)
	do(t, ctx, chromedp.KeyEvent(kb.Escape))
	eval[any](t, ctx, `(() => { const s = document.getElementById('tie'); s.value = 'off'; s.dispatchEvent(new Event('change', { bubbles: true })); })()`)
	if line := shownLine(t, ctx); !strings.HasSuffix(line, "--bridge off") {
		t.Fatalf("the page shows %q", line)
	}
	if islands := eval[int](t, ctx, `document.querySelectorAll('.mark.falls').length`); islands < 5 {
		t.Errorf("%d islands marked, of 5 at least", islands)
	}
	at = middle()
	do(t, ctx, chromedp.MouseClickXY(at.X+12, at.Y+12))
	until(t, ctx, `document.getElementById('card').textContent.includes('fall out')`)
	do(t, ctx, chromedp.KeyEvent(kb.Enter))
	if line := shownLine(t, ctx); !strings.HasSuffix(line, "--bridge auto") {
		t.Errorf("tied, the page shows %q", line)
	}
}
