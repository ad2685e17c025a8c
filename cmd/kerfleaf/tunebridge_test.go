package main

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// pixel is a place in the window, in pixels.
type pixel struct{ X, Y float64 }

// place is where the middle of an element is.
func place(t testing.TB, ctx context.Context, selector string) pixel {
	t.Helper()
	return eval[pixel](t, ctx, fmt.Sprintf(`(() => { const r = document.querySelector('%s').getBoundingClientRect(); return { X: r.x + r.width / 2, Y: r.y + r.height / 2 }; })()`, selector))
}

// With the mouse over a mark one reads what it is and how wide; over a bridge, too.
func TestPageTells(t *testing.T) {
	_, ctx := openPage(t, 1300, 900, nil)
	// The first mark that no bridge covers.
	eval[bool](t, ctx, `[...document.querySelectorAll('.mark')].some(m => {
		const r = m.getBoundingClientRect();
		return m.contains(document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2)) && m.classList.add('clear') === undefined;
	})`)
	for _, selector := range []string{".mark.clear", `.mark[aria-label^="cut area"]`, ".strap"} {
		at := place(t, ctx, selector)
		label := eval[string](t, ctx, fmt.Sprintf(`document.querySelector('%s').getAttribute('aria-label')`, selector))
		do(t, ctx, chromedp.MouseEvent("mouseMoved", at.X, at.Y))
		until(t, ctx, `!document.getElementById('tip').hidden`)
		if tip := eval[string](t, ctx, `document.getElementById('tip').textContent`); !strings.HasPrefix(label, tip) || !strings.Contains(tip, "mm") {
			t.Errorf("%s is %q, the tip says %q", selector, label, tip)
		}
		do(t, ctx, chromedp.KeyEvent(kb.Escape)) // WCAG 2.2, 1.4.13: it can be put away
		until(t, ctx, `document.getElementById('tip').hidden`)
		do(t, ctx, chromedp.MouseEvent("mouseMoved", 5, 5))
	}
}

// A bridge is dragged to the other side of its island, and the island knows it.
func TestPageDragsBridge(t *testing.T) {
	_, ctx := openPage(t, 1300, 900, nil)
	n := eval[int](t, ctx, `document.querySelectorAll('.strap').length`)
	from := place(t, ctx, ".strap")
	// The first lantern's middle is 14.4, 24 mm from the drawing's top left.
	do(t, ctx, chromedp.DragAndDropXY(from.X, from.Y, from.X, from.Y+50, 8))
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

// A click on an island shows what ties it; with nothing, what would.
func TestPageIsland(t *testing.T) {
	_, ctx := openPage(t, 1300, 900, nil)
	// The second lantern's middle, 37.2, 24 mm from the drawing's top left.
	middle := func() pixel {
		t.Helper()
		return eval[pixel](t, ctx, `(() => {
			const k = parseFloat(document.getElementById('scale').textContent), r = document.getElementById('view').getBoundingClientRect();
			const m = [...document.querySelectorAll('.mark')].find((b) => b.getAttribute('aria-label').includes('(37.2, 72.0)')).getBoundingClientRect();
			return { X: m.x + m.width / 2, Y: m.y + m.height / 2 - 48 * k };
		})()`)
	}
	at := middle()
	do(t, ctx, chromedp.MouseClickXY(at.X, at.Y))
	until(t, ctx, `!document.getElementById('card').hidden && document.getElementById('card').textContent.includes('mm wide')`)
	if chosen := eval[int](t, ctx, `document.querySelectorAll('.strap.chosen').length`); chosen != 1 {
		t.Errorf("%d bridges are marked as the island's", chosen)
	}
	do(t, ctx, chromedp.KeyEvent(kb.Escape))
	if chosen := eval[int](t, ctx, `document.querySelectorAll('.strap.chosen').length`); chosen != 0 {
		t.Errorf("%d bridges are still marked", chosen)
	}
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
