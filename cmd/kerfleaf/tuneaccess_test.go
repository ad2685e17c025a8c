package main

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

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

// On a narrow window nothing sticks out, and every control has a name (WCAG 2.2,
// 4.1.2) and is large enough for a finger (2.5.8: 24 pixels).
func TestPageForEverybody(t *testing.T) {
	_, ctx := openPage(t, 340, 700, nil)
	if over := eval[float64](t, ctx, `document.documentElement.scrollWidth - innerWidth`); over > 0 {
		t.Errorf("%v px wider than a window of 340", over)
	}
	if nameless := eval[[]string](t, ctx, `[...document.querySelectorAll('button, input, select, [tabindex]:not([tabindex="-1"])')].filter((e) => !(e.getAttribute('aria-label') || e.labels?.length || e.textContent.trim())).map((e) => e.outerHTML)`); len(nameless) > 0 {
		t.Errorf("controls without a name: %v", nameless)
	}
	if small := eval[[]string](t, ctx, `[...document.querySelectorAll('button, select, label:has(input), input[type=text], input[type=range]')].filter((e) => e.checkVisibility()).filter((e) => { const r = e.getBoundingClientRect(); return Math.min(r.width, r.height) < 24; }).map((e) => e.outerHTML)`); len(small) > 0 {
		t.Errorf("too small: %v", small)
	}
}

// faint lists what does not stand out on its ground: text by 4.5 to 1 (WCAG 2.2,
// 1.4.3), and edges of controls, marks and the ring of the focus by 3 to 1 (1.4.11).
const faint = `(() => {
	const paper = 'rgb(253, 251, 246)', out = []; // marks lie on the sheet
	const light = (c) => { const [r, g, b] = c.match(/[\d.]+/g).map((v) => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; }); return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
	const clear = (c) => /, 0\)$/.test(c);
	const ground = (e) => { for (; e; e = e.parentElement) { const c = getComputedStyle(e).backgroundColor; if (!clear(c)) return c; } return 'rgb(255, 255, 255)'; };
	const need = (e, what, one, two, least) => {
		const a = light(one), b = light(two), ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
		if (ratio < least) out.push(what + ' ' + ratio.toFixed(2) + ' ' + e.outerHTML.slice(0, 80));
	};
	const had = document.activeElement;
	for (const e of document.querySelectorAll('body *')) {
		if (!e.checkVisibility() || e.disabled) continue;
		const s = getComputedStyle(e), mark = e.matches('.mark, .strap'), behind = mark ? paper : ground(e.parentElement ?? e);
		if ([...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim())) need(e, 'text', s.color, ground(e), 4.5);
		if (mark) need(e, 'mark', getComputedStyle(e, '::before').borderTopColor, paper, 3);
		else if (e.matches('input[type=text], select, button') && !clear(s.borderTopColor) && s.borderTopStyle !== 'none') need(e, 'edge', s.borderTopColor, behind, 3);
		if (e.matches('button, input, select, output, [tabindex]') && !e.closest('[hidden]')) {
			e.focus({ preventScroll: true });
			if (document.activeElement !== e) continue;
			if (!e.matches(':focus-visible') || getComputedStyle(e).outlineStyle === 'none') out.push('no ring ' + e.outerHTML.slice(0, 80));
			need(e, 'focus', getComputedStyle(e).outlineColor, behind, 3);
		}
	}
	had?.focus();
	return out;
})()`

func TestPageStandsOut(t *testing.T) {
	_, ctx := openPage(t, 1300, 900, nil)
	look := func(scheme, what string) {
		t.Helper()
		if pale := eval[[]string](t, ctx, faint); len(pale) > 0 {
			t.Errorf("%s, %s: %s", scheme, what, strings.Join(pale, "\n"))
		}
	}
	for _, scheme := range []string{"light", "dark"} {
		if _, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}}); err != nil {
			t.Fatal(err)
		}
		do(t, ctx, chromedp.KeyEvent(kb.Tab)) // the ring is for those who use keys
		look(scheme, "as it opens")
		do(t, ctx, chromedp.Focus("#view"), chromedp.KeyEvent("n"))
		until(t, ctx, `!document.getElementById('tip').hidden`)
		look(scheme, "with a mark told")
		do(t, ctx, chromedp.Focus("#view"), chromedp.KeyEvent("b"), chromedp.KeyEvent(kb.Enter))
		until(t, ctx, `!document.getElementById('card').hidden`)
		look(scheme, "with a bridge chosen")
		do(t, ctx, chromedp.KeyEvent(kb.Escape))
		eval[any](t, ctx, `(() => { const s = document.getElementById('tie'); s.value = 'off'; s.dispatchEvent(new Event('change', { bubbles: true })); })()`)
		settled(t, ctx)
		look(scheme, "with islands")
		eval[any](t, ctx, `(() => { const f = document.getElementById('knob-kerf'); f.value = 'wide'; f.dispatchEvent(new Event('change', { bubbles: true })); })()`)
		settled(t, ctx)
		look(scheme, "with a wrong kerf")
		do(t, ctx, chromedp.Click("#undo"), chromedp.Click("#undo"))
		settled(t, ctx)
	}
}
