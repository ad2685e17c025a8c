package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"example.org/kerfleaf/internal/length"
	"github.com/urfave/cli/v2"
)

// lengthValue is a flag that holds a length in mm and knows whether it was given.
type lengthValue struct {
	mm     float64
	text   string // as given
	given  bool
	signed bool // zero and less make sense
	zero   bool // zero makes sense
}

func (l *lengthValue) Set(s string) error {
	mm, err := length.Parse(s)
	if err != nil {
		return err
	}
	switch {
	case mm < 0 && !l.signed:
		return fmt.Errorf("%s is less than nothing", length.MM(mm))
	case mm == 0 && !l.signed && !l.zero:
		return fmt.Errorf("must be more than 0")
	}
	l.mm, l.text, l.given = mm, s, true
	return nil
}

func (l *lengthValue) String() string { return l.text }

func (l *lengthValue) Get() any { return l.text }

// or returns the length, or def where none was given.
func (l *lengthValue) or(def float64) float64 {
	if l.given {
		return l.mm
	}
	return def
}

// areaValue is a flag that holds an area in mm².
type areaValue struct {
	mm2  float64
	text string // as given
}

func (a *areaValue) Set(s string) error {
	v, err := length.ParseArea(s)
	if err != nil {
		return err
	}
	a.mm2, a.text = v, s
	return nil
}

func (a *areaValue) String() string { return a.text }

func (a *areaValue) Get() any { return a.text }

// bridgeValue is --bridge: off, auto (the stock's width) or a width.
type bridgeValue struct {
	off, auto bool
	mm        float64
	text      string // as given
}

func (b *bridgeValue) Set(s string) error {
	switch strings.ToLower(s) {
	case "off":
		*b = bridgeValue{off: true, text: s}
	case "auto":
		*b = bridgeValue{auto: true, text: s}
	default:
		var l lengthValue
		if err := l.Set(s); err != nil {
			return fmt.Errorf("%w; or off, or auto", err)
		}
		*b = bridgeValue{mm: l.mm, text: s}
	}
	return nil
}

func (b *bridgeValue) String() string { return b.text }

func (b *bridgeValue) Get() any { return b.text }

// wanted reports whether islands are to be tied; byDefault rules where the flag
// was not given.
func (b *bridgeValue) wanted(byDefault bool) bool {
	return b.auto || b.mm > 0 || byDefault && !b.off
}

// The order in which help groups the flags.
const (
	groupSize   = "Size of the drawing"
	groupClean  = "Scans and photos"
	groupLine   = "Finding the line"
	groupPaper  = "Paper and tool"
	groupWords  = "Words"
	groupBox    = "Box"
	groupSheet  = "Sheet"
	groupTool   = "Cutting"
	groupOutput = "Output"
)

// lengthFlag offers a length; byDefault is what help says of its absence.
func lengthFlag(name, usage, byDefault, group string, v *lengthValue) cli.Flag {
	return &cli.GenericFlag{Name: name, Usage: usage, Category: group, Value: v, DefaultText: byDefault}
}

// choose reads a flag that takes one of a few words.
func choose[T any](name, given string, of map[string]T) (T, error) {
	if v, ok := of[strings.ToLower(given)]; ok {
		return v, nil
	}
	var none T
	return none, usagef("--%s %q: write %s", name, given, strings.Join(slices.Sorted(maps.Keys(of)), ", "))
}
