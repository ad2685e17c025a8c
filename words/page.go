package words

import (
	"math"
	"slices"
	"unicode"

	"github.com/go-text/typesetting/harfbuzz"

	"example.org/kerfleaf/internal/ring"
)

// A line is a line of text set in font units, y down, from left to right
// beginning on its baseline at (0, 0).
type line struct {
	glyphs []placed
	ink    ring.Box // around all that is drawn
}

// A page holds all lines, the first baseline at y = 0.
type page struct {
	glyphs    []placed
	ink       ring.Box
	baselines []float64 // y of each line that is not blank
}

// lines shapes the lines of a text, at least one of which is not blank.
func (s *setter) lines(text [][]rune, spacing float64) ([]line, error) {
	missing := &MissingGlyphError{}
	out := make([]line, len(text))
	blank := true
	for i, t := range text {
		var err error
		if out[i], err = s.line(t, spacing, func(column int) { missing.add(t[column], i, column) }); err != nil {
			return nil, err
		}
		blank = blank && isEmpty(out[i].ink)
	}
	switch {
	case len(missing.Runes) > 0:
		return nil, missing
	case blank:
		return nil, ErrBlank
	}
	return out, nil
}

// stack aligns lines by their ink and stacks them downward, one each pitch.
func stack(lines []line, align Align, pitch float64) *page {
	widest := 0.0
	for _, l := range lines {
		widest = math.Max(widest, l.ink.MaxX-l.ink.MinX) // -Inf for a blank line
	}
	out := &page{ink: ring.EmptyBox()}
	for i, l := range lines {
		if isEmpty(l.ink) {
			continue
		}
		dx, dy := -l.ink.MinX, float64(i)*pitch
		switch spare := widest - (l.ink.MaxX - l.ink.MinX); align {
		case Center:
			dx += spare / 2
		case Right:
			dx += spare
		}
		for _, g := range l.glyphs {
			g.x, g.y = g.x+dx, g.y+dy
			out.glyphs = append(out.glyphs, g)
		}
		out.ink = out.ink.Join(moved(l.ink, dx, dy))
		out.baselines = append(out.baselines, dy)
	}
	return out
}

func isEmpty(b ring.Box) bool { return b.MinX > b.MaxX }

func moved(b ring.Box, dx, dy float64) ring.Box {
	return ring.Box{MinX: b.MinX + dx, MinY: b.MinY + dy, MaxX: b.MaxX + dx, MaxY: b.MaxY + dy}
}

// line shapes one line. It calls missing with the place of each character that
// the font cannot draw.
func (s *setter) line(text []rune, spacing float64, missing func(column int)) (line, error) {
	l := line{ink: ring.EmptyBox()}
	word := 0
	var lacking []int
	x := 0.0
	for _, r := range s.runs(text) {
		glyphs, advance := s.shape(text, r, spacing)
		blank := map[int]bool{} // by the letter's first rune
		for _, g := range glyphs {
			b, err := s.bounds(g.id)
			if err != nil {
				return l, err
			}
			isBlank, seen := blank[g.cluster]
			blank[g.cluster] = (isBlank || !seen) && isEmpty(b)
			if g.id == 0 {
				lacking = append(lacking, s.lacking(text, g.cluster, letterEnd(glyphs, g.cluster, r.end))...)
			} else if isEmpty(b) {
				if unicode.IsSpace(text[g.cluster]) {
					word++
				}
			} else {
				g.x += x
				g.word = word
				l.glyphs = append(l.glyphs, g)
				l.ink = l.ink.Join(moved(b, g.x, g.y))
			}
		}
		for column, isBlank := range blank {
			if isBlank && visible(text[column]) {
				lacking = append(lacking, column)
			}
		}
		x += advance
	}
	slices.Sort(lacking)
	for _, column := range lacking {
		missing(column)
	}
	return l, nil
}

// letterEnd is the end of the letter that begins at a rune, within a run.
func letterEnd(glyphs []placed, start, end int) int {
	for _, g := range glyphs {
		if g.cluster > start {
			end = min(end, g.cluster)
		}
	}
	return end
}

// lacking returns the places of the characters of a letter that have no glyph;
// if each has one, the letter's first.
func (s *setter) lacking(text []rune, start, end int) []int {
	var out []int
	for i := start; i < end; i++ {
		if _, ok := s.face.NominalGlyph(text[i]); !ok && !harfbuzz.IsDefaultIgnorable(text[i]) {
			out = append(out, i)
		}
	}
	if len(out) == 0 {
		return []int{start}
	}
	return out
}
