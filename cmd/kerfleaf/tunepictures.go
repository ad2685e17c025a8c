package main

import (
	"bytes"
	"image"
	"image/png"
	"net/http"

	"golang.org/x/image/draw"
)

// mostShown is the longest side of the drawing that the page gets, in pixels.
const mostShown = 6000

func (t *tuner) serveDrawing(w http.ResponseWriter, r *http.Request) {
	_, s, err := t.settings(t.start)
	if err != nil {
		fail(w, err)
		return
	}
	if a := r.URL.Query().Get("min-area"); a != "" { // which a scan is cleaned by
		if err := s.minArea.Set(a); err != nil {
			fail(w, err)
			return
		}
	}
	src, key, err := t.stages.read(r.Context(), s)
	if err != nil {
		fail(w, err)
		return
	}
	b, err := t.shown.get(r.Context(), key, func() ([]byte, error) {
		var b bytes.Buffer
		e := png.Encoder{CompressionLevel: png.BestSpeed}
		err := e.Encode(&b, smaller(src.picture.Gray))
		return b.Bytes(), err
	})
	if err != nil {
		fail(w, err)
		return
	}
	w.Header().Set("Content-Type", "image/png")
	_, _ = w.Write(b) // a page that went away
}

// smaller returns m with its longest side no longer than mostShown.
func smaller(m *image.Gray) *image.Gray {
	size := m.Rect.Size()
	long := max(size.X, size.Y)
	if long <= mostShown {
		return m
	}
	to := image.NewGray(image.Rect(0, 0, max(1, size.X*mostShown/long), max(1, size.Y*mostShown/long)))
	draw.ApproxBiLinear.Scale(to, to.Rect, m, m.Rect, draw.Src, nil)
	return to
}

func (t *tuner) serveLook(w http.ResponseWriter, r *http.Request) {
	req, r, done, ok := t.take(w, r, "look")
	if !ok {
		return
	}
	defer done()
	_, s, err := t.settings(req.Wish)
	if err != nil {
		fail(w, err)
		return
	}
	b, err := t.stages.mockup(r.Context(), s, req.Wish.Command == "box", req.Pixels)
	if err != nil {
		fail(w, err)
		return
	}
	w.Header().Set("Content-Type", "image/png")
	_, _ = w.Write(b)
}
