package main

import (
	"context"
	"net/http/httptest"
	"os/exec"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// browser opens the page of a drawing in a real Chromium, or skips the test where
// there is none.
func browser(t testing.TB, tn *tuner, wide, high int) context.Context {
	t.Helper()
	path := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			path = p
			break
		}
	}
	if path == "" {
		t.Skip("no Chromium on the path: the page was not tried in a browser (Debian: apt-get install chromium)")
	}
	server := httptest.NewUnstartedServer(nil)
	tn.left = func() {}
	server.Config.Handler = tn.handler(server.Listener.Addr().String())
	server.Start()
	t.Cleanup(server.Close)
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.WindowSize(wide, high), chromedp.NoSandbox)
	ctx, cancel := chromedp.NewExecAllocator(t.Context(), opts...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx, chromedp.WithErrorf(t.Logf))
	t.Cleanup(cancel)
	ctx, cancel = context.WithTimeout(ctx, 2*time.Minute)
	t.Cleanup(cancel)
	do(t, ctx, chromedp.EmulateViewport(int64(wide), int64(high)), chromedp.Navigate(server.URL+"/"+tn.token+"/"))
	return ctx
}

func do(t testing.TB, ctx context.Context, acts ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	if err := chromedp.Do(ctx, acts...); err != nil {
		t.Fatal(err)
	}
}

// eval evaluates an expression in the page.
func eval[T any](t testing.TB, ctx context.Context, expression string) T {
	t.Helper()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression))
	if err != nil {
		t.Fatalf("%s: %v", expression, err)
	}
	return v
}

// until waits for an expression to come true.
func until(t testing.TB, ctx context.Context, expression string) {
	t.Helper()
	short, cancel := context.WithTimeout(ctx, 20*time.Second)
	defer cancel()
	if _, err := chromedp.Run(short, chromedp.Poll[bool](expression)); err != nil {
		t.Fatalf("%s: %v", expression, err)
	}
}

// await evaluates an expression that promises a value.
func await[T any](t testing.TB, ctx context.Context, expression string) T {
	t.Helper()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatalf("%s: %v", expression, err)
	}
	return v
}
