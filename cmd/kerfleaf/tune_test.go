package main

import (
	"bufio"
	"io"
	"net/http"
	"regexp"
	"strings"
	"testing"
	"time"
)

// The whole way: the command prints the address, the page is there, and once it
// is closed the program ends by itself.
func TestTuneServes(t *testing.T) {
	slotsDesk(t)
	from, to := io.Pipe()
	ended := make(chan int, 1)
	go func() {
		ended <- run([]string{"kerfleaf", "tune", "slots.png", "--width", "60mm", "--no-browser"}, to, io.Discard)
		to.Close()
	}()
	said := bufio.NewScanner(from)
	address := ""
	for said.Scan() && address == "" {
		address = regexp.MustCompile(`http://127\.0\.0\.1:\d+/[A-Z2-7]{26}/`).FindString(said.Text())
	}
	if address == "" {
		t.Fatal("no address was printed")
	}
	go func() { _, _ = io.Copy(io.Discard, from) }()
	get := func(path string) *http.Response {
		t.Helper()
		a, err := http.Get(address + path)
		if err != nil {
			t.Fatal(err)
		}
		if a.StatusCode != 200 {
			t.Fatalf("%s: %s", path, a.Status)
		}
		return a
	}
	get("").Body.Close()
	get("start").Body.Close()
	pulse := get("pulse?page=1")
	if _, err := pulse.Body.Read(make([]byte, 1)); err != nil {
		t.Fatal(err)
	}
	pulse.Body.Close() // as when the page closes
	select {
	case code := <-ended:
		if code != exitDone {
			t.Errorf("exit %d", code)
		}
	case <-time.After(20 * time.Second):
		t.Fatal("it goes on though nobody looks")
	}
	if _, err := http.Get(address); err == nil {
		t.Error("something still answers")
	}
}

func TestTuneUsage(t *testing.T) {
	slotsDesk(t)
	for _, c := range []struct {
		args string
		code int
		says string
	}{
		{"tune", exitUsage, "needs a drawing"}, {"tune slots.png", exitUsage, "--width"}, {"tune none.png --width 3in", exitFailed, "none.png"},
		{"tune slots.png --width 3in --port 99999", exitUsage, "--port"}, {"tune slots.png --width 3in --paper papyrus", exitUsage, "papyrus"},
		{"tune slots.png --width 3in --format gif", exitUsage, "--format"}, {"tune slots.png --width 3in --json", exitUsage, "--json"},
	} {
		if code, _, msg := kerfleaf(append(strings.Fields(c.args), "--no-browser")...); code != c.code || !strings.Contains(msg, c.says) {
			t.Errorf("%s: exit %d, want %d and %q:\n%s", c.args, code, c.code, c.says, msg)
		}
	}
}

// A port that is taken is said so, with what to do.
func TestTunePortTaken(t *testing.T) {
	slotsDesk(t)
	b := newBench(t, "slots.png", flagValues{"width": {"60mm"}})
	port := b.Listener.Addr().String()[len("127.0.0.1:"):]
	if code, _, msg := kerfleaf("tune", "slots.png", "--width", "60mm", "--no-browser", "--port", port); code != exitFailed || !strings.Contains(msg, "--port") {
		t.Errorf("exit %d: %s", code, msg)
	}
}
