package export

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/twpayne/go-geom"
)

var update = flag.Bool("update", false, "write the golden files anew")

// golden compares got with the file of that name under testdata, or writes it with -update. What differs is left
// beside the file for a look.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if !bytes.Equal(got, readGolden(t, name)) {
		ext := filepath.Ext(file)
		left := file[:len(file)-len(ext)] + ".got" + ext
		if err := os.WriteFile(left, got, 0o644); err != nil {
			t.Error(err)
		}
		t.Errorf("%s differs, see %s; -update accepts it", file, left)
	}
}

func readGolden(t *testing.T, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// writers are all functions that write a Drawing, with options that vary them.
var writers = map[string]func(io.Writer, *Drawing) error{
	"SVG":         func(w io.Writer, d *Drawing) error { return SVG(w, d, nil) },
	"DXF":         func(w io.Writer, d *Drawing) error { return DXF(w, d, nil) },
	"DXF, in":     func(w io.Writer, d *Drawing) error { return DXF(w, d, &DXFOptions{Unit: Inch}) },
	"SVG, curves": func(w io.Writer, d *Drawing) error { return SVG(w, d, &SVGOptions{Curves: 0.05}) },
	"DXF, curves": func(w io.Writer, d *Drawing) error { return DXF(w, d, &DXFOptions{Curves: 0.05}) },
	"PDF, curves": func(w io.Writer, d *Drawing) error { return PDF(w, d, &PDFOptions{Curves: 0.05}) },
	"PNG":         func(w io.Writer, d *Drawing) error { return PNG(w, d, &PNGOptions{Pixels: 300}) },
	"PDF":         func(w io.Writer, d *Drawing) error { return PDF(w, d, nil) },
	"Mockup": func(w io.Writer, d *Drawing) error {
		face := geom.NewBounds(geom.XY)
		if d != nil {
			face.Set(0, 0, 0.9*d.Width, 0.9*d.Height)
		}
		return Mockup(w, d, face, 10, &MockupOptions{Pixels: 300})
	},
}

func TestWritersRefuse(t *testing.T) {
	line := func(flat ...float64) *Drawing {
		return &Drawing{100, 50, []Layer{{Cut, []geom.T{geom.NewLineStringFlat(geom.XY, flat)}}}}
	}
	shape := func(s geom.T) *Drawing { return &Drawing{100, 50, []Layer{{Valley, []geom.T{s}}}} }
	resized := func(w, h float64) *Drawing {
		d := line(0, 0, 1, 1)
		d.Width, d.Height = w, h
		return d
	}
	for _, c := range []struct {
		name string
		d    *Drawing
		want any // what errors.As must find, or the error itself
	}{
		{"nil", nil, ErrEmpty},
		{"no layers", &Drawing{Width: 1, Height: 1}, ErrEmpty},
		{"an empty polygon", shape(geom.NewPolygon(geom.XY)), ErrEmpty},
		{"no size", resized(0, 10), new(*SizeError)},
		{"a negative size", resized(10, -1), new(*SizeError)},
		{"a size that is no number", resized(math.NaN(), 10), new(*SizeError)},
		{"an infinite size", resized(10, math.Inf(1)), new(*SizeError)},
		{"not a number", line(1, 1, math.NaN(), 2), new(*ShapeError)},
		{"infinite", line(1, 1, 2, math.Inf(-1)), new(*ShapeError)},
		{"left of the sheet", line(1, 1, -0.01, 1), new(*OutsideError)},
		{"below the sheet", line(1, 1, 1, 50.01), new(*OutsideError)},
		{"far away", line(1, 1, 1e300, 1), new(*OutsideError)},
		{"a single point", line(1, 1), new(*ShapeError)},
		{"an open ring", shape(geom.NewLinearRingFlat(geom.XY, []float64{0, 0, 1, 0, 1, 1, 0, 1})), new(*ShapeError)},
		{"a ring of two points", shape(geom.NewLinearRingFlat(geom.XY, []float64{0, 0, 1, 0, 0, 0})), new(*ShapeError)},
		{"coordinates without a layout", shape(geom.NewLineStringFlat(geom.NoLayout, []float64{1, 1, 2, 2})), new(*ShapeError)},
		{"half a coordinate", line(1, 1, 2), new(*ShapeError)},
		{"an end beyond the end", shape(geom.NewPolygonFlat(geom.XY, []float64{0, 0, 1, 0, 1, 1, 0, 0}, []int{12})), new(*ShapeError)},
		{"ends out of order", shape(geom.NewPolygonFlat(geom.XY, []float64{0, 0, 1, 0, 1, 1, 0, 0, 0, 0}, []int{8, 2})), new(*ShapeError)},
		{"a point", shape(geom.NewPointFlat(geom.XY, []float64{1, 1})), new(*ShapeError)},
		{"no shape", shape(nil), new(*ShapeError)},
		{"a nil polygon", shape((*geom.Polygon)(nil)), new(*ShapeError)},
		{"an unknown role", &Drawing{9, 9, []Layer{{Role(9), []geom.T{geom.NewLineStringFlat(geom.XY, []float64{0, 0, 1, 1})}}}}, new(*ShapeError)},
	} {
		for name, write := range writers {
			var b bytes.Buffer
			err := write(&b, c.d)
			if want, is := c.want.(error); is && !errors.Is(err, want) || !is && !errors.As(err, c.want) {
				t.Errorf("%s of %s: got error %v, want %T", name, c.name, err, c.want)
			}
			if b.Len() > 0 {
				t.Errorf("%s of %s: %d bytes written in spite of the error", name, c.name, b.Len())
			}
		}
	}
}

func TestErrorsSayWhatAndWhere(t *testing.T) {
	for _, c := range []struct {
		err  error
		want string
	}{
		{&OutsideError{Cut, geom.Coord{-0.5, 20}, 210, 297}, "export: cut line leaves the sheet at (-0.500, 20.000), the sheet is 210 x 297 mm"},
		{&SizeError{0, 5}, "export: a sheet of 0 x 5 mm cannot be written, each side must be more than 0 and at most 1e+06 mm"},
		{&ShapeError{1, 2, Valley, "a ring has 3 coordinates, it needs 4 or more"}, "export: layer 1 (score-valley), shape 2: a ring has 3 coordinates, it needs 4 or more"},
	} {
		if got := c.err.Error(); got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
}

// A faulty writer takes some bytes and then fails.
type faulty struct{ left int }

var errFull = errors.New("the disk is full")

func (f *faulty) Write(b []byte) (int, error) {
	if len(b) > f.left {
		return f.left, errFull
	}
	f.left -= len(b)
	return len(b), nil
}

func TestWriteErrorsAreReturned(t *testing.T) {
	for name, write := range writers {
		var whole bytes.Buffer
		if err := write(&whole, page(8000)); err != nil {
			t.Fatal(err)
		}
		for _, left := range []int{0, 1, whole.Len() / 2, whole.Len() - 1} {
			if err := write(&faulty{left}, page(8000)); !errors.Is(err, errFull) {
				t.Errorf("%s to a writer that takes %d of %d bytes: error %v", name, left, whole.Len(), err)
			}
		}
	}
}

func TestWritersLeaveTheDrawingAlone(t *testing.T) {
	for name, write := range writers {
		d := lantern()
		if err := write(io.Discard, d); err != nil {
			t.Fatal(err)
		}
		if got, want := fmt.Sprintf("%+v", flat(d)), fmt.Sprintf("%+v", flat(lantern())); got != want {
			t.Errorf("%s changed the drawing:\n%s\n%s", name, got, want)
		}
	}
}

func flat(d *Drawing) (out [][]float64) {
	for _, l := range d.Layers {
		for _, s := range l.Shapes {
			out = append(out, s.FlatCoords())
		}
	}
	return out
}

func TestEqualDrawingsGiveEqualBytes(t *testing.T) {
	for name, write := range writers {
		var a, b bytes.Buffer
		for _, w := range []*bytes.Buffer{&a, &b} {
			if err := write(w, lantern()); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(a.Bytes(), b.Bytes()) {
			t.Errorf("%s: two runs differ", name)
		}
	}
}
