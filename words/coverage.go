package words

import (
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype/tables"
	"github.com/go-text/typesetting/harfbuzz"
)

// newHarfBuzz prepares a face for shaping, around a fault of
// github.com/go-text/typesetting v0.3.5 (its issue 278): the filters by which it
// passes over lookups forget all glyphs that follow a long range of a coverage
// table, so large fonts lose kerning, accents and joined forms. The filters are
// made here and never again, so each coverage table claims all glyphs for the
// moment; its first range then gets its true bounds back. With a filter that
// lets everything pass, the library asks the true coverage.
//
// Nothing else may use the font meanwhile.
func newHarfBuzz(face *font.Face) *harfbuzz.Font {
	var ranges []*tables.RangeRecord
	note := func(c tables.Coverage) {
		if c, ok := c.(tables.Coverage2); ok && len(c.Ranges) > 0 {
			ranges = append(ranges, &c.Ranges[0])
		}
	}
	for _, lookup := range face.GSUB.Lookups {
		for _, table := range lookup.Subtables {
			note(table.Cov())
		}
	}
	for _, lookup := range face.GPOS.Lookups {
		for _, table := range lookup.Subtables {
			note(table.Cov())
		}
	}
	truth := make([]tables.RangeRecord, len(ranges))
	for i, r := range ranges {
		truth[i] = *r
		r.StartGlyphID, r.EndGlyphID = 0, 0xFFFF
	}
	defer func() {
		// Backwards, in case two tables share their coverage.
		for i := len(ranges) - 1; i >= 0; i-- {
			*ranges[i] = truth[i]
		}
	}()
	return harfbuzz.NewFont(face)
}
