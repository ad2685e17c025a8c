package words

import (
	"slices"

	"github.com/go-text/typesetting/bidi"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/harfbuzz"
	"github.com/go-text/typesetting/language"
	classes "golang.org/x/text/unicode/bidi"
)

// A run is a stretch of a line with one direction and one script.
type run struct {
	start, end int // in the runes of the line
	level      int // of the Unicode bidirectional algorithm: odd from right to left
	script     language.Script
}

// A placed glyph stands at (x, y) in font units, y down, the line's first
// baseline point being the origin.
type placed struct {
	id      opentype.GID
	x, y    float64
	cluster int // first rune of the letter it belongs to, in the line
	word    int // from left to right
}

// runs divides a line by direction and script and returns the runs in the
// order in which they stand from left to right.
func (s *setter) runs(text []rune) []run {
	var out []run
	for _, r := range s.directions(text) {
		out = append(out, byScript(text, r)...)
	}
	// Rule L2 of Unicode Standard Annex 9: from the highest level to the lowest
	// odd one, reverse every sequence of runs at that level or higher.
	highest := 0
	for _, r := range out {
		highest = max(highest, r.level)
	}
	for level := highest; level > 0; level-- {
		for i := 0; i < len(out); i++ {
			j := i
			for j < len(out) && out[j].level >= level {
				j++
			}
			slices.Reverse(out[i:j])
			i = j
		}
	}
	return out
}

// directions divides a line by the embedding levels of Unicode Standard Annex
// 9, in logical order. The first strong character gives the line's direction.
func (s *setter) directions(text []rune) []run {
	var out []run
	segments := s.bidi.Segment(text, bidi.Neutral)
	for i := range segments.NumRuns() {
		r := segments.Run(i)
		out = append(out, run{start: r.Start, end: r.End, level: int(r.Level)})
	}
	if lineIsRightToLeft(text) {
		return out
	}
	// The library divides where the direction changes. In a line from left to
	// right that leaves in one run what parts in the picture: numbers in Arabic
	// digits or after right-to-left text (level 2) and the left-to-right text
	// next to them (level 0).
	var parted []run
	var ends []int
	for _, r := range out {
		for i := r.start; i < r.end; i++ {
			number := r.level == 2 && i == r.start || r.level%2 == 0 && class(text[i]) == classes.AN
			if !number {
				continue
			}
			if ends == nil {
				ends = s.numberEnds(text)
			}
			if i > r.start {
				parted = append(parted, run{start: r.start, end: i})
			}
			r.start = min(ends[i], r.end)
			parted = append(parted, run{start: i, end: r.start, level: 2})
			i, r.level = r.start-1, 0
		}
		if r.start < r.end {
			parted = append(parted, r)
		}
	}
	return parted
}

// numberEnds gives for each place of a line from left to right the end of a
// number there: where it ends in a line from right to left, in which blanks and
// marks after it turn around, or where left-to-right text follows it at once, be
// it a letter or European digits that no right-to-left letter precedes (rule W7).
func (s *setter) numberEnds(text []rune) []int {
	ltr := make([]bool, len(text))
	strong := classes.L
	for i, r := range text {
		switch c := class(r); c {
		case classes.L, classes.R, classes.AL:
			strong = c
			ltr[i] = c == classes.L
		case classes.EN:
			ltr[i] = strong == classes.L
		}
	}
	ends := make([]int, len(text))
	segments := s.bidi.Segment(text, bidi.RightToLeft)
	for k := range segments.NumRuns() {
		r := segments.Run(k)
		end := r.End
		for i := r.End - 1; i >= r.Start; i-- {
			ends[i] = end
			if ltr[i] {
				end = i
			}
		}
	}
	return ends
}

func class(r rune) classes.Class {
	p, _ := classes.LookupRune(r)
	return p.Class()
}

// lineIsRightToLeft tells the direction of a line by its first strong character
// (rule P2).
func lineIsRightToLeft(text []rune) bool {
	for _, r := range text {
		switch class(r) {
		case classes.L:
			return false
		case classes.R, classes.AL:
			return true
		}
	}
	return false
}

// byScript divides a run where its script changes. Characters of no script of
// their own, such as blanks and digits, go with the script before them, at the
// start of the run with the one behind them (Unicode Standard Annex 24).
func byScript(text []rune, r run) []run {
	var out []run
	r.script = language.Common
	for i := r.start; i < r.end; i++ {
		script := language.LookupScript(text[i])
		switch {
		case !script.Strong() || script == r.script:
		case r.script == language.Common:
			r.script = script
		default:
			out = append(out, run{r.start, i, r.level, r.script})
			r.start, r.script = i, script
		}
	}
	return append(out, r)
}

// joined tells whether the letters of a script hang together, in cursive or by
// a common headline, so that space between them would break words apart.
func joined(script language.Script) bool {
	switch script {
	case language.Arabic, language.Syriac, language.Mongolian, language.Nko, language.Mandaic,
		language.Phags_Pa, language.Hanifi_Rohingya, language.Sogdian, language.Adlam,
		language.Devanagari, language.Bengali, language.Gurmukhi:
		return true
	}
	return false
}

// Optional ligatures are off in spaced text.
var noLigatures = []harfbuzz.Feature{
	{Tag: opentype.MustNewTag("liga"), Start: harfbuzz.FeatureGlobalStart, End: harfbuzz.FeatureGlobalEnd},
	{Tag: opentype.MustNewTag("clig"), Start: harfbuzz.FeatureGlobalStart, End: harfbuzz.FeatureGlobalEnd},
}

// shape shapes a run of a line and returns its glyphs, from left to right
// beginning at x = 0, and where the next run begins. Glyph 0 stands for what
// the font lacks.
func (s *setter) shape(text []rune, r run, spacing float64) ([]placed, float64) {
	s.buf.Clear()
	s.buf.AddRunes(text, r.start, r.end-r.start)
	s.buf.Props = harfbuzz.SegmentProperties{Direction: harfbuzz.LeftToRight, Script: r.script}
	if r.level%2 == 1 {
		s.buf.Props.Direction = harfbuzz.RightToLeft
	}
	var features []harfbuzz.Feature
	if joined(r.script) {
		spacing = 0
	}
	if spacing != 0 {
		features = noLigatures
	}
	s.buf.Shape(s.hb, features)

	out := make([]placed, len(s.buf.Info))
	x := 0.0
	for i, info := range s.buf.Info {
		if i > 0 && info.Cluster != s.buf.Info[i-1].Cluster {
			x += spacing
		}
		pos := s.buf.Pos[i]
		out[i] = placed{id: info.Glyph, x: x + float64(pos.XOffset), y: -float64(pos.YOffset), cluster: info.Cluster}
		x += float64(pos.XAdvance)
	}
	return out, x + spacing
}
