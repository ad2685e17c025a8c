package main

import (
	"io"
	"os"
	"time"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"
)

// progress shows how far a long run is, on a terminal only and not before it
// has taken a second. The zero value shows nothing.
type progress struct {
	w     io.Writer
	start time.Time
	bar   *progressbar.ProgressBar
	name  string
}

func (s *settings) newProgress(stderr io.Writer) *progress {
	f, ok := stderr.(*os.File)
	if !ok || s.quiet || !term.IsTerminal(int(f.Fd())) {
		return &progress{}
	}
	return &progress{w: f, start: time.Now()}
}

// step names what is being done from now on.
func (p *progress) step(name string) {
	p.name = name
	p.show(0)
}

// show tells the part of the present step that is done, 0 to 1.
func (p *progress) show(done float64) {
	if p.w == nil || time.Since(p.start) < time.Second {
		return
	}
	if p.bar == nil {
		p.bar = progressbar.NewOptions(1000, progressbar.OptionSetWriter(p.w), progressbar.OptionClearOnFinish(),
			progressbar.OptionSetPredictTime(false), progressbar.OptionSetWidth(30))
	}
	p.bar.Describe(p.name)
	_ = p.bar.Set(int(done * 999)) // a picture of progress: no failure of it matters
}

// end takes the bar off the screen.
func (p *progress) end() {
	if p.bar != nil {
		_ = p.bar.Finish()
		p.bar = nil
	}
}
