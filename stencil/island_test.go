package stencil

import (
	"math"
	"testing"

	"github.com/twpayne/go-geom"
)

// islands are the faults of that kind.
func islands(t testing.TB, cut *geom.MultiPolygon, sheet *geom.Bounds) []Fault {
	t.Helper()
	faults, err := Check(cut, sheet, nil)
	if err != nil {
		t.Fatal(err)
	}
	var out []Fault
	for _, f := range faults {
		if f.Kind == Island {
			out = append(out, f)
		}
	}
	return out
}

// Pictures whose Euler numbers are worked out by hand: paper parts less cut areas
// enclosed (Gray 1971). The first three are textbook shapes, in paper on cut ground.
var pictures = []struct {
	name, rows string
	parts      int
	euler      int
}{
	{"ring", "##### #...# #.#.# #...# #####", 1, 0},
	{"letter B", "##### #...# #.#.# #...# #.#.# #...# #####", 1, -1},
	{"plus of four corners", "##### ##.## #.#.# ##.## #####", 4, 4},
	{"frame and island", "....... .#####. .#...#. .#...#. .#####. .......", 2, 1},
	{"corner touch does not hold", "...... .####. .#..#. .#..#. .###.. ......", 2, 1},
	{"two cuts that touch enclose an island", "...... ..##.. .#..#. .#..#. ..##.. ......", 2, 1},
	{"island in a cut in an island", "......... .#######. .#.....#. .#.###.#. .#.#.#.#. .#.###.#. .#.....#. .#######. .........", 3, 1},
	{"cut off at the edge", "..#.... ..#.... ###.... ....... .......", 2, 2},
	{"corner piece behind a diagonal chain", "..#.... .#..... #...... ....... .......", 2, 2},
	{"sheet in two", "...#... ...#... ...#...", 2, 2},
}

func TestIslandsOfPictures(t *testing.T) {
	for _, c := range pictures {
		cut, sheet := picture(t, c.rows)
		r := scan(cut, sheet, 1)
		if got := r.euler(); got != c.euler {
			t.Errorf("%s: Euler number %d, want %d", c.name, got, c.euler)
		}
		parts := r.parts()
		if len(parts) != c.parts {
			t.Fatalf("%s: raster has %d parts, want %d", c.name, len(parts), c.parts)
		}
		got := islands(t, cut, sheet)
		if len(got) != c.parts-1 {
			t.Errorf("%s: %d islands, want %d", c.name, len(got), c.parts-1)
		}
	}
}

// Where no web is near the size of a cell, the raster's parts are our islands, each
// of the same area and with our position inside.
func TestIslandsOfTangles(t *testing.T) {
	const cell = 0.025
	seeds, judged := int64(40), 0
	if testing.Short() {
		seeds = 10
	}
	for seed := range seeds {
		cut, sheet := tangle(t, seed, 4+int(seed))
		if nearWidth(t, cut, sheet, hold, 2*cell) {
			continue
		}
		judged++
		r := scan(cut, sheet, cell)
		part, parts := r.label()
		largest := int32(-1)
		for i, n := range parts {
			if largest < 0 || n > parts[largest] {
				largest = i
			}
		}
		delete(parts, largest)
		thick := r.thick(part)
		for i := range parts {
			if !thick[i] {
				delete(parts, i) // the tip of a sharp corner, broken off by the cells
			}
		}
		for _, f := range islands(t, cut, sheet) {
			x, y := int((f.At[0]-sheet.Min(0))/cell), int((f.At[1]-sheet.Min(1))/cell)
			n, ok := parts[part[y*r.w+x]]
			if !ok && f.Area > 25*cell*cell {
				t.Errorf("seed %d: %v is no part of its own in the raster", seed, f)
			}
			if !ok {
				continue
			}
			if got := float64(n) * cell * cell; math.Abs(got-f.Area) > 0.02+0.02*f.Area {
				t.Errorf("seed %d: %v, the raster has %.3f mm²", seed, f, got)
			}
			delete(parts, part[y*r.w+x])
		}
		for _, n := range parts {
			t.Errorf("seed %d: an island of %.3f mm² was missed", seed, float64(n)*cell*cell)
		}
	}
	if judged < int(seeds)/3 {
		t.Fatalf("only %d of %d cut-outs could be judged", judged, seeds)
	}
}

// nearWidth reports whether any web of cut is between lo and hi mm wide.
func nearWidth(t testing.TB, cut *geom.MultiPolygon, sheet *geom.Bounds, lo, hi float64) bool {
	t.Helper()
	p, err := newPlane(cut, sheet)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range p.passages() {
		if w.width > lo && w.width < hi {
			return true
		}
	}
	return false
}
