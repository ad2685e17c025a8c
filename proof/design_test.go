package proof_test

import (
	"bytes"
	"math"
	"math/rand/v2"
	"testing"

	"example.org/kerfleaf/box"
	"example.org/kerfleaf/export"
	"example.org/kerfleaf/internal/ring"
	"example.org/kerfleaf/offset"
	"example.org/kerfleaf/proof"
	"example.org/kerfleaf/stencil"
	"example.org/kerfleaf/words"
	"github.com/twpayne/go-geom"
)

// blobs are n by m rings of seeded shapes, each in its own square of the side pitch with clear mm free around it: stars, circles, and polygons
// with sharp and blunt corners.
func blobs(rnd *rand.Rand, n, m int, pitch, clear float64) *geom.MultiPolygon {
	var rings [][]float64
	for i := range n {
		for j := range m {
			cx, cy := (float64(i)+0.5)*pitch, (float64(j)+0.5)*pitch
			most := pitch/2 - clear
			corners := 3 + rnd.IntN(40)
			var r []float64
			turn, inner := rnd.Float64(), 0.45+0.55*rnd.Float64()
			for k := range corners {
				s, c := math.Sincos(2 * math.Pi * (float64(k)/float64(corners) + turn))
				d := most * (0.9 + 0.1*rnd.Float64())
				if k%2 == 1 && corners > 5 {
					d *= inner
				}
				r = append(r, cx+d*c, cy+d*s)
			}
			rings = append(rings, append(r, r[0], r[1]))
		}
	}
	return ring.Nest(rings)
}

// glyphs are the letters of a text as cut areas, their islands tied.
func glyphs(t testing.TB, text string, cap float64) *geom.MultiPolygon {
	t.Helper()
	mp, err := words.Text(text, words.Size{Cap: cap}, nil)
	if err != nil {
		t.Fatal(err)
	}
	tied, _, err := stencil.Bridge(mp, nil)
	if err != nil {
		t.Fatal(err)
	}
	return tied
}

// madeOf is a drawing with the design it is made from.
type madeOf struct {
	drawing *export.Drawing
	design  *proof.Design
	kerf    float64
}

func shift(g geom.T, dx, dy float64) {
	flat := g.FlatCoords()
	for i := 0; i < len(flat); i += g.Stride() {
		flat[i] += dx
		flat[i+1] += dy
	}
}

// opened is a sheet with openings.
func opened(t testing.TB, cut *geom.MultiPolygon, kerf float64) madeOf {
	t.Helper()
	cut = cut.Clone()
	b := cut.Bounds()
	shift(cut, 5-b.Min(0), 5-b.Min(1))
	path, err := offset.Kerf(cut, kerf)
	if err != nil {
		t.Fatal(err)
	}
	w, h := b.Max(0)-b.Min(0)+10, b.Max(1)-b.Min(1)+10
	return madeOf{
		&export.Drawing{Width: w, Height: h, Layers: []export.Layer{{Role: export.Cut, Shapes: []geom.T{path}}}},
		&proof.Design{Openings: cut}, kerf,
	}
}

// front is the front of a box around openings.
func front(t testing.TB, cut *geom.MultiPolygon, kerf float64, tab box.Tab) madeOf {
	t.Helper()
	b := cut.Bounds()
	spec := box.Spec{Width: b.Max(0) - b.Min(0), Height: b.Max(1) - b.Min(1), Margin: 6, Depth: 20, FrontThickness: 0.28, BaseThickness: 0.52, Tab: tab}
	net, err := spec.Front()
	if err != nil {
		t.Fatal(err)
	}
	cut = cut.Clone()
	shift(cut, net.Window.Min(0)-b.Min(0)+kerf/2, net.Window.Min(1)-b.Min(1)+kerf/2)
	for _, g := range []geom.T{net.Outline, net.Slits, net.Mountain} {
		shift(g, kerf/2, kerf/2)
	}
	outline := geom.NewMultiPolygon(geom.XY)
	if err := outline.Push(net.Outline); err != nil {
		t.Fatal(err)
	}
	around, err := offset.Outline(outline, kerf)
	if err != nil {
		t.Fatal(err)
	}
	path, err := offset.Kerf(cut, kerf)
	if err != nil {
		t.Fatal(err)
	}
	size := around.Bounds()
	return madeOf{
		&export.Drawing{Width: size.Max(0), Height: size.Max(1), Layers: []export.Layer{
			{Role: export.Mountain, Shapes: []geom.T{net.Mountain}},
			{Role: export.Cut, Shapes: []geom.T{path, net.Slits, around}},
		}},
		&proof.Design{
			Paper: ring.Nest(append(ring.Rings(outline), ring.Rings(cut)...)),
			Lines: []export.Layer{{Role: export.Mountain, Shapes: []geom.T{net.Mountain}}, {Role: export.Cut, Shapes: []geom.T{net.Slits}}},
		}, kerf,
	}
}

// file writes a drawing in a format.
func file(t testing.TB, d *export.Drawing, format string) []byte {
	t.Helper()
	var b bytes.Buffer
	var err error
	switch format {
	case "SVG":
		err = export.SVG(&b, d, nil)
	case "DXF":
		err = export.DXF(&b, d, nil)
	case "DXF in":
		err = export.DXF(&b, d, &export.DXFOptions{Unit: export.Inch})
	}
	if err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// dryRun reads a file and cuts it.
func dryRun(t testing.TB, data []byte, kerf float64, opts *proof.Options) *proof.Result {
	t.Helper()
	f, err := proof.Read(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	res, err := proof.Cut(f.Drawing, kerf, opts)
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// gridDrawing makes lines of bytes: the first of each tells what it is, 255 ends it, the rest are coordinates in half millimetres.
func gridDrawing(data []byte) *export.Drawing {
	d := &export.Drawing{Width: 128, Height: 128}
	for _, line := range bytes.Split(data, []byte{255}) {
		if len(line) < 5 {
			continue
		}
		var flat []float64
		for i := 1; i+1 < len(line); i += 2 {
			x, y := float64(line[i])/2, float64(line[i+1])/2
			if n := len(flat); n == 0 || flat[n-2] != x || flat[n-1] != y {
				flat = append(flat, x, y)
			}
		}
		if len(flat) < 4 {
			continue
		}
		role, closed := export.Role(line[0]/2%4), line[0]%2 == 0
		var shape geom.T = geom.NewLineStringFlat(geom.XY, flat)
		if closed {
			if n := len(flat); flat[0] != flat[n-2] || flat[1] != flat[n-1] {
				flat = append(flat, flat[0], flat[1])
			}
			shape = geom.NewLinearRingFlat(geom.XY, flat)
		}
		d.Layers = append(d.Layers, export.Layer{Role: role, Shapes: []geom.T{shape}})
	}
	return d
}
