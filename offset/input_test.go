package offset

import (
	"encoding/binary"
	"errors"
	"math"
	"strings"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/wkb"

	"example.org/kerfleaf/internal/ring"
)

// raw makes one polygon of rings as they are.
func raw(rings ...[]float64) *geom.MultiPolygon {
	var flat []float64
	var ends []int
	for _, r := range rings {
		flat = append(flat, r...)
		ends = append(ends, len(flat))
	}
	return geom.NewMultiPolygonFlat(geom.XY, flat, [][]int{ends})
}

func TestRefused(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name string
		mp   *geom.MultiPolygon
		d    float64
		opts *Options
		want string
	}{
		{"NaN", raw([]float64{0, 0, 4, 0, 4, nan, 0, 0}), 1, nil, "offset: ring 0 at (4, NaN): coordinate is not finite"},
		{"infinite", raw([]float64{0, 0, inf, 0, 4, 4, 0, 0}), 1, nil, "coordinate is not finite"},
		{"far", raw([]float64{0, 0, 2e9, 0, 4, 4, 0, 0}), 1, nil, "coordinate lies further out than 1e9 mm"},
		{"open", raw(rect(0, 0, 9, 9), []float64{1, 1, 1, 4, 4, 4, 4, 1}), 1, nil, "offset: ring 1 at (4, 1): ring is not closed"},
		{"clockwise shell", raw([]float64{0, 0, 0, 4, 4, 4, 4, 0, 0, 0}), 1, nil, "outer ring has a negative area"},
		{"hole like its shell", raw(rect(0, 0, 9, 9), rect(1, 1, 4, 4)), 1, nil, "hole has a positive area"},
		{"three coordinates", geom.NewMultiPolygonFlat(geom.XYZ, make([]float64, 12), [][]int{{12}}), 1, nil, "layout XY"},
		{"no distance", raw(rect(0, 0, 9, 9)), nan, nil, "offset: distance NaN mm"},
		{"endless distance", raw(rect(0, 0, 9, 9)), -inf, nil, "offset: distance -Inf mm"},
		{"far distance", raw(rect(0, 0, 9, 9)), 1e10, nil, "offset: distance 1e+10 mm, need"},
		{"join", raw(rect(0, 0, 9, 9)), 1, &Options{Join: 7}, "offset: unknown join 7"},
		{"limit", raw(rect(0, 0, 9, 9)), 1, &Options{MiterLimit: 0.5}, "offset: miter limit 0.5, need 1 to 100"},
		{"tolerance", raw(rect(0, 0, 9, 9)), 1, &Options{Tolerance: -1}, "offset: tolerance -1 mm, need 0.000001 to 1000"},
	} {
		out, err := Polygons(c.mp, c.d, c.opts)
		if err == nil || out != nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, %v; want an error with %q", c.name, out, err, c.want)
		}
		var in *InputError
		if strings.Contains(c.want, "ring") && !errors.As(err, &in) {
			t.Errorf("%s: %T is no InputError", c.name, err)
		}
	}
}

func TestRepaired(t *testing.T) {
	for _, c := range []struct {
		name string
		mp   *geom.MultiPolygon
		d    float64
		want float64 // area with mitres
	}{
		{"nothing", geom.NewMultiPolygon(geom.XY), 1, 0},
		{"nil", nil, 1, 0},
		{"empty ring", raw(nil), 1, 0},
		{"a point", raw([]float64{1, 1, 1, 1, 1, 1, 1, 1}), 1, 0},
		{"a line", raw([]float64{0, 0, 5, 0, 0, 0}), 1, 0},
		{"a line of four points", raw([]float64{0, 0, 5, 0, 9, 0, 5, 0, 0, 0}), 1, 0},
		{"repeated points", raw([]float64{0, 0, 0, 0, 4, 0, 4, 0, 4, 4, 4, 4, 0, 4, 0, 0, 0, 0}), 1, 36},
		{"spike", raw([]float64{0, 0, 4, 0, 4, 4, 4, 9, 4, 4, 0, 4, 0, 0}), 1, 36},
		{"spike inward", raw([]float64{0, 0, 4, 0, 4, 2, 1, 2, 4, 2, 4, 4, 0, 4, 0, 0}), 1, 36},
		{"points on edges", raw([]float64{0, 0, 1, 0, 2, 0, 4, 0, 4, 1, 4, 4, 0, 4, 0, 3, 0, 0}), 1, 36},
		{"overlapping squares", geom.NewMultiPolygonFlat(geom.XY, append(rect(0, 0, 4, 4), rect(2, 0, 6, 4)...), [][]int{{10}, {20}}), 1, 8 * 6},
		{"squares with a common edge", geom.NewMultiPolygonFlat(geom.XY, append(rect(0, 0, 4, 4), rect(4, 0, 6, 4)...), [][]int{{10}, {20}}), -1, 4 * 2},
		{"the same square twice", geom.NewMultiPolygonFlat(geom.XY, append(rect(0, 0, 4, 4), rect(0, 0, 4, 4)...), [][]int{{10}, {20}}), -1, 4},
		{"a square in a square", geom.NewMultiPolygonFlat(geom.XY, append(rect(0, 0, 9, 9), rect(2, 2, 4, 4)...), [][]int{{10}, {20}}), 0.5, 100},
		{"figure of eight, its greater part positive", raw([]float64{0, 0, 4, 0, 4, 4, 6, 4, 6, 6, 3, 6, 3, 3, 0, 3, 0, 0}), 0, -1},
		{"wound twice", raw([]float64{0, 0, 4, 0, 4, 4, 0, 4, 0, 0, 4, 0, 4, 4, 0, 4, 0, 0}), -1, 4},
		{"hole outside", raw(rect(0, 0, 4, 4), []float64{8, 8, 8, 9, 9, 9, 9, 8, 8, 8}), 1, 36},
		{"corners touch", geom.NewMultiPolygonFlat(geom.XY, append(rect(0, 0, 4, 4), rect(4, 4, 8, 8)...), [][]int{{10}, {20}}), -1, 8},
		{"corners touch, grown", geom.NewMultiPolygonFlat(geom.XY, append(rect(0, 0, 4, 4), rect(4, 4, 8, 8)...), [][]int{{10}, {20}}), 1, 68},
		{"hole touches its shell", raw(rect(0, 0, 8, 8), []float64{0, 4, 2, 6, 4, 4, 2, 2, 0, 4}), 1.5, 11*11 - 0},
		{"a square of two nanometres", raw(rect(0, 0, 2e-6, 2e-6)), 1, 4},
		{"kilometres out", raw(rect(1e8, 1e8, 1e8+4, 1e8+4)), 1, 36},
		{"no distance", raw(rect(0, 0, 4, 4)), 0, 16},
		{"hardly any distance", raw(rect(0, 0, 4, 4)), 1e-12, 16},
	} {
		out, err := Polygons(c.mp, c.d, &Options{Join: Miter})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if err := ring.Check(out); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
		if c.want >= 0 && math.Abs(out.Area()-c.want) > 1e-4 {
			t.Errorf("%s: area %v, want %v", c.name, out.Area(), c.want)
		}
	}
}

