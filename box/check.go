package box

import (
	"fmt"
	"math"

	"example.org/kerfleaf/internal/length"
)

// Error says which measure of a [Spec] does not make a box, by how much, and
// why. Lengths are in mm.
type Error struct {
	Measure string  // what is wrong: "gap", "margin", "tab", "depth", ...
	Got     float64 // what it is
	Limit   float64 // what it must reach, or with AtMost may reach
	AtMost  bool
	Reason  string // why, in words
}

func (e *Error) Error() string {
	switch {
	case math.IsNaN(e.Got) || math.IsInf(e.Got, 0):
		return fmt.Sprintf("box: %s is not a length: %v", e.Measure, e.Got)
	case e.Limit == 0:
		return fmt.Sprintf("box: %s %s: %s", e.Measure, length.MM(e.Got), e.Reason)
	case e.AtMost:
		return fmt.Sprintf("box: %s %s, at most %s is possible: %s", e.Measure, length.MM(e.Got), length.MM(e.Limit), e.Reason)
	default:
		return fmt.Sprintf("box: %s %s, need %s: %s", e.Measure, length.MM(e.Got), length.MM(e.Limit), e.Reason)
	}
}

// longest is the greatest measure accepted, far beyond any paper: sums of sizes
// below it stay exact to a micrometre.
const longest = 1e6

func (s Spec) check() error {
	for _, m := range []struct {
		name     string
		v        float64
		optional bool
	}{
		{"window width", s.Width, false},
		{"window height", s.Height, false},
		{"margin", s.Margin, false},
		{"depth", s.Depth, false},
		{"front thickness", s.FrontThickness, false},
		{"base thickness", s.BaseThickness, false},
		{"base depth", s.BaseDepth, true},
		{"gap", s.Gap, true},
		{"smallest web", s.MinWeb, true},
		{"tab", s.TabLength, true},
	} {
		switch {
		case math.IsNaN(m.v) || m.v > longest:
			return &Error{Measure: m.name, Got: m.v, Limit: longest, AtMost: true, Reason: "no paper is as large"}
		case m.v < 0 || m.v == 0 && !m.optional:
			return &Error{Measure: m.name, Got: m.v, Limit: 0, Reason: "it must be more than zero"}
		}
	}
	if s.Tab != Square && s.Tab != Mitred {
		return fmt.Errorf("box: tab shape %d is not known", s.Tab)
	}
	if s.Ruler < 0 {
		return fmt.Errorf("box: a ruler cannot have %d marks to the inch", s.Ruler)
	}
	if s.Gap != 0 && s.Gap < MinGap {
		return &Error{Measure: "gap", Got: s.Gap, Limit: MinGap, Reason: "the base would jam in the front"}
	}
	if s.Margin < s.MinWeb {
		return &Error{Measure: "margin", Got: s.Margin, Limit: s.MinWeb, Reason: "the paper does not bear a narrower strip"}
	}
	if err := s.front().check("front"); err != nil {
		return err
	}
	return s.base().check("base")
}

// check tells whether the tray can be folded: walls that stand, a face between
// them, tabs that find room.
func (t tray) check(name string) error {
	if least := 4 * t.t; t.depth < least {
		return &Error{Measure: name + " depth", Got: t.depth, Limit: least, Reason: "paper of this thickness does not fold into lower walls"}
	}
	if least, short := 4*t.t, min(t.w, t.h); short < least {
		return &Error{Measure: name + " face", Got: short, Limit: least, Reason: "no room is left between the walls"}
	}
	if most := t.longestTab(); t.tabLength > most {
		reason := "a longer tab does not fit into the corner of the blank, as it is longer than the wall is deep"
		switch {
		case most < t.depth*maxMitred || t.tab == Square && most < t.depth:
			reason = "longer tabs meet inside the wall that they are glued to"
		case t.tab == Mitred:
			reason = "a longer mitred tab tapers to nothing"
		}
		return &Error{Measure: name + " tab", Got: t.tabLength, Limit: most, AtMost: true, Reason: reason}
	}
	return nil
}
