// Package paper knows what a job is cut from: kinds of paper and what each can
// bear, sizes of sheets, and how parts are placed on as few sheets as possible.
//
// All lengths are millimetres, x runs right and y down, and the top-left corner
// of a sheet is its origin.
package paper

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Stock is a kind of paper and what it can bear: lengths in mm, GSM in grams
// per square metre (0: not known).
type Stock struct {
	Name string
	Note string // a line about it

	GSM       float64
	Thickness float64 // of one sheet
	Kerf      float64 // width that the tool removes; 0 for a knife
	MinWeb    float64 // narrowest strip of paper that holds
	Caution   float64 // strip of paper below which care is wanted
	Bridge    float64 // usual width of a strip that ties an island
	Tolerance float64 // how far a cut may stray from the drawn edge
	Smooth    float64 // wobble to even out
}

// UnknownError says that no paper or sheet size has the given name, and which
// names there are.
type UnknownError struct {
	What  string   // "paper" or "sheet size"
	Name  string   // what was asked for
	Known []string // all names, in the order of their table
}

func (e *UnknownError) Error() string {
	if n := e.Nearest(); n != "" {
		return fmt.Sprintf("paper: unknown %s %q: did you mean %q?", e.What, e.Name, n)
	}
	return fmt.Sprintf("paper: unknown %s %q: there are %s", e.What, e.Name, strings.Join(e.Known, ", "))
}

// Nearest returns the known name that was most likely meant: one that differs
// in at most a third of its letters, or that contains the given name or is
// contained in it. It returns "" if none is close.
func (e *UnknownError) Nearest() string {
	best, cost := "", math.Inf(1)
	name := tidyName(e.Name)
	if name == "" {
		return ""
	}
	for _, k := range e.Known {
		c := float64(editDistance(name, k)) / float64(max(len(name), len(k)))
		if strings.Contains(k, name) || strings.Contains(name, k) {
			c = min(c, 0.3)
		}
		if c <= 1.0/3 && c < cost {
			best, cost = k, c
		}
	}
	return best
}

// tidyName is the form in which names are compared: lower case, words joined by
// a hyphen.
func tidyName(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool {
		return r == ' ' || r == '_' || r == '-' || r == '\t'
	}), "-")
}

// editDistance counts the letters to insert, delete, replace or exchange with
// their neighbour to make a of b (Damerau 1964, the restricted form).
func editDistance(a, b string) int {
	x, y := []rune(a), []rune(b)
	rows := make([][]int, len(x)+1)
	for i := range rows {
		rows[i] = make([]int, len(y)+1)
		rows[i][0] = i
	}
	for j := range rows[0] {
		rows[0][j] = j
	}
	for i := 1; i <= len(x); i++ {
		for j := 1; j <= len(y); j++ {
			change := 1
			if x[i-1] == y[j-1] {
				change = 0
			}
			d := min(rows[i-1][j]+1, rows[i][j-1]+1, rows[i-1][j-1]+change)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				d = min(d, rows[i-2][j-2]+1)
			}
			rows[i][j] = d
		}
	}
	return rows[len(x)][len(y)]
}

// Stocks is a table of papers, light ones first.
type Stocks []Stock

// Find returns the stock of that name, whatever its case and with spaces for
// hyphens; otherwise an *[UnknownError].
func (s Stocks) Find(name string) (Stock, error) {
	i := slices.IndexFunc(s, func(k Stock) bool { return k.Name == tidyName(name) })
	if i >= 0 {
		return s[i], nil
	}
	e := &UnknownError{What: "paper", Name: name}
	for _, k := range s {
		e.Known = append(e.Known, k.Name)
	}
	return Stock{}, e
}
