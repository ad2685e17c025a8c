package trace

import (
	"fmt"
	"image"
	"math"
	"math/rand"

	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

// A truth is a shape whose outline is known exactly: the glyphs of the Go fonts as their designers drew them, and shapes
// given by formulas. It is rasterised by golang.org/x/image/vector, an exact-area rasteriser that knows nothing of us.
type truth struct {
	name  string
	rings [][]oraclePoint // open, pixels, x right, y down
}

// pen collects an outline in its own units, curves as chords within 0.005 px of them.
type pen struct{ rings [][]oraclePoint }

func (n *pen) move(x, y float64) { n.rings = append(n.rings, []oraclePoint{{x, y}}) }

func (n *pen) line(x, y float64) {
	r := &n.rings[len(n.rings)-1]
	*r = append(*r, oraclePoint{x, y})
}

func (n *pen) cubic(bx, by, cx, cy, dx, dy float64) {
	r := &n.rings[len(n.rings)-1]
	a := (*r)[len(*r)-1]
	const steps = 64
	for i := 1; i <= steps; i++ {
		t := float64(i) / steps
		u := 1 - t
		w0, w1, w2, w3 := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
		*r = append(*r, oraclePoint{w0*a.x + w1*bx + w2*cx + w3*dx, w0*a.y + w1*by + w2*cy + w3*dy})
	}
}

func (n *pen) quad(bx, by, cx, cy float64) {
	r := n.rings[len(n.rings)-1]
	a := r[len(r)-1]
	n.cubic((a.x+2*bx)/3, (a.y+2*by)/3, (cx+2*bx)/3, (cy+2*by)/3, cx, cy)
}

// outline returns the rings without repeated points.
func (n *pen) outline() [][]oraclePoint {
	for i, r := range n.rings {
		keep := r[:0]
		for j, p := range r {
			if q := r[(j+1)%len(r)]; math.Hypot(p.x-q.x, p.y-q.y) > 1e-9 {
				keep = append(keep, p)
			}
		}
		n.rings[i] = keep
	}
	return n.rings
}

// place turns, scales and shifts rings so that they lie in a picture with a border of 8 px, at a place between pixels.
func place(name string, rings [][]oraclePoint, scale, turn float64, rnd *rand.Rand) truth {
	sin, cos := math.Sincos(turn)
	minX, minY := math.Inf(1), math.Inf(1)
	out := make([][]oraclePoint, len(rings))
	for i, r := range rings {
		for _, p := range r {
			q := oraclePoint{scale * (cos*p.x - sin*p.y), scale * (sin*p.x + cos*p.y)}
			out[i] = append(out[i], q)
			minX, minY = min(minX, q.x), min(minY, q.y)
		}
	}
	dx, dy := 8-math.Floor(minX)+rnd.Float64(), 8-math.Floor(minY)+rnd.Float64()
	for i := range out {
		for j := range out[i] {
			out[i][j].x += dx
			out[i][j].y += dy
		}
	}
	return truth{name, out}
}

// render gives the picture of a truth, black is cut. hard leaves only black and white.
func (t truth) render(hard bool) *image.Gray {
	maxX, maxY := 0.0, 0.0
	for _, r := range t.rings {
		for _, p := range r {
			maxX, maxY = max(maxX, p.x), max(maxY, p.y)
		}
	}
	w, h := int(maxX)+9, int(maxY)+9
	z := vector.NewRasterizer(w, h)
	for _, r := range t.rings {
		z.MoveTo(float32(r[0].x), float32(r[0].y))
		for _, p := range r[1:] {
			z.LineTo(float32(p.x), float32(p.y))
		}
		z.ClosePath()
	}
	mask := image.NewAlpha(image.Rect(0, 0, w, h))
	z.Draw(mask, mask.Bounds(), image.Opaque, image.Point{})
	gray := image.NewGray(mask.Bounds())
	for i, a := range mask.Pix {
		gray.Pix[i] = 255 - a
		if hard {
			gray.Pix[i] = 255
			if a >= 128 {
				gray.Pix[i] = 0
			}
		}
	}
	return gray
}

// glyphs returns outlines of letters of some of the Go fonts, one unit an em.
func glyphs(letters string) map[string][][]oraclePoint {
	out := map[string][][]oraclePoint{}
	for name, ttf := range map[string][]byte{"regular": goregular.TTF, "italic": goitalic.TTF, "medium": gomedium.TTF} {
		for _, letter := range letters {
			out[fmt.Sprintf("%s %c", name, letter)] = glyph(ttf, letter)
		}
	}
	return out
}

// glyph returns the outline of one letter of a font, one unit an em.
func glyph(font []byte, letter rune) [][]oraclePoint {
	f, err := sfnt.Parse(font)
	if err != nil {
		panic(err)
	}
	var buf sfnt.Buffer
	em := float64(f.UnitsPerEm())
	at := func(p fixed.Point26_6) (x, y float64) { return float64(p.X) / 64 / em, float64(p.Y) / 64 / em }
	g, err := f.GlyphIndex(&buf, letter)
	if err != nil || g == 0 {
		panic(fmt.Sprint("no glyph for ", string(letter), err))
	}
	segments, err := f.LoadGlyph(&buf, g, fixed.I(int(f.UnitsPerEm())), nil)
	if err != nil {
		panic(err)
	}
	var n pen
	for _, s := range segments {
		x0, y0 := at(s.Args[0])
		x1, y1 := at(s.Args[1])
		x2, y2 := at(s.Args[2])
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			n.move(x0, y0)
		case sfnt.SegmentOpLineTo:
			n.line(x0, y0)
		case sfnt.SegmentOpQuadTo:
			n.quad(x0, y0, x1, y1)
		case sfnt.SegmentOpCubeTo:
			n.cubic(x0, y0, x1, y1, x2, y2)
		}
	}
	return n.outline()
}
