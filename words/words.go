// Package words turns text in a font into cut areas: the outlines of the
// letters, taken straight from the font, as polygons in millimetres with x to
// the right and y down.
//
// Every result is a valid *geom.MultiPolygon of layout XY: rings are closed
// (the last vertex equals the first), outer rings have a positive Area() and
// holes a negative one, no two rings cross, and overlapping strokes and
// letters are united (nonzero rule). The box around all that is cut away
// begins at (0, 0).
//
// Letters become cut areas (Cut), line by line and from left to right, or they
// stay as paper while the background around them is cut away (Paper). The
// centres of letters such as "o" are islands in the first case: package stencil
// ties them.
package words

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/ring"
)

// ErrBlank is returned for a text with nothing to cut: empty, or white space only.
var ErrBlank = errors.New("words: the text is blank, nothing to cut")

// Size says how large the words are, in millimetres. Each value that is not
// zero is a limit, and the words are made as large as all limits allow, so
// {Cap: 12} sets capitals of 12 mm, {Width: 80} fills 80 mm exactly, and
// {Cap: 12, Width: 80} sets capitals of 12 mm unless a long name needs smaller
// ones. At least one value must be set; none may be beyond MaxSize.
type Size struct {
	// Cap is the height of the capitals, from the baseline to the top of a flat
	// one such as "H": what a ruler shows on the finished card, and what stays
	// the same from one name to the next whether or not it has descenders or
	// accents. Where the font has no "H", the capital height that it states
	// counts, else 0.7 of its em.
	Cap float64
	// Width is the width of all that is cut; with letters of paper, of the
	// frame's opening.
	Width float64
	// Height is the height of all that is cut, over all lines.
	Height float64
}

// MaxSize is the greatest value of a Size in mm.
const MaxSize = 10_000

// Align says where the shorter of several lines stand. Lines are aligned by
// their ink: by what is cut, not by the blank margins that fonts give letters.
type Align int

// Alignments.
const (
	Center Align = iota // on a common centre line
	Left                // flush on the left
	Right               // flush on the right
)

// MinTolerance is the finest Options.Tolerance, in mm.
const MinTolerance = 1e-4

// DefaultTolerance is the tolerance in mm used where Options has none. It is
// finer than hand or machine follow a line in paper (common practice, no
// source).
const DefaultTolerance = 0.02

// Options are the choices that have a default.
type Options struct {
	// Font is the typeface; nil for BuiltIn.
	Font *Font
	// Align places the shorter lines; default Center.
	Align Align
	// Spacing is extra space between letters in parts of the em (the nominal
	// height of the typeface), negative to set them closer; default 0, at least
	// -1, at most 10. Scripts whose letters are joined (such as Arabic or
	// Devanagari) are never pulled apart or pushed together. Optional ligatures
	// ("fi") are off while letters are spaced.
	Spacing float64
	// Leading is the distance from one baseline to the next in multiples of the
	// font's own line height; default 1, at most 10.
	Leading float64
	// Tolerance is the greatest distance in mm between a curve of the font and
	// the polygon that stands for it, at least MinTolerance; default
	// DefaultTolerance.
	Tolerance float64
	// Letters says what becomes of the letters; default Cut.
	Letters Letters
	// Hold says what holds letters of paper; default Bar. No effect on Cut.
	Hold Hold
	// Web is the width in mm of the bars and straps that hold letters of paper,
	// 0.1 to 100 and at most half the height of the capitals; default 2. Take the
	// bridge width of the stock. No effect on Cut.
	Web float64
	// Padding is the width in mm of the background between letters of paper and
	// the frame where nothing holds them; default 0.4 of the height of the
	// capitals. No effect on Cut.
	Padding float64
}

// Text sets text in a font and returns the cut areas, in mm, x right, y down,
// the box around them beginning at (0, 0): the letters, or with Options.Letters
// Paper the background around them, the paper left being one piece with its
// frame. Lines are divided by "\n" (or another line end); other white space
// counts as a blank each.
//
// Text is ordered by the Unicode bidirectional algorithm and shaped by the
// rules of its script and font: kerning, ligatures, placed accents, joined
// letters. No point of a letter's boundary is further than the tolerance from
// the font's curve, and no point of the curve is further from the boundary;
// leftmost, rightmost, topmost and lowest points are exact.
//
// A character without a glyph in the font gives a *MissingGlyphError that
// names it, a text that is blank ErrBlank, a damaged font a *FontError.
func Text(words string, size Size, opts *Options) (*geom.MultiPolygon, error) {
	o, err := opts.complete()
	if err != nil {
		return nil, err
	}
	if err := size.check(); err != nil {
		return nil, err
	}
	text, err := splitLines(words)
	if err != nil {
		return nil, err
	}
	var result *geom.MultiPolygon
	err = o.Font.use(func(s *setter) error {
		lines, err := s.lines(text, o.Spacing*float64(s.font.Upem()))
		if err != nil {
			return err
		}
		if o.Letters == Paper {
			result, err = s.background(lines, size, &o)
			return err
		}
		page := stack(lines, o.Align, o.Leading*s.pitch())
		result, err = s.cut(page, size.scale(s.capHeight(), page.ink), o.Tolerance)
		return err
	})
	if err != nil {
		return nil, err
	}
	return result, nil
}

