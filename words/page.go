package words

import (
	"math"
	"slices"

	"github.com/go-text/typesetting/harfbuzz"
)

// A page is the text set in font units, y up, the first baseline at y = 0.
type page struct {
	glyphs []placed
	ink    box // around all that is drawn
}

// page sets the lines: it shapes each, aligns them by their ink and stacks them
// downward.
func (s *setter) page(lines [][]rune, o *Options) (*page, error) {
	missing := &MissingGlyphError{}
	spacing := o.Spacing * float64(s.font.Upem())
	set := make([]page, len(lines))
	for i, text := range lines {
		var err error
		if set[i], err = s.line(text, spacing, func(column int) { missing.add(text[column], i, column) }); err != nil {
			return nil, err
		}
	}
	if len(missing.Runes) > 0 {
		return nil, missing
	}

	widest := 0.0
	for _, l := range set {
		if !l.ink.empty() {
			widest = math.Max(widest, l.ink.maxX-l.ink.minX)
		}
	}
	out := &page{ink: emptyBox}
	for i, l := range set {
		if l.ink.empty() {
			continue
		}
		dx, dy := -l.ink.minX, -float64(i)*o.Leading*s.pitch()
		switch spare := widest - (l.ink.maxX - l.ink.minX); o.Align {
		case Center:
			dx += spare / 2
		case Right:
			dx += spare
		}
		for _, g := range l.glyphs {
			g.x, g.y = g.x+dx, g.y+dy
			out.glyphs = append(out.glyphs, g)
		}
		out.ink = out.ink.union(l.ink.move(dx, dy))
	}
	if out.ink.maxX <= out.ink.minX || out.ink.maxY <= out.ink.minY {
		return nil, ErrBlank
	}
	return out, nil
}

// line shapes one line, from left to right beginning at (0, 0). It calls
// missing with the place of each character that the font cannot draw.
func (s *setter) line(text []rune, spacing float64, missing func(column int)) (page, error) {
	l := page{ink: emptyBox}
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
			blank[g.cluster] = (isBlank || !seen) && b.empty()
			if g.id == 0 {
				lacking = append(lacking, s.lacking(text, g.cluster, letterEnd(glyphs, g.cluster, r.end))...)
			} else if !b.empty() {
				g.x += x
				l.glyphs = append(l.glyphs, g)
				l.ink = l.ink.union(b.move(g.x, g.y))
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
