package main

import (
	"bytes"
	"embed"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"time"
)

//go:embed tune
var tuneFiles embed.FS

// tuner serves the page of one drawing.
type tuner struct {
	drawing string     // its path, as given
	fixed   flagValues // what the command line set and the page cannot change
	start   wish       // what the page begins with
	goos    string
	token   string
	stages  *stages
	turns   turns
	shown   memo[[]byte] // the drawing as the page shows it
	left    func()       // called when the last page has gone
	writing sync.Mutex
	gone    watch
}

// settings are a wish's, with the arguments that say it.
func (t *tuner) settings(w wish) ([]string, *settings, error) {
	args, err := commandLine(t.drawing, w, t.fixed)
	if err != nil {
		return nil, nil, err
	}
	s, err := parse(args)
	return args, s, err
}

// handler serves the page at http://host/token/.
func (t *tuner) handler(host string) http.Handler {
	page, err := fs.Sub(tuneFiles, "tune")
	if err != nil {
		panic(err) // the folder is part of the program
	}
	m := http.NewServeMux()
	m.Handle("GET /", http.FileServerFS(page))
	m.HandleFunc("GET /start", t.serveStart)
	m.HandleFunc("GET /drawing", t.serveDrawing)
	m.HandleFunc("GET /pulse", t.servePulse)
	m.HandleFunc("POST /lines", t.serveLines)
	m.HandleFunc("POST /look", t.serveLook)
	m.HandleFunc("POST /write", t.serveWrite)
	return &guard{host: host, token: t.token, next: m}
}

type startPiece struct {
	Page    int          `json:"page"`
	Drawing string       `json:"drawing"`
	Out     string       `json:"out"`
	Wish    wish         `json:"wish"`
	Papers  []paperPiece `json:"papers"`
	Notes   []string     `json:"notes"`
}

type paperPiece struct {
	Name string `json:"name"`
	Note string `json:"note"`
}

func (t *tuner) serveStart(w http.ResponseWriter, r *http.Request) {
	_, s, err := t.settings(t.start)
	if err != nil {
		fail(w, err)
		return
	}
	table, err := s.stocks()
	if err != nil {
		fail(w, err)
		return
	}
	p := startPiece{Page: t.turns.open(), Drawing: filepath.Base(t.drawing), Out: s.out, Wish: t.start, Papers: []paperPiece{}, Notes: []string{}}
	for _, st := range table {
		p.Papers = append(p.Papers, paperPiece{st.Name, st.Note})
	}
	if src, _, err := t.stages.read(r.Context(), s); err == nil {
		p.Notes = append(append(p.Notes, src.steps...), src.picture.Notes...)
	}
	reply(w, p)
}

// request is a wish with the page it is from and its number: of two the later
// counts.
type request struct {
	Page    int  `json:"page"`
	Number  int  `json:"number"`
	Wish    wish `json:"wish"`
	Pixels  int  `json:"pixels,omitempty"`
	Replace bool `json:"replace,omitempty"`
}

// take reads a request and begins its turn.
func (t *tuner) take(w http.ResponseWriter, r *http.Request, kind string) (req request, turn *http.Request, done func(), ok bool) {
	d := json.NewDecoder(r.Body)
	d.DisallowUnknownFields()
	if err := d.Decode(&req); err != nil {
		var big *http.MaxBytesError
		if errors.As(err, &big) {
			http.Error(w, "too much", http.StatusRequestEntityTooLarge)
		} else {
			http.Error(w, "not understood: "+err.Error(), http.StatusBadRequest)
		}
		return req, nil, nil, false
	}
	if err := req.Wish.check(); err != nil {
		http.Error(w, err.Error(), http.StatusBadRequest)
		return req, nil, nil, false
	}
	ctx, cancel, ok := t.turns.take(r.Context(), req.Page, kind, req.Number)
	if !ok {
		http.Error(w, "a later request has come already, or this page was closed", http.StatusConflict)
		return req, nil, nil, false
	}
	return req, r.WithContext(ctx), cancel, true
}

func (t *tuner) serveLines(w http.ResponseWriter, r *http.Request) {
	req, r, done, ok := t.take(w, r, "lines")
	if !ok {
		return
	}
	defer done()
	w.Header().Set("Content-Type", "application/x-ndjson")
	flush := http.NewResponseController(w)
	var text bytes.Buffer // what is sent together arrives together
	e := json.NewEncoder(&text)
	e.SetEscapeHTML(false)
	_ = t.answer(r.Context(), req.Wish, func(pieces ...any) error { // what went wrong was sent, or nobody listens
		if err := r.Context().Err(); err != nil {
			return err
		}
		text.Reset()
		for _, p := range pieces {
			if err := e.Encode(p); err != nil {
				return err
			}
		}
		if _, err := w.Write(text.Bytes()); err != nil {
			return errSend
		}
		if err := flush.Flush(); err != nil {
			return errSend
		}
		return nil
	})
}

type writtenPiece struct {
	Code   int    `json:"code"`
	Out    string `json:"out"`
	Said   string `json:"said"`
	Exists bool   `json:"exists"` // files of these names do already
}

// serveWrite runs the command line that the page shows.
func (t *tuner) serveWrite(w http.ResponseWriter, r *http.Request) {
	req, _, done, ok := t.take(w, r, "write")
	if !ok {
		return
	}
	defer done()
	args, err := commandLine(t.drawing, req.Wish, t.fixed)
	if err != nil {
		fail(w, err)
		return
	}
	if req.Replace {
		args = append(args, "--force")
	}
	t.writing.Lock()
	defer t.writing.Unlock()
	var out, said bytes.Buffer
	code := run(args, &out, &said)
	reply(w, writtenPiece{code, out.String(), said.String(), code == exitFailed && strings.Contains(said.String(), "exists already")})
}

func reply(w http.ResponseWriter, v any) {
	w.Header().Set("Content-Type", "application/json")
	_ = json.NewEncoder(w).Encode(v) // a page that went away
}

// fail says what is wrong with a wish.
func fail(w http.ResponseWriter, err error) {
	http.Error(w, err.Error(), http.StatusUnprocessableEntity)
}

// servePulse keeps a line open for as long as the page is: it tells when the
// drawing's file has changed, and its end tells that the page has gone.
func (t *tuner) servePulse(w http.ResponseWriter, r *http.Request) {
	page, err := strconv.Atoi(r.URL.Query().Get("page"))
	if err != nil || !t.turns.known(page) {
		http.Error(w, "this page was closed", http.StatusConflict)
		return
	}
	w.Header().Set("Content-Type", "text/event-stream")
	flush := http.NewResponseController(w)
	t.gone.came()
	defer func() {
		t.turns.close(page)
		t.gone.went(t.left)
	}()
	tick := time.NewTicker(time.Second)
	defer tick.Stop()
	was := fileStamp(t.drawing)
	for say := "event: here\ndata:\n\n"; ; say = ": \n\n" {
		if now := fileStamp(t.drawing); now != was && now != "" {
			was, say = now, "event: drawing\ndata:\n\n"
		}
		if _, err := fmt.Fprint(w, say); err != nil {
			return
		}
		if err := flush.Flush(); err != nil {
			return
		}
		select {
		case <-tick.C:
		case <-r.Context().Done():
			return
		}
	}
}
