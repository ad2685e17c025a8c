package trace

import (
	"bufio"
	"flag"
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"os"
	"testing"
)

var writePage = flag.String("write-page", "", "write the page of the benchmarks to this PGM file, for testdata/yardstick.py and process.go")

// page draws what the benchmarks trace: a sheet of w by h pixels with moths,
// moons and lanterns, so many outlines in all, one in five of them a hole.
// Edges are grey. The longest side of a shape is a few dozen pixels.
func page(w, h, outlines int) *image.Gray {
	g := image.NewGray(image.Rect(0, 0, w, h))
	for i := range g.Pix {
		g.Pix[i] = 255
	}
	shapes := max(1, outlines*4/5)
	nx := max(1, int(math.Round(math.Sqrt(float64(shapes)*float64(w)/float64(h)))))
	ny := (shapes + nx - 1) / nx
	rnd := rand.New(rand.NewPCG(600, uint64(outlines)))
	for k := range shapes {
		cw, ch := float64(w)/float64(nx), float64(h)/float64(ny)
		cx, cy := (float64(k%nx)+0.5)*cw, (float64(k/nx)+0.5)*ch
		radius := min(0.37*min(cw, ch), 12.3)
		hole := 0.0
		if k%4 == 0 {
			hole = radius * 0.45
		}
		blob(g, cx, cy, radius, hole, 2+rnd.IntN(5), rnd.Float64()*6, 0.25*rnd.Float64())
	}
	return g
}

// blob draws a shape whose radius swings so many times round it.
func blob(g *image.Gray, cx, cy, radius, hole float64, swings int, phase, swing float64) {
	reach := radius*(1+swing) + 2
	for y := int(cy - reach); y <= int(cy+reach); y++ {
		for x := int(cx - reach); x <= int(cx+reach); x++ {
			if !(image.Point{x, y}.In(g.Rect)) {
				continue
			}
			dx, dy := float64(x)+0.5-cx, float64(y)+0.5-cy
			d := math.Hypot(dx, dy)
			edge := radius*(1+swing*math.Cos(float64(swings)*math.Atan2(dy, dx)+phase)) - d
			if hole > 0 {
				edge = min(edge, d-hole)
			}
			g.Pix[y*g.Stride+x] = uint8(255 - 255*min(max(edge+0.5, 0), 1))
		}
	}
}

// a4 is the page that the goals are set for: A4 at 600 dpi, 10,000 outlines.
func a4() *image.Gray { return page(4960, 7016, 10000) }

func TestWritePage(t *testing.T) {
	if *writePage == "" {
		t.Skip("no -write-page")
	}
	f, err := os.Create(*writePage)
	if err != nil {
		t.Fatal(err)
	}
	b := bufio.NewWriter(f)
	g := a4()
	fmt.Fprintf(b, "P5\n%d %d\n255\n", g.Rect.Dx(), g.Rect.Dy())
	if _, err := b.Write(g.Pix); err != nil {
		t.Fatal(err)
	}
	if err := b.Flush(); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
}
