package export

import (
	"math"
	"testing"

	"github.com/twpayne/go-geom"
)

// arcLine is an open line of fine chords over an arc of radius 20 about (40, 40), from the angle 0 on; positive degrees
// turn from x to y.
func arcLine(degrees float64) *geom.LineString {
	var flat []float64
	for i := range 181 {
		s, c := math.Sincos(degrees * math.Pi / 180 * float64(i) / 180)
		flat = append(flat, 40+20*c, 40+20*s)
	}
	return geom.NewLineStringFlat(geom.XY, flat)
}

// The bulge of an arc is the tangent of a quarter of its angle (DXF reference), on the vertex that it starts from and
// negative if it runs clockwise with y up, as an arc does that turns from x to y on our sheets: 45° 0.198912, 90°
// 0.414214, 180° 1, 270° 2.414214. Where the line comes as several arcs their angles add up.
func TestDXFBulge(t *testing.T) {
	for degrees, want := range map[float64]float64{45: 0.198912, 90: 0.414214, 180: 1, 270: 2.414214} {
		if got := math.Tan(degrees * math.Pi / 180 / 4); math.Abs(got-want) > 5e-7 {
			t.Errorf("tan(%g°/4) = %g", degrees, got)
		}
		for _, turn := range []float64{1, -1} {
			d := &Drawing{80, 80, []Layer{{Cut, []geom.T{arcLine(turn * degrees)}}}}
			_, _, _, lines := readDXF(t, dxfOf(t, d, &DXFOptions{Curves: 0.02}))
			quarters := 0.0
			for _, b := range lines[0].bulges {
				quarters += math.Atan(b)
			}
			if len(lines[0].points) > 5 || math.Abs(math.Tan(quarters)+turn*want) > 0.005*want {
				t.Errorf("%g degrees: bulges %v, want %g together", turn*degrees, lines[0].bulges, -turn*want)
			}
		}
	}
}

// Worked values: the arc from (1, 0) to (0, 1) with a bulge of 0.414214 has the sagitta 0.292893, radius 1 and centre
// (0, 0).
func TestArcPlaces(t *testing.T) {
	s := segment{end: spot{0, 1}, bulge: math.Sqrt2 - 1}
	for i := range 11 {
		if q := s.at(spot{1, 0}, float64(i)/10); math.Abs(math.Hypot(q.x, q.y)-1) > 1e-12 {
			t.Errorf("%v is not on the circle", q)
		}
	}
	q := s.at(spot{1, 0}, 0.5)
	if got := math.Hypot(q.x-0.5, q.y-0.5); math.Abs(got-0.292893) > 1e-6 || q.x < 0.5 {
		t.Errorf("the middle is %v, the sagitta %g", q, got)
	}
}

// Split segments are the two parts of the whole.
func TestSplit(t *testing.T) {
	from := spot{1, 2}
	for name, s := range map[string]segment{
		"line":  {end: spot{7, 3}},
		"curve": {c1: spot{3, 9}, c2: spot{8, 8}, end: spot{7, 3}, curved: true},
		"arc":   {end: spot{7, 3}, bulge: 1.7},
		"right": {end: spot{7, 3}, bulge: -0.2},
	} {
		const cut = 0.3
		a, b := s.split(from, cut)
		if b.end != s.end {
			t.Errorf("%s: ends at %v", name, b.end)
		}
		for i := range 11 {
			u := float64(i) / 10
			p, q := s.at(from, u*cut), a.at(from, u)
			r, v := s.at(from, cut+u*(1-cut)), b.at(a.end, u)
			if math.Hypot(p.x-q.x, p.y-q.y)+math.Hypot(r.x-v.x, r.y-v.y) > 1e-9 {
				t.Errorf("%s at %g: %v and %v, %v and %v", name, u, p, q, r, v)
			}
		}
	}
}

// As many chords as chords says keep within the tolerance of their segment.
func TestChords(t *testing.T) {
	from := spot{1, 2}
	for _, s := range []segment{
		{end: spot{7, 3}},
		{c1: spot{30, 9}, c2: spot{-8, 8}, end: spot{7, 3}, curved: true},
		{end: spot{7, 3}, bulge: 1.7},
		{end: spot{70, 3}, bulge: -0.01},
	} {
		for _, tolerance := range []float64{1, 0.1, 0.003} {
			n := s.chords(from, tolerance)
			for i := range n {
				a, b := s.at(from, float64(i)/float64(n)), s.at(from, float64(i+1)/float64(n))
				for k := range 9 {
					p := s.at(from, (float64(i)+float64(k)/8)/float64(n))
					u := ((p.x-a.x)*(b.x-a.x) + (p.y-a.y)*(b.y-a.y)) / ((b.x-a.x)*(b.x-a.x) + (b.y-a.y)*(b.y-a.y))
					if d := math.Hypot(p.x-a.x-u*(b.x-a.x), p.y-a.y-u*(b.y-a.y)); d > tolerance*1.001 {
						t.Errorf("%+v: %d chords are off by %g, tolerance %g", s, n, d, tolerance)
					}
				}
			}
		}
	}
}

// A closed line with curves begins where the line begins, wherever that is, and is the same shape.
func TestCurvesBeginWhereTheLineBegins(t *testing.T) {
	const tolerance = 0.05
	for _, n := range []int{12, 60, 200} {
		for first := 0; first < n; first += 1 + n/7 {
			var flat []float64
			for i := range n {
				s, c := math.Sincos(2 * math.Pi * float64(first+i) / float64(n))
				flat = append(flat, 50+30*c, 50+20*s)
			}
			d := &Drawing{100, 100, []Layer{{Cut, []geom.T{polygon(flat)}}}}
			_, _, straight := readSVG(t, svgOf(t, d, nil))
			_, _, curved := readSVG(t, svgOf(t, d, &SVGOptions{Curves: tolerance}))
			_, _, _, arcs := readDXF(t, dxfOf(t, d, &DXFOptions{Curves: tolerance}))
			arcs[0] = arcs[0].flattened()
			for name, lines := range map[string][]readLine{"curves": curved, "arcs": arcs} {
				if p, q := lines[0].points[0], straight[0].points[0]; math.Hypot(p[0]-q[0], p[1]-q[1]) > startRoom+2*tolerance {
					t.Errorf("%s of %d points begin at %v, the line at %v", name, n, p, q)
				}
				if a, b := away(lines, straight), away(straight, lines); max(a, b) > tolerance+0.003 {
					t.Errorf("%s of %d points from %d are %.4f and %.4f away", name, n, first, a, b)
				}
			}
		}
	}
}
