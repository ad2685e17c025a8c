package words

import (
	"fmt"
	"strings"
	"unicode"

	"github.com/go-text/typesetting/harfbuzz"
)

// A MissingGlyphError names the characters of a text that the font cannot draw.
type MissingGlyphError struct {
	// Runes are the characters without a glyph or with an empty one, each once,
	// in the order of the text.
	Runes []rune
	// Line and Column are the place of the first, both counted from 1, the
	// column in characters.
	Line, Column int
}

func (e *MissingGlyphError) Error() string {
	names := make([]string, len(e.Runes))
	for i, r := range e.Runes {
		names[i] = fmt.Sprintf("%q (%U)", r, r)
	}
	return fmt.Sprintf("words: the font has no glyph for %s; first at line %d, character %d",
		strings.Join(names, ", "), e.Line, e.Column)
}

// add notes the rune at a place, the line and column counted from 0. Places
// may come in any order.
func (e *MissingGlyphError) add(r rune, line, column int) {
	for _, known := range e.Runes {
		if known == r {
			return
		}
	}
	if len(e.Runes) == 0 {
		e.Line, e.Column = line+1, column+1
	}
	e.Runes = append(e.Runes, r)
}

// visible tells whether a character must leave a mark: it is no white space,
// control, format or other ignorable character, nor the blank Braille cell.
func visible(r rune) bool {
	return !unicode.IsSpace(r) && !unicode.Is(unicode.C, r) && !harfbuzz.IsDefaultIgnorable(r) && r != '\u2800'
}
