package main

import (
	"fmt"
	"os"
	"sync"
	"time"
)

// watch counts open pages. When the last one goes, and none comes back within
// grace, as after a reload, nobody looks any more.
type watch struct {
	mu    sync.Mutex
	open  int
	timer *time.Timer
	grace time.Duration
}

func (w *watch) came() {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.open++
	if w.timer != nil {
		w.timer.Stop()
	}
}

func (w *watch) went(left func()) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.open--; w.open == 0 {
		w.timer = time.AfterFunc(w.grace, func() {
			w.mu.Lock()
			nobody := w.open == 0
			w.mu.Unlock()
			if nobody {
				left()
			}
		})
	}
}

// fileStamp changes when a file does; empty where there is none.
func fileStamp(path string) string {
	info, err := os.Stat(path)
	if err != nil {
		return ""
	}
	return fmt.Sprint(info.ModTime().UnixNano(), " ", info.Size())
}
