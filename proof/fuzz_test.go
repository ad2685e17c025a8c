package proof_test

import (
	"bytes"
	"math"
	"os"
	"testing"

	"example.org/kerfleaf/proof"
)

// holds checks what every file that is read gives, and makes a dry run of it if it is small.
func holds(t *testing.T, f *proof.File) {
	points := 0
	for _, l := range f.Drawing.Layers {
		for _, s := range l.Shapes {
			flat := s.FlatCoords()
			if len(flat) < 4 {
				t.Fatalf("a line of %d coordinates", len(flat))
			}
			for i, v := range flat {
				if math.IsNaN(v) || math.Abs(v) > 2e6 {
					t.Fatalf("a coordinate is %v", v)
				}
				if i > 1 && v == flat[i-2] && (i%2 == 1 && flat[i-1] == flat[i-3]) {
					t.Fatal("a point repeats its predecessor")
				}
			}
			points += len(flat) / 2
		}
	}
	if points > 300 {
		return
	}
	for _, kerf := range []float64{0, 0.2} {
		r, err := proof.Cut(f.Drawing, kerf, &proof.Options{MinWeb: 0.8, Width: 20})
		if err == nil && len(r.Claims) == 0 {
			t.Fatal("a dry run claims nothing")
		}
		tray := proof.Tray{Drawing: f.Drawing, Thickness: 0.3, Kerf: kerf}
		if _, err := proof.Slide(tray, tray); err != nil {
			continue
		}
	}
}

func seedFiles(f *testing.F, names ...string) {
	for _, name := range names {
		data, err := os.ReadFile("testdata/" + name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
}

func FuzzReadSVG(f *testing.F) {
	seedFiles(f, "svgwrite.svg", "cairo.svg")
	f.Add([]byte(reed))
	f.Add([]byte(svgOf(`<g id="score-mountain"><path d="M0 10H80M0 50H80M10 10V50M70 10V50"/></g><path d="M10 0V10M70 0V10M10 50V60M70 50V60M0 0H80V60H0Z"/>`)))
	f.Add([]byte(svgOf(`<path d="M1-2.5.5 3a1 1 0 01.5.5T3 3S4 4 5 5z"/><use href="#a"/><g id="a"><rect width="3" height="4" rx="1"/></g>`)))
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 1<<14 {
			return
		}
		if file, err := proof.ReadSVG(bytes.NewReader(data)); err == nil {
			holds(t, file)
		}
	})
}

func FuzzReadDXF(f *testing.F) {
	seedFiles(f, "ezdxf-mm.dxf")
	f.Add(file(f, plainTray(60, 40), "DXF"))
	f.Add([]byte(dxfOf("9:$INSUNITS 70:1", "0:LWPOLYLINE 8:CUT 90:2 70:1 10:0 20:0 42:1 10:20 20:0 42:1 0:ARC 8:NOTE 10:0 20:0 40:10 50:0 51:90")))
	f.Add([]byte(dxfOf("", "0:SPLINE 71:2 40:0 40:0 40:0 40:1 40:1 40:1 41:1 41:0.7 41:1 10:9 20:0 10:9 20:9 10:0 20:9 0:ELLIPSE 10:0 20:0 11:9 21:0 40:0.5")))
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 1<<15 {
			return
		}
		if file, err := proof.ReadDXF(bytes.NewReader(data)); err == nil {
			holds(t, file)
		}
	})
}

// FuzzCut takes bytes for the points of lines on a coarse grid, so that they cross, touch and repeat one another.
func FuzzCut(f *testing.F) {
	f.Add([]byte("\x00\x10\x10\x60\x10\x60\x60\x10\x60\xff\x00\x20\x20\x40\x20\x40\x40\xff"))
	f.Add([]byte("\x01\x10\x10\x60\x10\x60\x60\xff\x01\x10\x10\x60\x10\xff\x02\x00\x00\x60\x60"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 400 {
			return
		}
		holds(t, &proof.File{Drawing: gridDrawing(data)})
	})
}