// complete returns the options with defaults filled in, or says which is wrong.
func (opts *Options) complete() (Options, error) {
	var o Options
	if opts != nil {
		o = *opts
	}
	if o.Font == nil {
		o.Font = BuiltIn()
	}
	if o.Leading == 0 {
		o.Leading = 1
	}
	if o.Tolerance == 0 {
		o.Tolerance = DefaultTolerance
	}
	if o.Web == 0 {
		o.Web = 2
	}
	switch {
	case o.Align != Center && o.Align != Left && o.Align != Right:
		return o, fmt.Errorf("words: alignment %d is not one of Center, Left, Right", o.Align)
	case o.Letters != Cut && o.Letters != Paper:
		return o, fmt.Errorf("words: letters %d are not one of Cut, Paper", o.Letters)
	case o.Hold != Bar && o.Hold != Touch && o.Hold != Frame:
		return o, fmt.Errorf("words: hold %d is not one of Bar, Touch, Frame", o.Hold)
	case !(o.Web >= 0.1 && o.Web <= 100):
		return o, fmt.Errorf("words: web %g mm, need 0.1 to 100", o.Web)
	case !(o.Padding >= 0 && o.Padding <= MaxSize):
		return o, fmt.Errorf("words: padding %g mm, need 0 to %d", o.Padding, MaxSize)
	case !(o.Spacing >= -1 && o.Spacing <= 10):
		return o, fmt.Errorf("words: letter spacing %g em, need -1 to 10", o.Spacing)
	case !(o.Leading > 0 && o.Leading <= 10):
		return o, fmt.Errorf("words: leading %g, need more than 0 and at most 10", o.Leading)
	case !(o.Tolerance >= MinTolerance && o.Tolerance <= MaxSize):
		return o, fmt.Errorf("words: tolerance %g mm, need %g to %d", o.Tolerance, MinTolerance, MaxSize)
	}
	return o, nil
}

func (s Size) check() error {
	for _, v := range []struct {
		name string
		mm   float64
	}{{"capital height", s.Cap}, {"width", s.Width}, {"height", s.Height}} {
		if !(v.mm >= 0 && v.mm <= MaxSize) {
			return fmt.Errorf("words: %s %g mm, need more than 0 and at most %d", v.name, v.mm, MaxSize)
		}
	}
	if s == (Size{}) {
		return errors.New("words: no size: give a capital height, a width or a height in mm")
	}
	return nil
}

// scale is the greatest number of mm a font unit may have for capitals of the
// given height and ink in the given box, both in font units.
func (s Size) scale(capHeight float64, ink ring.Box) float64 {
	scale := math.Inf(1)
	if s.Cap > 0 {
		scale = s.Cap / capHeight
	}
	if s.Width > 0 {
		scale = math.Min(scale, s.Width/(ink.MaxX-ink.MinX))
	}
	if s.Height > 0 {
		scale = math.Min(scale, s.Height/(ink.MaxY-ink.MinY))
	}
	return scale
}

// splitLines divides text at line ends and replaces other white space by blanks.
func splitLines(text string) ([][]rune, error) {
	if !utf8.ValidString(text) {
		for i, r := range text {
			if r == utf8.RuneError {
				if _, n := utf8.DecodeRuneInString(text[i:]); n == 1 {
					return nil, fmt.Errorf("words: text is not UTF-8 at byte %d", i)
				}
			}
		}
	}
	if strings.TrimFunc(text, unicode.IsSpace) == "" {
		return nil, ErrBlank
	}
	text = strings.ReplaceAll(text, "\r\n", "\n")
	lines := [][]rune{nil}
	for _, r := range text {
		switch {
		case r == '\n' || r == '\r' || r == '\u0085' || r == '\u2028' || r == '\u2029':
			lines = append(lines, nil)
			continue
		case r == '\t' || r == '\v' || r == '\f':
			r = ' '
		}
		last := len(lines) - 1
		lines[last] = append(lines[last], r)
	}
	return lines, nil
}
