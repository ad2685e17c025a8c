package region

import (
	"math"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/wkb"
)

func square(x, y, s float64) *geom.MultiPolygon {
	return geom.NewMultiPolygonFlat(geom.XY, []float64{x, y, x + s, y, x + s, y + s, x, y + s, x, y}, [][]int{{10}})
}

// Two 4 by 4 squares that overlap by 2 by 2: areas by hand.
func TestAreas(t *testing.T) {
	a, b := square(0, 0, 4), square(2, 2, 4)
	for _, c := range []struct {
		name string
		op   func(a, b *geom.MultiPolygon) (*geom.MultiPolygon, error)
		want float64
	}{{"union", Union, 28}, {"difference", Difference, 12}, {"intersection", Intersection, 4}} {
		got, err := c.op(a, b)
		if err != nil {
			t.Fatal(err)
		}
		contract(t, got)
		if math.Abs(got.Area()-c.want) > 1e-12 {
			t.Errorf("%s: area %g, want %g", c.name, got.Area(), c.want)
		}
	}
}

func TestHoleAndWinding(t *testing.T) {
	got, err := Difference(square(0, 0, 9), square(3, 3, 3))
	if err != nil {
		t.Fatal(err)
	}
	contract(t, got)
	if got.NumPolygons() != 1 || got.Polygon(0).NumLinearRings() != 2 || got.Area() != 72 {
		t.Errorf("got %v of area %g, want a ring of area 72", got.FlatCoords(), got.Area())
	}
}

func TestEmpty(t *testing.T) {
	for _, empty := range []*geom.MultiPolygon{nil, geom.NewMultiPolygon(geom.XY)} {
		if got, err := Union(square(0, 0, 2), empty); err != nil || got.Area() != 4 {
			t.Errorf("union with nothing: %v, %v", got, err)
		}
		if got, err := Difference(empty, square(0, 0, 2)); err != nil || !got.Empty() {
			t.Errorf("nothing less a square: %v, %v", got, err)
		}
	}
	if got, err := UnionAll(nil); err != nil || !got.Empty() {
		t.Errorf("union of nothing: %v, %v", got, err)
	}
}

// Squares that touch along a side share no area: only polygons are kept.
func TestTouchingIntersection(t *testing.T) {
	if got, err := Intersection(square(0, 0, 2), square(2, 0, 2)); err != nil || !got.Empty() {
		t.Errorf("got %v, %v", got, err)
	}
}

func TestUnionAll(t *testing.T) {
	var ps []*geom.Polygon
	for i := range 10 {
		ps = append(ps, square(float64(i), float64(i), 2).Polygon(0))
	}
	got, err := UnionAll(ps)
	if err != nil {
		t.Fatal(err)
	}
	contract(t, got)
	if got.NumPolygons() != 1 || got.Area() != 31 { // ten squares of 4, nine overlaps of 1
		t.Errorf("%d polygons of area %g, want one of 31", got.NumPolygons(), got.Area())
	}
}

func contract(t *testing.T, mp *geom.MultiPolygon) {
	t.Helper()
	b, err := wkb.Marshal(mp, wkb.NDR)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := sf.UnmarshalWKB(b); err != nil {
		t.Errorf("not valid: %v", err)
	}
	for i := range mp.NumPolygons() {
		for j := range mp.Polygon(i).NumLinearRings() {
			if a := mp.Polygon(i).LinearRing(j).Area(); (a > 0) != (j == 0) {
				t.Errorf("polygon %d ring %d has area %g", i, j, a)
			}
		}
	}
}

// Around a line of length l a strip of radius r has area 2lr + πr² (Steiner 1840);
// its corners stand out by 0.5 % of r, so that it is a little larger.
func TestAlong(t *testing.T) {
	for _, c := range []struct {
		line []float64
		l    float64
	}{{[]float64{1, 1}, 0}, {[]float64{0, 0, 3, 4}, 5}} {
		got, err := Along(c.line, 2)
		if err != nil {
			t.Fatal(err)
		}
		contract(t, got)
		want := 2*c.l*2 + math.Pi*4
		if a := got.Area(); a < want || a > 1.01*want {
			t.Errorf("area %g, want %g to 1 %% more", a, want)
		}
	}
}
