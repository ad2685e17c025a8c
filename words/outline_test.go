package words

import (
	"image"
	"math"
	"testing"

	"github.com/go-text/typesetting/font/opentype"
	"github.com/twpayne/go-geom"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"

	"example.org/kerfleaf/internal/ring"
)

const latinGreekCyrillic = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789&%@?!éñøßþ" +
	"ΑΒΓΔΘΛΞΠΣΦΨΩαβγδεζθλξπφψω" + "АБВДЖЗИЛФЦЩЫЭЮЯбвджзлфщыэюя"

// judge is another reader of fonts, golang.org/x/image/font/sfnt. It gives
// coordinates in 64ths of a font unit, y down.
type judge struct {
	font *sfnt.Font
	buf  sfnt.Buffer
	ppem fixed.Int26_6
}

func newJudge(t testing.TB) *judge {
	t.Helper()
	f, err := sfnt.Parse(gobold.TTF)
	if err != nil {
		t.Fatal(err)
	}
	return &judge{font: f, ppem: fixed.I(int(f.UnitsPerEm()))}
}

func (j *judge) outline(t testing.TB, r rune) sfnt.Segments {
	t.Helper()
	id, err := j.font.GlyphIndex(&j.buf, r)
	if err != nil || id == 0 {
		t.Fatalf("%c: glyph %d, %v", r, id, err)
	}
	segments, err := j.font.LoadGlyph(&j.buf, id, j.ppem, nil)
	if err != nil {
		t.Fatal(err)
	}
	return segments
}