// Two squares that share an edge are resolved, which moves them by a rounding
// onto the edge of a third that they did not touch.
func TestRepairBesideAnother(t *testing.T) {
	out, err := repair([][]float64{rect(0, 0, 3, 6), rect(3.0000000000000004, 1, 5, 3), rect(3.5, 3, 4.5, 5)}, 0)
	if err != nil {
		t.Fatal(err)
	}
	if err := ring.Check(out); err != nil {
		t.Error(err)
	}
	near(t, "area", out.Area(), 3*6+2*2+1*2, 1e-6)
}

// valid asks simplefeatures whether mp is a valid MultiPolygon.
func valid(t *testing.T, mp *geom.MultiPolygon) error {
	t.Helper()
	return other(t, mp).Validate()
}

func other(t *testing.T, mp *geom.MultiPolygon) sf.Geometry {
	t.Helper()
	b, err := wkb.Marshal(mp, wkb.NDR)
	if err != nil {
		t.Fatal(err)
	}
	g, err := sf.UnmarshalWKB(b, sf.NoValidate{})
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// FuzzPolygons takes bytes as rings: small whole numbers, so that points, edges
// and crossings coincide, or any floats at all.
func FuzzPolygons(f *testing.F) {
	f.Add([]byte{0, 10, 0, 0, 9, 0, 9, 9, 0, 9})
	f.Add([]byte{1, 5, 0, 0, 8, 0, 8, 8, 4, 2, 0, 8, 255, 2, 2, 3, 2, 2, 3})
	f.Add([]byte{2, 250, 0, 0, 4, 4, 4, 0, 0, 4, 255, 0, 0, 4, 4, 8, 0})
	f.Add([]byte{4, 20, 1, 2, 3, 4, 5, 6, 7, 8, 1, 2, 3, 4, 5, 6, 7, 8, 1, 2, 3, 4, 5, 6, 7, 8, 9, 2, 3, 4, 5, 6, 7, 8, 1, 2, 3, 4, 5, 6, 7, 0, 1, 2, 3, 4, 5, 6, 7, 3})
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) < 2 || len(data) > 400 {
			return
		}
		mode, d := data[0], float64(int8(data[1]))/8
		data = data[2:]
		var flat []float64
		var endss [][]int
		start := 0
		closeRing := func() {
			if len(flat) > start {
				flat = append(flat, flat[start], flat[start+1])
				endss = append(endss, []int{len(flat)})
				start = len(flat)
			}
		}
		if mode&4 != 0 {
			for ; len(data) >= 16; data = data[16:] {
				x := math.Float64frombits(binary.LittleEndian.Uint64(data))
				y := math.Float64frombits(binary.LittleEndian.Uint64(data[8:]))
				flat = append(flat, x, y)
			}
			closeRing()
		} else {
			for len(data) >= 2 {
				if data[0] == 255 {
					closeRing()
					data = data[1:]
					continue
				}
				flat = append(flat, float64(data[0]%32), float64(data[1]%32))
				data = data[2:]
			}
			closeRing()
		}
		mp := geom.NewMultiPolygonFlat(geom.XY, flat, endss)
		out, err := Polygons(mp, d, &Options{Join: Join(mode % 3)})
		if err != nil {
			return
		}
		if err := ring.Check(out); err != nil {
			t.Fatalf("by %v, join %d: %v\n%v", d, mode%3, err, out.FlatCoords())
		}
		// The other library's predicates are rounded: it takes the slivers of
		// 1e-7 mm that rounding leaves of crossing rings for overlaps.
		if out.NumCoords() < 3000 && ring.Check(mp) == nil {
			if err := valid(t, out); err != nil {
				t.Fatalf("by %v, join %d: %v\n%v", d, mode%3, err, out.FlatCoords())
			}
		}
	})
}
