package main

import (
	"bytes"
	"encoding/json"
	"io"
	"maps"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// bench is a tuner with its server, in a desk of its own.
type bench struct {
	*tuner
	*httptest.Server
	base   string
	page   int
	number int
}

func newBench(t *testing.T, drawing string, flags flagValues) *bench {
	t.Helper()
	tn := newTuner(drawing, flags)
	if err := tn.try(t.Context()); err != nil {
		t.Fatal(err)
	}
	tn.left = func() {}
	b := &bench{tuner: tn, Server: httptest.NewUnstartedServer(nil)}
	b.Config.Handler = tn.handler(b.Listener.Addr().String())
	b.Start()
	t.Cleanup(b.Close)
	b.base = b.URL + "/" + tn.token + "/"
	b.page = tn.turns.open()
	return b
}

// slotsDesk is a desk with slots.png on it, 60 mm wide, with an island.
func slotsDesk(t *testing.T) string {
	t.Helper()
	dir := desk(t)
	savePNG(t, "slots.png", slots(300, 200, true))
	return dir
}

// post sends a request as the page does and returns what came back.
func (b *bench) post(t *testing.T, what string, r request) (int, []byte) {
	t.Helper()
	if r.Page == 0 {
		r.Page = b.page
	}
	if r.Number == 0 {
		b.number++
		r.Number = b.number
	}
	body, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	q, err := http.NewRequest(http.MethodPost, b.base+what, bytes.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	q.Header.Set("Content-Type", "application/json")
	q.Header.Set("Origin", b.URL)
	a, err := http.DefaultClient.Do(q)
	if err != nil {
		t.Fatal(err)
	}
	defer a.Body.Close()
	got, err := io.ReadAll(a.Body)
	if err != nil {
		t.Fatal(err)
	}
	return a.StatusCode, got
}

// pieces are the answer to a wish, by name.
func (b *bench) pieces(t *testing.T, w wish) map[string]map[string]any {
	t.Helper()
	code, body := b.post(t, "lines", request{Wish: w})
	if code != http.StatusOK {
		t.Fatalf("%d: %s", code, body)
	}
	all := map[string]map[string]any{}
	for line := range strings.Lines(string(body)) {
		var p map[string]any
		if err := json.Unmarshal([]byte(line), &p); err != nil {
			t.Fatalf("%v in %.200s", err, line)
		}
		all[p["piece"].(string)] = p
	}
	return all
}

func TestTuneRefuses(t *testing.T) {
	slotsDesk(t)
	b := newBench(t, "slots.png", flagValues{"width": {"60mm"}})
	good := `{"page":1,"number":1,"wish":{"command":"box","flags":{}}}`
	for _, c := range []struct {
		name, method, path, body string
		change                   func(*http.Request)
		want                     int
	}{
		{"the page", "GET", "", "", nil, 200},
		{"its style", "GET", "tune.css", "", nil, 200},
		{"lines", "POST", "lines", good, nil, 200},
		{"no token", "GET", "/", "", nil, 404},
		{"a wrong token", "GET", "/" + strings.Repeat("A", 26) + "/start", "", nil, 404},
		{"part of the token", "GET", "/" + b.token[:25] + "/start", "", nil, 404},
		{"a token in the wrong place", "GET", "/start?token=" + b.token, "", nil, 404},
		{"another name for this machine", "GET", "start", "", func(r *http.Request) { r.Host = "harbour.example" }, 421},
		{"the right port under another name", "GET", "start", "", func(r *http.Request) {
			r.Host = "localhost.harbour.example" + b.Listener.Addr().String()[len("127.0.0.1"):]
		}, 421},
		{"another page", "POST", "lines", good, func(r *http.Request) { r.Header.Set("Origin", "http://harbour.example") }, 403},
		{"a page without a name", "POST", "lines", good, func(r *http.Request) { r.Header.Set("Origin", "null") }, 403},
		{"no origin", "POST", "lines", good, func(r *http.Request) { r.Header.Del("Origin") }, 403},
		{"another page's picture", "GET", "drawing", "", func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") }, 403},
		{"another program on this machine", "GET", "drawing", "", func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "same-site") }, 403},
		{"a form", "POST", "lines", good, func(r *http.Request) { r.Header.Set("Content-Type", "text/plain") }, 415},
		{"writing by a link", "GET", "write", "", nil, 404},
		{"changing the page", "PUT", "tune.js", good, nil, 405},
		{"deleting", "DELETE", "drawing", "", nil, 405},
		{"too much", "POST", "lines", `{"page":1,"number":2,"wish":{"command":"` + strings.Repeat("x", mostBody) + `"}}`, nil, 413},
		{"too much, its size not told", "POST", "lines", `{"page":1,"number":2,"wish":{"command":"` + strings.Repeat("x", mostBody) + `"}}`, func(r *http.Request) { r.ContentLength = -1 }, 413},
		{"no JSON", "POST", "lines", "box", nil, 400},
		{"an unknown field", "POST", "write", `{"page":1,"number":3,"out":"/etc","wish":{"command":"box"}}`, nil, 400},
		{"a folder", "POST", "write", `{"page":1,"number":3,"wish":{"command":"box","flags":{"out":["/etc"]}}}`, nil, 400},
		{"a file of papers", "POST", "lines", `{"page":1,"number":3,"wish":{"command":"box","flags":{"papers-file":["/etc/passwd"]}}}`, nil, 400},
		{"another command", "POST", "write", `{"page":1,"number":3,"wish":{"command":"demo"}}`, nil, 400},
		{"a page that is not open", "POST", "lines", `{"page":99,"number":3,"wish":{"command":"box"}}`, nil, 409},
		{"one that was overtaken", "POST", "lines", good, nil, 409},
		{"a pulse of no page", "GET", "pulse?page=99", "", nil, 409},
		{"what is not there", "GET", "../../slots.png", "", nil, 404},
		{"a path out of the page", "GET", "..%2f..%2fslots.png", "", nil, 404},
	} {
		url := b.base + c.path
		if strings.HasPrefix(c.path, "/") {
			url = b.URL + c.path
		}
		var body io.Reader
		if c.body != "" {
			body = strings.NewReader(c.body)
		}
		r, err := http.NewRequest(c.method, url, body)
		if err != nil {
			t.Fatal(err)
		}
		if c.body != "" {
			r.Header.Set("Content-Type", "application/json")
			r.Header.Set("Origin", b.URL)
		}
		if c.change != nil {
			c.change(r)
		}
		a, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Fatal(c.name, err)
		}
		text, _ := io.ReadAll(a.Body)
		a.Body.Close()
		if a.StatusCode != c.want {
			t.Errorf("%s: %s, want %d: %.200s", c.name, a.Status, c.want, text)
		}
		if csp := a.Header.Get("Content-Security-Policy"); !strings.HasPrefix(csp, "default-src 'self'") {
			t.Errorf("%s: policy %q", c.name, csp)
		}
	}
	if got := files(t, "."); len(got) != 1 {
		t.Errorf("files were written: %v", got)
	}
}

