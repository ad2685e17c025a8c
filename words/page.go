package words

import (
	"math"
	"slices"

	"github.com/go-text/typesetting/harfbuzz"

	"example.org/kerfleaf/internal/ring"
)

// A page is the text set in font units, y down, the first baseline at y = 0.
type page struct {
	glyphs []placed
	ink    ring.Box // around all that is drawn
}

// page sets the lines: it shapes each, aligns them by their ink and stacks them
// downward.
func (s *setter) page(lines [][]rune, o *Options) (*page, error) {
	missing := &MissingGlyphError{}
	spacing := o.Spacing * float64(s.font.Upem())
	set := make([]page, len(lines))
	widest := 0.0
	for i, text := range lines {
		var err error
		if set[i], err = s.line(text, spacing, func(column int) { missing.add(text[column], i, column) }); err != nil {
			return nil, err
		}
		widest = math.Max(widest, set[i].ink.MaxX-set[i].ink.MinX) // -Inf for a blank line
	}
	if len(missing.Runes) > 0 {
		return nil, missing
	}

	out := &page{ink: ring.EmptyBox()}
	for i, l := range set {
		if isEmpty(l.ink) {
			continue
		}
		dx, dy := -l.ink.MinX, float64(i)*o.Leading*s.pitch()
		switch spare := widest - (l.ink.MaxX - l.ink.MinX); o.Align {
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
	}
	if isEmpty(out.ink) {
		return nil, ErrBlank
	}
	return out, nil
}

func isEmpty(b ring.Box) bool { return b.MinX > b.MaxX }

func moved(b ring.Box, dx, dy float64) ring.Box {
	return ring.Box{MinX: b.MinX + dx, MinY: b.MinY + dy, MaxX: b.MaxX + dx, MaxY: b.MaxY + dy}
}

// line shapes one line, from left to right beginning at (0, 0). It calls
// missing with the place of each character that the font cannot draw.
func (s *setter) line(text []rune, spacing float64, missing func(column int)) (page, error) {
	l := page{ink: ring.EmptyBox()}
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
			} else if !isEmpty(b) {
				g.x += x
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
