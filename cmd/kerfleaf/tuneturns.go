package main

import (
	"context"
	"sync"
)

// turns sees to it that of each page's requests of one kind only the latest is
// worked on.
type turns struct {
	mu    sync.Mutex
	pages map[int]map[string]turn
	last  int
}

type turn struct {
	number int
	cancel context.CancelFunc
}

// open gives a new page its number.
func (t *turns) open() int {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.pages == nil {
		t.pages = map[int]map[string]turn{}
	}
	t.last++
	t.pages[t.last] = map[string]turn{}
	return t.last
}

// close forgets a page and calls off what it waits for.
func (t *turns) close(page int) {
	t.mu.Lock()
	defer t.mu.Unlock()
	for _, k := range t.pages[page] {
		k.cancel()
	}
	delete(t.pages, page)
}

// known reports whether a page is open.
func (t *turns) known(page int) bool {
	t.mu.Lock()
	defer t.mu.Unlock()
	_, ok := t.pages[page]
	return ok
}

// take begins a turn and calls off the one before it. It fails where a later one
// has come already, as requests may overtake each other, or the page is not open.
// The context ends with the turn; the caller cancels it when done.
func (t *turns) take(ctx context.Context, page int, kind string, number int) (context.Context, context.CancelFunc, bool) {
	t.mu.Lock()
	defer t.mu.Unlock()
	kinds, ok := t.pages[page]
	if !ok || number <= kinds[kind].number {
		return nil, nil, false
	}
	if before := kinds[kind].cancel; before != nil {
		before()
	}
	ctx, cancel := context.WithCancel(ctx)
	kinds[kind] = turn{number, cancel}
	return ctx, cancel, true
}
