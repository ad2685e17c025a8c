package export

import (
	"bytes"
	"encoding/binary"
	"errors"
	"image/png"
	"io"
	"math"
	"testing"

	"github.com/twpayne/go-geom"
)

// fuzzed makes a drawing of arbitrary bytes: the first choose the shape's type and the sheet, the rest are
// coordinates, either as they come or brought onto the sheet.
func fuzzed(data []byte) *Drawing {
	if len(data) < 3 {
		return nil
	}
	kind, tame := data[0], data[1]&1 == 0
	d := &Drawing{Width: float64(data[1]) * 3, Height: float64(data[2]) / 7}
	var flat []float64
	for data = data[3:]; len(data) >= 8; data = data[8:] {
		v := math.Float64frombits(binary.LittleEndian.Uint64(data))
		if tame {
			side := [2]float64{d.Width, d.Height}[len(flat)%2]
			v = side * float64(binary.LittleEndian.Uint32(data)) / math.MaxUint32
		}
		flat = append(flat, v)
	}
	flat = flat[:len(flat)/2*2]
	half := len(flat) / 4 * 2
	if len(flat) > 2 && kind&64 == 0 { // close the rings
		flat = append(append(flat[:half:half], flat[0], flat[1]), flat[half:]...)
		half += 2
		flat = append(flat, flat[half], flat[half+1])
	}
	ends := []int{half, len(flat)}
	var s geom.T
	switch kind % 6 {
	case 0:
		s = geom.NewPolygonFlat(geom.XY, flat, ends)
	case 1:
		s = geom.NewMultiPolygonFlat(geom.XY, flat, [][]int{ends[:1], {}, ends[1:]})
	case 2:
		s = geom.NewLineStringFlat(geom.XY, flat)
	case 3:
		s = geom.NewMultiLineStringFlat(geom.XY, flat, ends)
	case 4:
		s = geom.NewLinearRingFlat(geom.XY, flat)
	case 5:
		s = geom.NewMultiPointFlat(geom.XY, flat)
	}
	d.Layers = []Layer{{Role(kind % 7), []geom.T{s}}}
	return d
}

func seeds(f *testing.F) {
	for kind := range byte(7) {
		coords := make([]byte, 0, 3+8*12)
		coords = append(coords, kind, 60, 200)
		for i := range uint64(12) {
			coords = binary.LittleEndian.AppendUint64(coords, i*i*0x13579bdf)
		}
		f.Add(coords)
		coords = append([]byte(nil), coords...)
		coords[1] = 61
		f.Add(coords)
	}
}

// FuzzWriters: a drawing is refused with a typed error and not a byte is written, or both files read back as the
// same lines, on the sheet, each within 0.5 µm of a given point.
func FuzzWriters(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		d := fuzzed(data)
		var svg, dxf bytes.Buffer
		err := SVG(&svg, d, nil)
		if err2 := DXF(&dxf, d, nil); (err == nil) != (err2 == nil) {
			t.Fatalf("SVG: %v, DXF: %v", err, err2)
		}
		for _, name := range []string{"SVG, curves", "DXF, curves"} {
			if err2 := writers[name](io.Discard, d); (err == nil) != (err2 == nil) {
				t.Fatalf("SVG: %v, %s: %v", err, name, err2)
			}
		}
		var page *PageError
		if err3 := PDF(&bytes.Buffer{}, d, &PDFOptions{Title: string(data)}); (err == nil) != (err3 == nil) && !errors.As(err3, &page) {
			t.Fatalf("SVG: %v, PDF: %v", err, err3)
		}
		if err != nil {
			var size *SizeError
			var outside *OutsideError
			var shape *ShapeError
			if !errors.Is(err, ErrEmpty) && !errors.As(err, &size) && !errors.As(err, &outside) && !errors.As(err, &shape) {
				t.Fatalf("an error of type %T: %v", err, err)
			}
			if svg.Len()+dxf.Len() > 0 {
				t.Fatal("written in spite of the error")
			}
			return
		}
		w, h, lines := readSVG(t, svg.Bytes())
		_, w2, h2, lines2 := readDXF(t, dxf.Bytes())
		if math.Abs(w-d.Width) > 0.00051 || math.Abs(h-d.Height) > 0.00051 || w != w2 || h != h2 {
			t.Fatalf("sheets of %g x %g and %g x %g for %g x %g", w, h, w2, h2, d.Width, d.Height)
		}
		if a, b := show(lines), show(lines2); a != b {
			t.Fatalf("SVG\n%sDXF\n%s", a, b)
		}
		given := d.Layers[0].Shapes[0].FlatCoords()
		for _, l := range lines {
			for _, p := range l.points {
				near := math.Inf(1)
				for k := 0; k+1 < len(given); k += 2 {
					near = min(near, max(math.Abs(p[0]-given[k]), math.Abs(p[1]-given[k+1])))
				}
				if near > 0.000501 || p[0] < 0 || p[1] < 0 || p[0] > w || p[1] > h {
					t.Fatalf("point %v is %g mm from the nearest given one, on a sheet of %g x %g", p, near, w, h)
				}
			}
		}
	})
}

// FuzzPictures: any drawing that can be written can be drawn, at the size asked for.
func FuzzPictures(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		d := fuzzed(data)
		var plan, mockup bytes.Buffer
		opts := &PNGOptions{Pixels: 200, Openings: len(data)%2 == 0}
		if d != nil && len(data) > 8 && d.Width > 0 && d.Height > 0 {
			from, to := geom.Coord{d.Width * float64(data[3]) / 255, d.Height * float64(data[4]) / 255}, geom.Coord{d.Width * float64(data[5]) / 255, d.Height * float64(data[4]) / 255}
			opts.Measures = []Measure{{from, to, string(data[3:8])}}
			opts.Marks = []Mark{{At: to, Radius: d.Width * float64(data[6]) / 255, Text: string(data[4:]), Bare: data[5] > 127}}
			face := geom.NewBounds(geom.XY).Set(0, 0, d.Width, d.Height)
			if err := Mockup(&mockup, d, face, float64(data[7]), &MockupOptions{Pixels: 200}); err != nil && mockup.Len() > 0 {
				t.Fatal("written in spite of the error")
			}
		}
		err := PNG(&plan, d, opts)
		if err2 := SVG(&bytes.Buffer{}, d, nil); (err == nil) != (err2 == nil) {
			t.Fatalf("PNG: %v, SVG: %v", err, err2)
		}
		for _, b := range []*bytes.Buffer{&plan, &mockup} {
			if b.Len() == 0 {
				continue
			}
			c, err := png.DecodeConfig(b)
			if err != nil || max(c.Width, c.Height) < 190 || max(c.Width, c.Height) > 200 {
				t.Fatalf("a picture of %d x %d: %v", c.Width, c.Height, err)
			}
		}
	})
}
