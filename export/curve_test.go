package export

import (
	"bytes"
	"errors"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/ring"
)

// reed is a sheet of shapes with bends of every size, tips, straight sides and holes.
func reed() *Drawing {
	var leaf, coin, hole []float64
	for i := range 60 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 60)
		coin = append(coin, 70+20*c, 30+20*s)
		hole = append(hole, 70+8*c, 30-8*s)
	}
	for i := range 20 {
		t := float64(i) / 20
		leaf = append(leaf, 5+40*t, 30-12*math.Sin(math.Pi*t))
	}
	for i := range 20 {
		t := 1 - float64(i)/20
		leaf = append(leaf, 5+40*t, 30+12*math.Sin(math.Pi*t))
	}
	return &Drawing{100, 80, []Layer{
		{Cut, []geom.T{multi(polygon(leaf), polygon(coin, hole)), polygon(square(60, 60, 15))}},
		{Mountain, []geom.T{geom.NewLineStringFlat(geom.XY, []float64{0, 55, 100, 55})}},
	}}
}

// away is the greatest distance of a place on a line of from, sampled finely, from the lines of to.
func away(from, to []readLine) (worst float64) {
	edges := func(l readLine) [][2]float64 {
		if l.closed {
			return append(l.points[:len(l.points):len(l.points)], l.points[0])
		}
		return l.points
	}
	for _, l := range from {
		pts := edges(l)
		for i := 1; i < len(pts); i++ {
			for k := range 8 {
				t := float64(k) / 8
				x, y := pts[i-1][0]+t*(pts[i][0]-pts[i-1][0]), pts[i-1][1]+t*(pts[i][1]-pts[i-1][1])
				best := math.Inf(1)
				for _, m := range to {
					qs := edges(m)
					for j := 1; j < len(qs); j++ {
						ax, ay, bx, by := qs[j-1][0], qs[j-1][1], qs[j][0], qs[j][1]
						n := (bx-ax)*(bx-ax) + (by-ay)*(by-ay)
						u := 0.0
						if n > 0 {
							u = min(max(((x-ax)*(bx-ax)+(y-ay)*(by-ay))/n, 0), 1)
						}
						best = min(best, math.Hypot(x-ax-u*(bx-ax), y-ay-u*(by-ay)))
					}
				}
				worst = max(worst, best)
			}
		}
	}
	return worst
}

// With curves the lines keep to the straight ones by the tolerance, are fewer nodes, and say the same of areas and
// holes.
func TestCurves(t *testing.T) {
	const tolerance = 0.05
	_, _, straight := readSVG(t, svgOf(t, reed(), nil))
	doc := svgOf(t, reed(), &SVGOptions{Curves: tolerance})
	_, _, curved := readSVG(t, doc)
	file := dxfOf(t, reed(), &DXFOptions{Curves: tolerance})
	_, _, _, arcs := readDXF(t, file)
	vertices := 0
	for i := range arcs {
		vertices += len(arcs[i].points)
		arcs[i] = arcs[i].flattened()
	}
	printed := readPDF(t, pdfOf(t, reed(), &PDFOptions{Curves: tolerance}))[0].lines[:len(straight)]
	if n := bytes.Count(doc, []byte("C")); n == 0 || n > 16 {
		t.Errorf("%d curves in\n%s", n, doc)
	}
	if vertices > 40 {
		t.Errorf("%d vertices with arcs", vertices)
	}
	for name, lines := range map[string][]readLine{"SVG": curved, "DXF": arcs} {
		if a, b := away(lines, straight), away(straight, lines); max(a, b) > tolerance+0.001 {
			t.Errorf("%s: the lines are %.4f and %.4f mm apart", name, a, b)
		}
		for i, l := range lines {
			if l.closed != straight[i].closed || (l.area() > 0) != (straight[i].area() > 0) {
				t.Errorf("%s: line %d is closed %v, area %g", name, i, l.closed, l.area())
			}
		}
	}
	// The coin's 60 chords are a circle again: its area is nearer to πr² than that of the chords.
	if got, want := math.Abs(curved[2].area()), math.Pi*400; math.Abs(got-want) > want*0.002 {
		t.Errorf("the coin has %.2f mm², a circle %.2f", got, want)
	}
	if a, b := printedApart(printed, curved); max(a, b) > 0.02 {
		t.Errorf("PDF and SVG are %.4f and %.4f mm apart", a, b)
	}
}

