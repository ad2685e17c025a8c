package main

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"maps"
	"net"
	"net/http"
	"os"
	"os/exec"
	"os/signal"
	"runtime"
	"slices"
	"strconv"
	"syscall"
	"time"

	"github.com/urfave/cli/v2"
)

func tuneCommand() *cli.Command {
	s := newSettings()
	var port int
	var quiet bool
	return &cli.Command{
		Name:  "tune",
		Usage: "see it in the browser while you turn the knobs",
		UsageText: "kerfleaf tune [flags] DRAWING\n\nExample:\n  kerfleaf tune heron.png --width 4in --paper light-card\n\n" +
			"Opens a page in your own browser, served from this program to this computer only. It shows the cut lines over the drawing, what falls out or tears, and the finished front, " +
			"and the command line that makes the same. Closing the page ends the program; so does Ctrl-C.",
		Flags: joinFlags([]cli.Flag{
			&cli.IntFlag{Name: "port", Usage: "where the page is served, a `NUMBER`", DefaultText: "any that is free", Category: groupPage, Destination: &port, Action: func(_ *cli.Context, v int) error {
				if v < 0 || v > 65535 {
					return usagef("--port %d: give a number up to 65535", v)
				}
				return nil
			}},
			switchFlag("no-browser", "only print the page's address", groupPage, &quiet),
		}, s.sizeFlags(), s.cleanFlags(), s.lineFlags(), s.paperFlags(true), s.boxFlags(), s.placeFlags(), s.toolFlags(),
			slices.DeleteFunc(s.outputFlags(), func(f cli.Flag) bool { return slices.Contains([]string{"json", "quiet"}, f.Names()[0]) })),
		Action: func(c *cli.Context) error {
			drawing, err := drawingArgument(c)
			if err != nil {
				return err
			}
			t := newTuner(drawing, given(c))
			if err := t.try(c.Context); err != nil {
				return err
			}
			return t.serve(c, port, !quiet)
		},
	}
}

const groupPage = "The page"

// newTuner begins with the flags of a command line.
func newTuner(drawing string, flags flagValues) *tuner {
	t := &tuner{
		drawing: drawing, fixed: flags, start: wish{Command: "box", Flags: flagValues{}},
		goos: runtime.GOOS, token: rand.Text(), stages: newStages(drawing), shown: memo[[]byte]{keep: 1},
	}
	t.gone.grace = 4 * time.Second
	for _, name := range knobs {
		if v, ok := flags[name]; ok {
			t.start.Flags[name] = v
		}
	}
	maps.DeleteFunc(t.fixed, func(name string, _ []string) bool { return slices.Contains(knobs, name) })
	return t
}

// try finds out whether the drawing can be read, before a page is opened.
func (t *tuner) try(ctx context.Context) error {
	_, s, err := t.settings(t.start)
	if err != nil {
		return err
	}
	if _, err := s.formats(); err != nil {
		return err
	}
	if _, err := s.stock(s.paper); err != nil {
		return err
	}
	_, _, err = t.stages.read(ctx, s)
	return err
}

// serve serves the page until nobody looks at it any more, or Ctrl-C.
func (t *tuner) serve(c *cli.Context, port int, browse bool) error {
	ctx, stop := signal.NotifyContext(c.Context, os.Interrupt, syscall.SIGTERM)
	defer stop()
	listener, err := net.Listen("tcp4", net.JoinHostPort("127.0.0.1", strconv.Itoa(port)))
	if err != nil {
		return fmt.Errorf("cannot serve the page: %w; choose another --port, or none", err)
	}
	ctx, leave := context.WithCancel(ctx)
	defer leave()
	t.left = leave
	host := listener.Addr().String()
	address := "http://" + host + "/" + t.token + "/"
	server := &http.Server{
		Handler: t.handler(host), ReadHeaderTimeout: 5 * time.Second, MaxHeaderBytes: 16 << 10,
		BaseContext: func(net.Listener) context.Context { return ctx },
	}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(listener) }()
	fmt.Fprintf(c.App.Writer, "tuning %s at\n  %s\nClose the page or press Ctrl-C when you are done.\n", t.drawing, address)
	if browse {
		if err := openBrowser(t.goos, address); err != nil {
			fmt.Fprintf(c.App.ErrWriter, "kerfleaf: note: no browser opened by itself (%v): open the address above\n", err)
		}
	}
	select {
	case err = <-ended:
	case <-ctx.Done():
		late, cancel := context.WithTimeout(context.Background(), 2*time.Second)
		defer cancel()
		if err = server.Shutdown(late); errors.Is(err, context.DeadlineExceeded) {
			err = server.Close() // a stage that cannot be stopped
		}
	}
	if errors.Is(err, http.ErrServerClosed) {
		return nil
	}
	return err
}

// openBrowser asks the system to show an address.
func openBrowser(goos, address string) error {
	name, args := "xdg-open", []string{address}
	switch goos {
	case "darwin":
		name = "open"
	case "windows":
		name, args = "rundll32", []string{"url.dll,FileProtocolHandler", address}
	}
	cmd := exec.Command(name, args...)
	if err := cmd.Start(); err != nil {
		return err
	}
	go func() { _ = cmd.Wait() }() // it says itself what it could not do
	return nil
}