func TestAdvancesLikeSFNT(t *testing.T) {
	j := newJudge(t)
	err := BuiltIn().use(func(s *setter) error {
		for _, r := range latinGreekCyrillic {
			id, err := j.font.GlyphIndex(&j.buf, r)
			if err != nil {
				return err
			}
			want, err := j.font.GlyphAdvance(&j.buf, id, j.ppem, font.HintingNone)
			if err != nil {
				return err
			}
			text := []rune{r}
			if _, got := s.shape(text, s.runs(text)[0], 0); got != float64(want)/64 {
				t.Errorf("%c: advance %g, need %g", r, got, float64(want)/64)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// glyph returns the areas of a character in font units.
func glyph(t testing.TB, f *Font, r rune, flat float64) *geom.MultiPolygon {
	t.Helper()
	var out *geom.MultiPolygon
	err := f.use(func(s *setter) error {
		id, ok := s.face.NominalGlyph(r)
		if !ok {
			t.Fatalf("no %c", r)
		}
		var err error
		out, err = s.filled(id, flat)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// The area of a letter against that of its raster by
// golang.org/x/image/vector, which draws the curves itself, by the nonzero
// rule, with exact coverage in 1/65536.
func TestAreasLikeARaster(t *testing.T) {
	j := newJudge(t)
	const side, scale = 600, 0.2 // pixels, pixels per font unit
	for _, r := range latinGreekCyrillic {
		raster := vector.NewRasterizer(side, side)
		at := func(p fixed.Point26_6) (x, y float32) {
			return float32(p.X)/64*scale + 100, float32(p.Y)/64*scale + 450
		}
		for i, s := range j.outline(t, r) {
			x0, y0 := at(s.Args[0])
			x1, y1 := at(s.Args[1])
			x2, y2 := at(s.Args[2])
			switch s.Op {
			case sfnt.SegmentOpMoveTo:
				if i > 0 {
					raster.ClosePath()
				}
				raster.MoveTo(x0, y0)
			case sfnt.SegmentOpLineTo:
				raster.LineTo(x0, y0)
			case sfnt.SegmentOpQuadTo:
				raster.QuadTo(x0, y0, x1, y1)
			case sfnt.SegmentOpCubeTo:
				raster.CubeTo(x0, y0, x1, y1, x2, y2)
			}
		}
		raster.ClosePath()
		img := image.NewAlpha(image.Rect(0, 0, side, side))
		raster.Draw(img, img.Bounds(), image.Opaque, image.Point{})
		want := 0.0
		for _, a := range img.Pix {
			want += float64(a) / 255
		}
		got := glyph(t, BuiltIn(), r, 0.25).Area() * scale * scale
		if math.Abs(got/want-1) > 0.002 {
			t.Errorf("%c: area %.2f pixels, need %.2f", r, got, want)
		}
	}
}

// The promise of Options.Tolerance, measured both ways at several tolerances:
// points all along the font's curves lie within it of the polygons, and points
// all along the polygons within it of the curves. The largest distance found
// must also come near the tolerance, or the polygons have needless vertices.
func TestToleranceIsKept(t *testing.T) {
	const pieces = 200 // straight ones that stand for a curve, at most 0.01 from it
	letters := "SBeg8&ЖфΩ"
	if testing.Short() {
		letters = "Sg8"
	}
	for _, flat := range []float64{16, 2, 0.25} {
		worst := 0.0
		for _, r := range letters {
			curve := curves(t, BuiltIn(), r, pieces)
			polygon := edges(glyph(t, BuiltIn(), r, flat))
			worst = max(worst, farthest(curve, polygon), farthest(polygon, curve))
		}
		if worst > flat+0.01 {
			t.Errorf("tolerance %g: %g away", flat, worst)
		}
		if worst < 0.9*flat {
			t.Errorf("tolerance %g: only %g away, finer than asked", flat, worst)
		}
	}
}

// The judge rounds points that a TrueType outline only implies to whole font
// units, so its curves are up to 0.71 from the true ones.
func TestOutlinesLikeSFNT(t *testing.T) {
	j := newJudge(t)
	for _, r := range "SBeg8&ЖфΩ" {
		polygon := edges(glyph(t, BuiltIn(), r, 0.25))
		curve := j.curves(t, r, 50)
		if d := max(farthest(curve, polygon), farthest(polygon, curve)); d > 1 {
			t.Errorf("%c: %g units away from the judge's outline", r, d)
		}
	}
}

// curves returns a glyph's outline as the library reads it, each curve cut into
// straight pieces by the definition of a Bézier curve.
func curves(t testing.TB, f *Font, r rune, pieces int) []segment {
	t.Helper()
	var out []segment
	err := f.use(func(s *setter) error {
		id, _ := s.face.NominalGlyph(r)
		data, _ := s.face.GlyphDataOutline(id)
		var pen, start []float64
		for _, seg := range data.Segments {
			b := [][]float64{pen}
			for _, a := range seg.ArgsSlice() {
				b = append(b, []float64{float64(a.X), -float64(a.Y)})
			}
			if seg.Op == opentype.SegmentOpMoveTo {
				out = append(out, bezier([][]float64{pen, start}, 1)...)
				pen, start = b[1], b[1]
				continue
			}
			out = append(out, bezier(b, pieces)...)
			pen = b[len(b)-1]
		}
		out = append(out, bezier([][]float64{pen, start}, 1)...)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// bezier cuts a curve of any degree into pieces by de Casteljau's algorithm.
func bezier(b [][]float64, pieces int) (out []segment) {
	if b[0] == nil {
		return nil
	}
	var last point
	for i := range pieces + 1 {
		t := float64(i) / float64(pieces)
		w := make([][2]float64, len(b))
		for k, p := range b {
			w[k] = [2]float64{p[0], p[1]}
		}
		for n := len(w) - 1; n > 0; n-- {
			for k := range n {
				for d := range 2 {
					w[k][d] += (w[k+1][d] - w[k][d]) * t
				}
			}
		}
		p := point{w[0][0], w[0][1]}
		if i > 0 {
			out = append(out, segment{a: last, b: p})
		}
		last = p
	}
	return out
}

func edges(mp *geom.MultiPolygon) (out []segment) {
	for _, r := range ring.Rings(mp) {
		for i := 0; i+3 < len(r); i += 2 {
			out = append(out, segment{a: point{r[i], r[i+1]}, b: point{r[i+2], r[i+3]}})
		}
	}
	return out
}

// curves returns the judge's outline in font units, y down, cut into pieces.
func (j *judge) curves(t testing.TB, r rune, pieces int) (out []segment) {
	var pen, start []float64
	for _, s := range j.outline(t, r) {
		b := [][]float64{pen}
		for _, a := range s.Args[:map[sfnt.SegmentOp]int{sfnt.SegmentOpQuadTo: 2, sfnt.SegmentOpCubeTo: 3}[s.Op]] {
			b = append(b, []float64{float64(a.X) / 64, float64(a.Y) / 64})
		}
		if len(b) == 1 {
			b = append(b, []float64{float64(s.Args[0].X) / 64, float64(s.Args[0].Y) / 64})
		}
		if s.Op == sfnt.SegmentOpMoveTo {
			out = append(out, bezier([][]float64{pen, start}, 1)...)
			pen, start = b[1], b[1]
			continue
		}
		out = append(out, bezier(b, pieces)...)
		pen = b[len(b)-1]
	}
	return append(out, bezier([][]float64{pen, start}, 1)...)
}

// farthest is the greatest distance from points along one line to another line.
func farthest(from, to []segment) float64 {
	worst := 0.0
	for _, s := range from {
		for i := range 4 {
			t := float64(i) / 4
			p := point{s.a.x + (s.b.x-s.a.x)*t, s.a.y + (s.b.y-s.a.y)*t}
			nearest := math.Inf(1)
			for _, q := range to {
				dx, dy := q.b.x-q.a.x, q.b.y-q.a.y
				u := 0.0
				if d := dx*dx + dy*dy; d > 0 {
					u = min(1, max(0, ((p.x-q.a.x)*dx+(p.y-q.a.y)*dy)/d))
				}
				nearest = min(nearest, math.Hypot(p.x-q.a.x-u*dx, p.y-q.a.y-u*dy))
			}
			worst = max(worst, nearest)
		}
	}
	return worst
}
