package main

import (
	"context"
	"errors"
	"sync"
	"testing"
	"time"
)

func TestMemoMakesOnce(t *testing.T) {
	var m memo[int]
	var wg sync.WaitGroup
	for range 20 {
		wg.Go(func() {
			v, err := m.get(t.Context(), "seven", func() (int, error) { time.Sleep(time.Millisecond); return 7, nil })
			if v != 7 || err != nil {
				t.Error(v, err)
			}
		})
	}
	wg.Wait()
	bad := errors.New("too wide")
	for range 2 { // what cannot be made is known as well
		if _, err := m.get(t.Context(), "bad", func() (int, error) { return 0, bad }); !errors.Is(err, bad) {
			t.Error(err)
		}
	}
	if m.count() != 2 {
		t.Errorf("made %d times, want 2", m.count())
	}
	for i := range 3 * memoKeeps {
		_, _ = m.get(t.Context(), string(rune('a'+i)), func() (int, error) { return i, nil })
	}
	if len(m.kept) != memoKeeps {
		t.Errorf("%d kept, want %d", len(m.kept), memoKeeps)
	}
}

// Work that was called off is not kept, and who waits for the same does it anew.
func TestMemoCalledOff(t *testing.T) {
	var m memo[int]
	ctx, cancel := context.WithCancel(t.Context())
	begun := make(chan struct{})
	first := make(chan error, 1)
	go func() {
		_, err := m.get(ctx, "k", func() (int, error) { close(begun); <-ctx.Done(); return 0, ctx.Err() })
		first <- err
	}()
	<-begun
	second := make(chan int, 1)
	go func() {
		v, err := m.get(t.Context(), "k", func() (int, error) { return 2, nil })
		if err != nil {
			t.Error(err)
		}
		second <- v
	}()
	cancel()
	if err := <-first; !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
	if v := <-second; v != 2 {
		t.Errorf("got %d", v)
	}
}

// What cannot be stopped holds nobody up: the latest goes on beside it, and those
// in between give up without having begun.
func TestMemoLatestPasses(t *testing.T) {
	var m memo[string]
	stuck, begun := make(chan struct{}), make(chan struct{})
	go func() {
		_, _ = m.get(t.Context(), "stale", func() (string, error) { close(begun); <-stuck; return "stale", nil })
	}()
	<-begun
	v, err := m.get(t.Context(), "latest", func() (string, error) { return "latest", nil })
	if v != "latest" || err != nil {
		t.Error(v, err)
	}
	also := make(chan struct{})
	go func() {
		_, _ = m.get(t.Context(), "stale too", func() (string, error) { close(also); <-stuck; return "", nil })
	}()
	<-also // both places are taken
	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Millisecond)
	defer cancel()
	if _, err := m.get(ctx, "given up", func() (string, error) { t.Error("begun in vain"); return "", nil }); !canceled(err) {
		t.Error(err)
	}
	close(stuck)
}

func TestTurns(t *testing.T) {
	var ts turns
	page := ts.open()
	one, done1, ok := ts.take(t.Context(), page, "lines", 1)
	if !ok || one.Err() != nil {
		t.Fatal("the first turn")
	}
	defer done1()
	look, done2, ok := ts.take(t.Context(), page, "look", 2)
	if !ok || one.Err() != nil {
		t.Fatal("another kind calls nothing off")
	}
	defer done2()
	three, done3, ok := ts.take(t.Context(), page, "lines", 3)
	if !ok || one.Err() == nil || look.Err() != nil || three.Err() != nil {
		t.Fatal("the later calls off the one before, of its kind only")
	}
	defer done3()
	if _, _, ok := ts.take(t.Context(), page, "lines", 2); ok || three.Err() != nil {
		t.Error("one that was overtaken is too late")
	}
	if _, _, ok := ts.take(t.Context(), page+1, "lines", 9); ok {
		t.Error("there is no such page")
	}
	ts.close(page)
	if three.Err() == nil || look.Err() == nil || ts.known(page) {
		t.Error("a page that closes calls off all it waits for")
	}
}