// The page names nothing that is not its own.
func TestTunePageStaysHome(t *testing.T) {
	entries, err := tuneFiles.ReadDir("tune")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		text, err := tuneFiles.ReadFile("tune/" + e.Name())
		if err != nil {
			t.Fatal(err)
		}
		s := strings.ReplaceAll(string(text), `xmlns="http://www.w3.org/2000/svg"`, "")
		for _, bad := range []string{"http:", "https:", "//cdn", "@import", "eval(", "style=\"", "onclick"} {
			if strings.Contains(s, bad) {
				t.Errorf("%s has %s", e.Name(), bad)
			}
		}
	}
}

// What the page writes is what the command line that it shows writes.
func TestTuneWritesWhatItShows(t *testing.T) {
	sh := shell(t)
	slotsDesk(t)
	b := newBench(t, "slots.png", flagValues{"width": {"60mm"}, "out": {"from the page"}, "base-depth": {"20mm"}})
	for i, w := range []wish{
		{"box", nil},
		{"box", flagValues{"kerf": {"0.2mm"}, "margin": {"1/2 in"}, "paper": {"thin-card"}, "grow": {"-0.1mm"}}},
		{"trace", flagValues{"bridge": {"auto"}, "threshold": {"0.4"}, "no-bridge-at": {"9.5,20"}}},
	} {
		line := b.pieces(t, w)["lines"]["line"].(string)
		code, body := b.post(t, "write", request{Wish: w, Replace: i > 0})
		var done writtenPiece
		if err := json.Unmarshal(body, &done); err != nil || code != 200 || done.Code != exitDone {
			t.Fatalf("%s: %d %s", line, code, body)
		}
		args := sh(line)
		for k, a := range args {
			if a == "from the page" {
				args[k] = "from the line"
			}
		}
		if code, _, msg := kerfleaf(append(args[1:], "--force")...); code != exitDone {
			t.Fatalf("%s: exit %d\n%s", line, code, msg)
		}
		names := files(t, "from the line")
		if len(names) < 4 {
			t.Errorf("%s: wrote %v", line, names)
		}
		for _, n := range names {
			one, _ := os.ReadFile(filepath.Join("from the page", n))
			two, _ := os.ReadFile(filepath.Join("from the line", n))
			if !bytes.Equal(one, two) {
				t.Errorf("%s: %s differs", line, n)
			}
		}
	}
	// A second time the files are there, and stay as they are unless asked.
	_, body := b.post(t, "write", request{Wish: wish{"box", nil}})
	var done writtenPiece
	if err := json.Unmarshal(body, &done); err != nil || done.Code != exitFailed || !done.Exists {
		t.Errorf("%s", body)
	}
}

// What the page draws is what the files hold: the same corners, to a micrometre.
func TestTuneDrawsWhatItWrites(t *testing.T) {
	slotsDesk(t)
	b := newBench(t, "slots.png", flagValues{"width": {"60mm"}, "format": {"svg"}, "order": {"off"}})
	w := wish{"trace", flagValues{"bridge": {"auto"}, "kerf": {"0.2mm"}}}
	p := b.pieces(t, w)["lines"]
	if code, body := b.post(t, "write", request{Wish: w}); code != 200 {
		t.Fatalf("%s", body)
	}
	svg := read(t, "kerfleaf-out/slots.svg")
	corners := func(d string) map[string]int {
		found := map[string]int{}
		for _, c := range strings.FieldsFunc(d, func(r rune) bool { return strings.ContainsRune("MLZ", r) }) {
			if c = strings.TrimSpace(c); c != "" {
				found[c]++
			}
		}
		return found
	}
	var drawn string
	for _, part := range strings.Split(svg, ` d="`)[1:] {
		drawn += part[:strings.IndexByte(part, '"')]
	}
	if shown, written := corners(p["tool"].(string)), corners(drawn); !maps.Equal(shown, written) || len(shown) < 12 {
		t.Errorf("shown %v\nwritten %v", shown, written)
	}
}
