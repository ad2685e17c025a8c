package main

import (
	"context"
	"errors"
	"slices"
	"sync"
)

// memo keeps the latest results of one stage by what they were made of, so that
// nothing is made twice. Results are shared and must not be changed.
type memo[T any] struct {
	keep int // how many results; default memoKeeps
	mu   sync.Mutex
	kept []*made[T] // the latest last
	runs int        // how often something was made
	busy chan struct{}
}

type made[T any] struct {
	key   string
	done  chan struct{} // closed once value and err are set
	value T
	err   error
}

const (
	memoKeeps = 8 // a knob moved to and fro finds its results again
	memoMakes = 2 // at a time: the latest, beside one that nobody waits for any more but that cannot be stopped
)

// get returns what make made of key before, or makes it. It gives up with the
// context's error once ctx ends; an error that is not the context's is kept like
// a result.
func (m *memo[T]) get(ctx context.Context, key string, make func() (T, error)) (T, error) {
	for {
		e, mine := m.entry(key)
		if mine {
			m.fill(ctx, e, make)
		}
		select {
		case <-e.done:
		case <-ctx.Done():
			if !mine { // the work goes on for whoever waits for it
				var none T
				return none, ctx.Err()
			}
		}
		if mine || !canceled(e.err) {
			return e.value, e.err
		}
		if err := ctx.Err(); err != nil { // its maker was called off, and so are we
			return e.value, err
		}
	}
}

// entry finds the entry of key, or adds one that the caller has to fill.
func (m *memo[T]) entry(key string) (e *made[T], mine bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.busy == nil {
		m.busy = make(chan struct{}, memoMakes)
	}
	if m.keep == 0 {
		m.keep = memoKeeps
	}
	i := slices.IndexFunc(m.kept, func(e *made[T]) bool { return e.key == key })
	if mine = i < 0; mine {
		e = &made[T]{key: key, done: make(chan struct{})}
	} else {
		e = m.kept[i]
		m.kept = slices.Delete(m.kept, i, i+1)
	}
	m.kept = append(m.kept, e)
	if n := len(m.kept) - m.keep; n > 0 {
		m.kept = slices.Delete(m.kept, 0, n)
	}
	return e, mine
}

func (m *memo[T]) fill(ctx context.Context, e *made[T], make func() (T, error)) {
	defer close(e.done)
	select {
	case m.busy <- struct{}{}:
		defer func() { <-m.busy }()
		if e.err = ctx.Err(); e.err == nil {
			m.mu.Lock()
			m.runs++
			m.mu.Unlock()
			e.value, e.err = make()
		}
	case <-ctx.Done():
		e.err = ctx.Err()
	}
	if canceled(e.err) {
		m.mu.Lock()
		m.kept = slices.DeleteFunc(m.kept, func(k *made[T]) bool { return k == e })
		m.mu.Unlock()
	}
}

func (m *memo[T]) count() int {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.runs
}

func canceled(err error) bool {
	return errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded)
}
