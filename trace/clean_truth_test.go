package trace

import (
	"image"
	"math"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// glyphRings are the outlines of a text in one of the Go fonts, em mm high, with its
// baseline starting at (x, y).
func glyphRings(t testing.TB, ttf []byte, text string, x, y, em float64) [][]vec2 {
	t.Helper()
	f, err := sfnt.Parse(ttf)
	if err != nil {
		t.Fatal(err)
	}
	var (
		buf   sfnt.Buffer
		rings [][]vec2
	)
	const ppem = 2048
	scale := em / ppem / 64
	at := func(p fixed.Point26_6) vec2 { return vec2{x + float64(p.X)*scale, y + float64(p.Y)*scale} }
	for _, r := range text {
		g, err := f.GlyphIndex(&buf, r)
		if err != nil {
			t.Fatal(err)
		}
		segs, err := f.LoadGlyph(&buf, g, fixed.I(ppem), nil)
		if err != nil {
			t.Fatal(err)
		}
		var ring []vec2
		var last vec2
		for _, s := range segs {
			switch s.Op {
			case sfnt.SegmentOpMoveTo:
				if ring != nil {
					rings = append(rings, ring)
				}
				last = at(s.Args[0])
				ring = []vec2{last}
			case sfnt.SegmentOpLineTo:
				last = at(s.Args[0])
				ring = append(ring, last)
			case sfnt.SegmentOpQuadTo:
				c, e := at(s.Args[0]), at(s.Args[1])
				for i := 1; i <= 16; i++ {
					f := float64(i) / 16
					ring = append(ring, vec2{
						(1-f)*(1-f)*last.x + 2*f*(1-f)*c.x + f*f*e.x,
						(1-f)*(1-f)*last.y + 2*f*(1-f)*c.y + f*f*e.y})
				}
				last = e
			}
		}
		if ring != nil {
			rings = append(rings, ring)
		}
		adv, err := f.GlyphAdvance(&buf, g, fixed.I(ppem), font.HintingNone)
		if err != nil {
			t.Fatal(err)
		}
		x += float64(adv) * scale
	}
	return rings
}

// The drawings that degraded pictures are made of, all on an A4 sheet.
func trueDrawings(t testing.TB) map[string][][]vec2 {
	frame := func(x0, y0, x1, y1, w float64) [][]vec2 {
		return [][]vec2{rectRing(x0, y0, x1, y1), reversedRing(rectRing(x0+w, y0+w, x1-w, y1-w))}
	}
	join := func(parts ...[][]vec2) (all [][]vec2) {
		for _, p := range parts {
			all = append(all, p...)
		}
		return all
	}
	var reeds [][]vec2
	for i := range 9 {
		x := 45 + 13*float64(i)
		var line []vec2
		for k := range 41 {
			f := float64(k) / 40
			line = append(line, vec2{x + 9*math.Sin(2.2*f+float64(i)), 250 - 150*f})
		}
		reeds = append(reeds, thickLine(line, 1.2+0.2*float64(i)))
	}
	moon := append([][]vec2{discRing(105, 95, 38)}, reversedRing(discRing(118, 88, 12)), reversedRing(discRing(88, 108, 7)), reversedRing(discRing(100, 76, 3)))
	return map[string][][]vec2{
		"letters": join(frame(20, 25, 190, 272, 6), glyphRings(t, gobold.TTF, "Heron", 35, 110, 48), glyphRings(t, goregular.TTF, "& Moth", 35, 170, 40), glyphRings(t, goitalic.TTF, "lantern supper", 35, 220, 20)),
		"reeds":   join(frame(22, 30, 188, 268, 3), reeds),
		"moon":    join(frame(15, 20, 195, 277, 2.5), moon, glyphRings(t, gobold.TTF, "TIDE", 45, 200, 45), glyphRings(t, goregular.TTF, "eight bells 8", 40, 245, 18)),
		"words":   join(glyphRings(t, gobold.TTF, "BOATS", 25, 90, 50), glyphRings(t, goregular.TTF, "HILT", 40, 160, 60), glyphRings(t, gobold.TTF, "moths & eels", 25, 230, 22)),
		"solid":   join([][]vec2{rectRing(30, 40, 180, 255)}, holeRings(glyphRings(t, gobold.TTF, "Reed", 42, 120, 50)), [][]vec2{reversedRing(discRing(70, 190, 22)), discRing(70, 190, 12), reversedRing(rectRing(120, 160, 160, 230))}),
	}
}

func holeRings(rings [][]vec2) [][]vec2 {
	out := make([][]vec2, len(rings))
	for i, r := range rings {
		out[i] = reversedRing(r)
	}
	return out
}

// A verdict compares a cleaned picture with the truth.
type verdict struct {
	rms, shift, worst    float64 // mm; shift > 0: the cut area is too large
	inks, papers         int     // components: ink joined at corners, paper not
	wantInks, wantPapers int
	stretch              float64 // size over true size, less 1, by least squares
	outside              int     // edge points more than 1 mm from every true edge
}

func (v verdict) sameParts() bool {
	return v.inks == v.wantInks && v.papers == v.wantPapers && v.outside == 0
}

// judge measures every vec2 where the picture crosses half, taken by linear
// interpolation along the grid, against the true rings.
func judge(p *Picture, truth [][]vec2, toTruth func(vec2) vec2) verdict {
	ix := newRingIndex(truth)
	var v verdict
	var n, sum, sq float64
	var spread, pull float64 // about the middle of the sheet
	g := p.Gray
	w, h := g.Rect.Dx(), g.Rect.Dy()
	at := func(x, y int) float64 { return float64(g.Pix[y*g.Stride+x]) - 127.5 }
	visit := func(x, y, fx, fy float64) {
		q := toTruth(vec2{(x + fx + 0.5) * p.MMPerPixel, (y + fy + 0.5) * p.MMPerPixel})
		d, normal, ok := ix.distance(q)
		if !ok {
			v.outside++
			return
		}
		n++
		sum += d
		sq += d * d
		along := q.sub(vec2{105, 148.5}).dot(normal)
		spread += along * along
		pull += along * d
		v.worst = max(v.worst, math.Abs(d))
	}
	for y := range h {
		for x := range w {
			a := at(x, y)
			if x+1 < w {
				if b := at(x+1, y); (a < 0) != (b < 0) {
					visit(float64(x), float64(y), a/(a-b), 0)
				}
			}
			if y+1 < h {
				if b := at(x, y+1); (a < 0) != (b < 0) {
					visit(float64(x), float64(y), 0, a/(a-b))
				}
			}
		}
	}
	v.stretch = pull / spread
	v.rms, v.shift = math.Sqrt(sq/n), sum/n
	v.inks, v.papers = countParts(g)
	s := &scene{w: 210 * 6, h: 297 * 6, toPixel: func(p vec2) vec2 { return p.mul(6) }}
	clean := image.NewGray(image.Rect(0, 0, s.w, s.h))
	for i, c := range s.coverage(truth) {
		clean.Pix[i] = uint8(255 - 255*c)
	}
	v.wantInks, v.wantPapers = countParts(clean)
	return v
}

// countParts counts connected parts of ink (8 neighbours) and paper (4) by
// flood filling, within a border of paper.
func countParts(g *image.Gray) (inks, papers int) {
	w, h := g.Rect.Dx()+2, g.Rect.Dy()+2
	ink := make([]bool, w*h)
	for y := range h - 2 {
		for x := range w - 2 {
			ink[(y+1)*w+x+1] = g.Pix[y*g.Stride+x] < 128
		}
	}
	seen := make([]bool, w*h)
	var stack []int
	for i := range seen {
		if seen[i] {
			continue
		}
		if ink[i] {
			inks++
		} else {
			papers++
		}
		seen[i] = true
		stack = append(stack[:0], i)
		for len(stack) > 0 {
			j := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			x, y := j%w, j/w
			for dy := -1; dy <= 1; dy++ {
				for dx := -1; dx <= 1; dx++ {
					if dx != 0 && dy != 0 && !ink[i] || x+dx < 0 || x+dx >= w || y+dy < 0 || y+dy >= h {
						continue
					}
					if k := j + dy*w + dx; !seen[k] && ink[k] == ink[i] {
						seen[k] = true
						stack = append(stack, k)
					}
				}
			}
		}
	}
	return inks, papers
}

// A ringIndex finds the nearest true edge within 1 mm.
type ringIndex struct {
	cells map[[2]int][][2]vec2
	rings [][]vec2
}

func newRingIndex(rings [][]vec2) *ringIndex {
	ix := &ringIndex{cells: map[[2]int][][2]vec2{}, rings: rings}
	for _, r := range rings {
		fine := subdividedRing(r, 0.5)
		for i, p := range fine {
			q := fine[(i+1)%len(fine)]
			c := [2]int{int(math.Floor(p.x)), int(math.Floor(p.y))}
			for dy := -1; dy <= 1; dy++ {
				for dx := -1; dx <= 1; dx++ {
					k := [2]int{c[0] + dx, c[1] + dy}
					ix.cells[k] = append(ix.cells[k], [2]vec2{p, q})
				}
			}
		}
	}
	return ix
}

// distance is signed, positive on the paper's side, along the normal of the
// nearest edge, which points to the paper.
func (ix *ringIndex) distance(p vec2) (d float64, normal vec2, ok bool) {
	best, sign := 1.0, 0.0
	for _, s := range ix.cells[[2]int{int(math.Floor(p.x)), int(math.Floor(p.y))}] {
		a, b := s[1].sub(s[0]), p.sub(s[0])
		f := 0.0
		if l := a.dot(a); l > 0 {
			f = min(1, max(0, a.dot(b)/l))
		}
		if d := b.sub(a.mul(f)).norm(); d < best {
			best, sign = d, math.Copysign(1, b.cross(a))
			normal = vec2{a.y, -a.x}.mul(1 / max(a.norm(), 1e-12))
		}
	}
	return best * sign, normal, sign != 0
}
