package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"example.org/kerfleaf/internal/length"
	"example.org/kerfleaf/stencil"
)

// summary is what a command says when it is done: measures a maker needs, the
// files, and what to look out for. People read the text, programs the JSON:
// lengths in mm, areas in mm².
type summary struct {
	command string
	facts   []fact
	files   []string
	warn    []string
	loose   bool // the paper would not hold together
	wrong   bool // the files would not make what they should
	claims  claims
}

type fact struct {
	label string
	text  string
	key   string
	value any
}

type sizeJSON struct {
	Width  float64 `json:"width_mm"`
	Height float64 `json:"height_mm"`
}

func (s *summary) text(label, key, text string) { s.add(label, text, key, text) }

func (s *summary) add(label, text, key string, value any) {
	s.facts = append(s.facts, fact{label, text, key, value})
}

func (s *summary) length(label, key string, mm float64) {
	s.add(label, length.Format(mm), key+"_mm", round3(mm))
}

// steps tells what was done to a picture and why, a line each.
func (s *summary) steps(label, key string, steps []string) {
	for _, step := range steps {
		s.add(label, step, "", nil)
		label = " "
	}
	if len(steps) > 0 {
		s.add("", "", key, steps)
	}
}

func (s *summary) size(label, key string, w, h float64) {
	text := fmt.Sprintf("%s x %s in (%s x %s)", length.Fraction(w, length.RulerMarks, length.Nearest),
		length.Fraction(h, length.RulerMarks, length.Nearest), strings.TrimSuffix(length.MM(w), " mm"), length.MM(h))
	s.add(label, text, key, sizeJSON{round3(w), round3(h)})
}

// faultJSON is a fault for programs: lengths in mm, areas in mm².
type faultJSON struct {
	Kind    string  `json:"kind"`
	X       float64 `json:"x_mm"`
	Y       float64 `json:"y_mm"`
	Width   float64 `json:"width_mm,omitempty"`
	Need    float64 `json:"need,omitempty"`
	Length  float64 `json:"length_mm,omitempty"`
	Area    float64 `json:"area_mm2,omitempty"`
	Reach   float64 `json:"reach_mm,omitempty"`
	Single  bool    `json:"single,omitempty"`
	Caution bool    `json:"caution,omitempty"`
	Text    string  `json:"text"`
}

// faults adds what will fall out, tear or want care, for programs.
func (s *summary) faults(list []stencil.Fault) {
	rows := make([]faultJSON, len(list))
	for i, f := range list {
		rows[i] = faultJSON{f.Kind.String(), round3(f.At[0]), round3(f.At[1]), round3(f.Width), round3(f.Need), round3(f.Length),
			round3(f.Area), round3(f.Reach), f.Single, f.Caution, f.String()}
	}
	s.add("", "", "faults", rows)
}

func (s *summary) warnf(format string, a ...any) { s.warn = append(s.warn, fmt.Sprintf(format, a...)) }

// print writes the text for people. Warnings go to standard error, where they
// are seen even when the summary is piped away.
func (s *summary) print(stdout, stderr io.Writer) error {
	width := len("wrote")
	for _, f := range s.facts {
		width = max(width, utf8.RuneCountInString(f.label))
	}
	var b strings.Builder
	for _, f := range s.facts {
		if f.label != "" { // facts without a label are for programs only
			fmt.Fprintf(&b, "%-*s  %s\n", width, f.label, f.text)
		}
	}
	for i, f := range s.files {
		label := "wrote"
		if i > 0 {
			label = ""
		}
		fmt.Fprintf(&b, "%-*s  %s\n", width, label, f)
	}
	for _, w := range s.warn {
		fmt.Fprintln(stderr, "kerfleaf: note:", w)
	}
	_, err := io.WriteString(stdout, b.String())
	return err
}

// printJSON writes one object for programs.
func (s *summary) printJSON(stdout io.Writer) error {
	m := map[string]any{"command": s.command, "files": s.files, "warnings": s.warn}
	if s.files == nil {
		m["files"] = []string{}
	}
	if s.warn == nil {
		m["warnings"] = []string{}
	}
	for _, f := range s.facts {
		if f.key != "" { // facts without a key are for people only
			m[f.key] = f.value
		}
	}
	e := json.NewEncoder(stdout)
	e.SetIndent("", "  ")
	return e.Encode(m)
}

// round3 keeps a JSON number to a micrometre.
func round3(v float64) float64 {
	if v < 0 {
		return -round3(-v)
	}
	return float64(int64(v*1000+0.5)) / 1000
}
