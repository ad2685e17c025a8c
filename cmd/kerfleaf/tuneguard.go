package main

import (
	"crypto/subtle"
	"net/http"
	"strings"
)

// mostBody is the largest body that a request may have, in bytes.
const mostBody = 64 << 10

// guard lets only the program's own page through: the address must name this
// machine as we gave it out, so that no other name leads here; the path must begin
// with the token; and what another page sends is refused.
type guard struct {
	host  string // 127.0.0.1:PORT
	token string
	next  http.Handler
}

func (g *guard) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Security-Policy", "default-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cache-Control", "no-store")
	if r.Host != g.host {
		http.Error(w, "kerfleaf answers at "+g.host+" only", http.StatusMisdirectedRequest)
		return
	}
	token, rest, _ := strings.Cut(strings.TrimPrefix(r.URL.Path, "/"), "/")
	if subtle.ConstantTimeCompare([]byte(token), []byte(g.token)) != 1 {
		http.Error(w, "not found: use the whole address that kerfleaf printed", http.StatusNotFound)
		return
	}
	if !g.ours(r) {
		http.Error(w, "another page may not ask this", http.StatusForbidden)
		return
	}
	if r.Method == http.MethodPost {
		if r.Header.Get("Content-Type") != "application/json" {
			http.Error(w, "send JSON", http.StatusUnsupportedMediaType)
			return
		}
		if r.ContentLength > mostBody {
			http.Error(w, "too much", http.StatusRequestEntityTooLarge)
			return
		}
		r.Body = http.MaxBytesReader(w, r.Body, mostBody)
	}
	inner := r.Clone(r.Context())
	inner.URL.Path, inner.URL.RawPath = "/"+rest, ""
	g.next.ServeHTTP(w, inner)
}

// ours reports whether the request comes from our page, or from a person who
// typed the address.
func (g *guard) ours(r *http.Request) bool {
	origin := r.Header.Get("Origin")
	if origin != "" && origin != "http://"+g.host || r.Method == http.MethodPost && origin == "" {
		return false
	}
	switch r.Header.Get("Sec-Fetch-Site") {
	case "", "none", "same-origin":
		return true
	}
	return false
}