// printedApart is how far lines of a page are from those of an SVG, once the page's lines are moved by as much as the
// first point is.
func printedApart(page []pdfLine, svg []readLine) (a, b float64) {
	dx, dy := page[0].points[0][0]-svg[0].points[0][0], page[0].points[0][1]-svg[0].points[0][1]
	var moved []readLine
	for _, l := range page {
		m := readLine{closed: l.closed}
		for _, p := range l.points {
			m.points = append(m.points, [2]float64{p[0] - dx, p[1] - dy})
		}
		moved = append(moved, m)
	}
	return away(moved, svg), away(svg, moved)
}

// flattened puts chords in the place of arcs, by the definition of bulge in the DXF reference: the tangent of a quarter
// of the angle, here negative if anticlockwise, as y points down again.
func (l readLine) flattened() readLine {
	out := readLine{layer: l.layer, closed: l.closed}
	for i, a := range l.points {
		out.points = append(out.points, a)
		if l.bulges[i] == 0 {
			continue
		}
		b := l.points[(i+1)%len(l.points)]
		angle := -4 * math.Atan(l.bulges[i])
		// Turning the chord's start about the centre by parts of the angle.
		d := math.Tan(angle/2) * 2
		mx, my := (a[0]+b[0])/2, (a[1]+b[1])/2
		cx, cy := mx-(b[1]-a[1])/d, my+(b[0]-a[0])/d
		for k := 1; k < 300; k++ {
			s, c := math.Sincos(angle * float64(k) / 300)
			x, y := a[0]-cx, a[1]-cy
			out.points = append(out.points, [2]float64{cx + x*c - y*s, cy + x*s + y*c})
		}
	}
	return out
}

// Rings that are nearer to one another than the tolerance do not come to cross.
func TestCurvesDoNotCross(t *testing.T) {
	ringOf := func(r float64, n int, phase float64) (flat []float64) {
		for i := range n {
			s, c := math.Sincos(2*math.Pi*float64(i)/float64(n) + phase)
			flat = append(flat, 50+r*c, 50+r*s)
		}
		return flat
	}
	const tolerance = 1.5
	d := &Drawing{100, 100, []Layer{{Cut, []geom.T{
		polygon(ringOf(30, 12, 0), reversed(ringOf(28.9, 48, 0.1))),
		polygon(ringOf(20, 12, 0)),
	}}}}
	bends := d.groups()[0].bends(tolerance, curves)
	mp := geom.NewMultiPolygon(geom.XY)
	laid := 0
	for _, path := range bends {
		var flat []float64
		var ends []int
		for i := range path {
			b := path[(i+len(path)-1)%len(path)] // the outer ring first
			for _, s := range b.segments {
				if s.curved {
					laid++
				}
			}
			flat = append(flat, b.ring(0.001)...)
			ends = append(ends, len(flat))
		}
		if err := mp.Push(geom.NewPolygonFlat(geom.XY, flat, ends)); err != nil {
			t.Fatal(err)
		}
	}
	if err := ring.Check(mp); err != nil {
		t.Errorf("with curves: %v", err)
	}
	if laid == 0 {
		t.Error("the ring that stands alone has no curves")
	}
}

func TestCurvesRefuse(t *testing.T) {
	for _, tolerance := range []float64{-1, 0.0009, math.NaN(), math.Inf(1)} {
		for name, err := range map[string]error{
			"SVG": SVG(io.Discard, reed(), &SVGOptions{Curves: tolerance}),
			"DXF": DXF(io.Discard, reed(), &DXFOptions{Curves: tolerance}),
			"PDF": PDF(io.Discard, reed(), &PDFOptions{Curves: tolerance}),
		} {
			if !errors.Is(err, ErrCurves) {
				t.Errorf("%s with %g mm: error %v", name, tolerance, err)
			}
		}
	}
}

// A rectangle whose edges are parted in the middle, where a tool begins, has no
// curves.
func TestStraightEdgesStayLines(t *testing.T) {
	ring := geom.NewLinearRingFlat(geom.XY, []float64{20, 10, 30, 10, 30, 30, 10, 30, 10, 10, 20, 10})
	var b strings.Builder
	d := &Drawing{Width: 40, Height: 40, Layers: []Layer{{Cut, []geom.T{ring}}}}
	if err := SVG(&b, d, &SVGOptions{Curves: 0.05}); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(b.String(), "C") || !strings.Contains(b.String(), "L30 10L30 30L10 30L10 10") {
		t.Errorf("straight edges became curves:\n%s", b.String())
	}
}
