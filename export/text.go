package export

import (
	"math"
	"strings"
	"sync"

	"github.com/fogleman/gg"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// parsed parses a built-in font when it is first asked for.
func parsed(ttf []byte) func() *sfnt.Font {
	return sync.OnceValue(func() *sfnt.Font {
		f, err := sfnt.Parse(ttf)
		if err != nil {
			panic(err) // the font is part of the program
		}
		return f
	})
}

// textWidth is the width of s in a font of the given size.
func textWidth(f *sfnt.Font, s string, size float64) float64 {
	width := 0.0
	for _, g := range glyphs(f, s) {
		width = g.x + g.advance
	}
	return width * size
}

// A glyph stands at x in its line of text; lengths are in em.
type glyph struct {
	index      sfnt.GlyphIndex
	x, advance float64
}

// glyphs sets s on a line. A rune that the font lacks shows as the font's sign for that.
func glyphs(f *sfnt.Font, s string) []glyph {
	var out []glyph
	var buf sfnt.Buffer
	em := fixed.I(int(f.UnitsPerEm()))
	x := 0.0
	for _, r := range s {
		index, err := f.GlyphIndex(&buf, r)
		if err != nil {
			index = 0
		}
		advance, err := f.GlyphAdvance(&buf, index, em, font.HintingNone)
		if err != nil {
			advance = 0
		}
		a := float64(advance) / float64(em)
		out = append(out, glyph{index, x, a})
		x += a
	}
	return out
}

// drawText fills the outlines of s in the current colour. The middle of the baseline's stretch from start to end, at
// the share anchor (0 start, 0.5 middle, 1 end), lies at (x, y); the text is turned by angle in radians, clockwise.
func drawText(dc *gg.Context, f *sfnt.Font, s string, x, y, size, anchor, angle float64) {
	x0 := -anchor * textWidth(f, s, size)
	sin, cos := math.Sincos(angle)
	var buf sfnt.Buffer
	em := fixed.I(int(f.UnitsPerEm()))
	scale := size / float64(em)
	dc.SetFillRuleWinding()
	for _, g := range glyphs(f, s) {
		segments, err := f.LoadGlyph(&buf, g.index, em, nil)
		if err != nil {
			continue
		}
		at := func(p fixed.Point26_6) (float64, float64) {
			u, v := x0+g.x*size+float64(p.X)*scale, float64(p.Y)*scale
			return x + u*cos - v*sin, y + u*sin + v*cos
		}
		for _, seg := range segments {
			ax, ay := at(seg.Args[0])
			switch seg.Op {
			case sfnt.SegmentOpMoveTo:
				dc.MoveTo(ax, ay)
			case sfnt.SegmentOpLineTo:
				dc.LineTo(ax, ay)
			case sfnt.SegmentOpQuadTo:
				bx, by := at(seg.Args[1])
				dc.QuadraticTo(ax, ay, bx, by)
			case sfnt.SegmentOpCubeTo:
				bx, by := at(seg.Args[1])
				cx, cy := at(seg.Args[2])
				dc.CubicTo(ax, ay, bx, by, cx, cy)
			}
		}
	}
	dc.Fill()
}

// printable returns s with a question mark for every rune that the built-in fonts lack. The PDF module would fail on
// some of those.
func printable(s string) string {
	var buf sfnt.Buffer
	return strings.Map(func(r rune) rune {
		if index, err := regular().GlyphIndex(&buf, r); err != nil || index == 0 || r < ' ' {
			return '?'
		}
		return r
	}, s)
}
