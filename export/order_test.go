package export

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"github.com/twpayne/go-geom"
)

// sheetOfParts is a sheet with two trays and a liner on it, out of order: outlines
// first, then slits, openings and scores; some openings hold an island, one of them
// another opening.
func sheetOfParts() *Drawing {
	rnd := rand.New(rand.NewPCG(8, 1))
	var outlines, openings, slits, scores []geom.T
	for _, x := range []float64{10, 120} {
		outlines = append(outlines, polygon(square(x, 10, 100)))
		for _, c := range [][4]float64{{20, 0, 20, 20}, {80, 0, 80, 20}, {20, 100, 20, 80}, {80, 100, 80, 80}} {
			slits = append(slits, geom.NewLineStringFlat(geom.XY, []float64{x + c[0], 10 + c[1], x + c[2], 10 + c[3]}))
		}
		scores = append(scores, geom.NewLineStringFlat(geom.XY, []float64{x, 30, x + 100, 30}))
	}
	outlines = append(outlines, polygon(square(10, 120, 60)))
	for i := range 16 {
		x, y := 34+float64(i%4)*14, 34+float64(i/4)*14
		side := 3 + 9*rnd.Float64()
		o := polygon(square(x, y, side), reversed(square(x+side/4, y+side/4, side/2)))
		openings = append(openings, o)
		if i == 5 {
			openings = append(openings, polygon(square(x+side*0.4, y+side*0.4, side*0.2)))
		}
	}
	openings = append(openings, polygon([]float64{145, 50, 195, 50, 195, 62, 145, 62}))
	for i := range 8 { // a comb whose teeth the ring around would set free
		x := 145 + 50*float64(i+1)/9
		openings = append(openings, geom.NewLineStringFlat(geom.XY, []float64{x, 50, x, 62}))
	}
	return &Drawing{Width: 230, Height: 190, Layers: []Layer{
		{Cut, outlines}, {Note, []geom.T{geom.NewLineStringFlat(geom.XY, []float64{1, 1, 51, 1})}},
		{Cut, slits}, {Cut, openings}, {Mountain, scores}, {Perforation, scores[:1]}, {Valley, scores[1:]},
	}}
}

// worked is one line of an ordered drawing.
type worked struct {
	role Role
	xy   []float64
	ring bool
}

func workedLines(t testing.TB, d *Drawing) (out []worked) {
	t.Helper()
	for _, l := range d.Layers {
		for _, s := range l.Shapes {
			switch s.(type) {
			case *geom.LinearRing, *geom.LineString:
			default:
				t.Fatalf("%T is more than one line", s)
			}
			_, ring := s.(*geom.LinearRing)
			out = append(out, worked{l.Role, s.FlatCoords(), ring})
		}
	}
	return out
}

func (w worked) area() float64 {
	sum := 0.0
	for i := 2; i < len(w.xy); i += 2 {
		sum += w.xy[i-2]*w.xy[i+1] - w.xy[i]*w.xy[i-1]
	}
	return sum / 2
}

// holds counts crossings of a ray with the ring.
func (w worked) holds(x, y float64) bool {
	in := false
	for i := 2; i < len(w.xy); i += 2 {
		ax, ay, bx, by := w.xy[i-2], w.xy[i-1], w.xy[i], w.xy[i+1]
		if (ay > y) != (by > y) && x < ax+(y-ay)/(by-ay)*(bx-ax) {
			in = !in
		}
	}
	return in
}

// gap is the distance between two lines, by trying all their edges' ends.
func gap(a, b worked) float64 {
	best := math.Inf(1)
	for _, pair := range [2][2]worked{{a, b}, {b, a}} {
		for i := 0; i < len(pair[0].xy); i += 2 {
			p := place{pair[0].xy[i], pair[0].xy[i+1]}
			for j := 2; j < len(pair[1].xy); j += 2 {
				q := pair[1].xy[j-2 : j+2]
				best = min(best, distanceToEdge(p, place{q[0], q[1]}, place{q[2], q[3]}))
			}
		}
	}
	return best
}

// checkRules verifies the order from the rules' words, looking at all pairs.
func checkRules(t *testing.T, lines []worked, reach float64, parts bool) {
	t.Helper()
	rank := map[Role]int{Mountain: 0, Valley: 1, Perforation: 2, Cut: 3, Note: 4}
	outermost := func(k int) bool {
		for i, l := range lines {
			if i != k && l.ring && l.role == Cut && math.Abs(l.area()) > math.Abs(lines[k].area()) && l.holds(lines[k].xy[0], lines[k].xy[1]) {
				return false
			}
		}
		return true
	}
	within := func(a, b worked) bool {
		x, y := (b.xy[0]+b.xy[2])/2, (b.xy[1]+b.xy[3])/2
		return a.role == Cut && a.ring && a.holds(x, y) && (!b.ring || math.Abs(a.area()) > math.Abs(b.area()))
	}
	last := make([]int, len(lines)) // 0 openings, 1 slits, 2 outlines
	for k, l := range lines {
		switch {
		case l.role == Cut && !l.ring:
			last[k] = 1
			for j, o := range lines {
				if within(o, l) && !outermost(j) {
					last[k] = 0
				}
			}
		case l.role == Cut && parts && outermost(k):
			last[k] = 2
		}
	}
	for i, a := range lines {
		for j := i + 1; j < len(lines); j++ {
			b := lines[j]
			if rank[a.role] > rank[b.role] {
				t.Errorf("%v comes before %v", a.role, b.role)
			}
			if a.role != Cut || b.role != Cut {
				continue
			}
			if last[i] > last[j] {
				t.Errorf("line %d, an outline or slit, comes before line %d", i, j)
			}
			if within(a, b) {
				t.Errorf("ring %d comes before line %d, which it holds", i, j)
			}
			if a.ring && b.ring && last[j] == 0 && reach > 0 && math.Abs(a.area()) > 4*math.Abs(b.area()) && gap(a, b) < reach {
				t.Errorf("ring %d of %.2f mm² comes before ring %d of %.2f mm², %.2f mm away", i, a.area(), j, b.area(), gap(a, b))
			}
		}
	}
}

func TestOrderOfParts(t *testing.T) {
	d := sheetOfParts()
	before := flat(d)
	for _, reach := range []float64{0, -1, 6} {
		o, err := Order(d, &OrderOptions{Reach: reach})
		if err != nil {
			t.Fatal(err)
		}
		if reach == 0 {
			reach = 3
		}
		lines := workedLines(t, o)
		checkRules(t, lines, reach, true)
		again, err := Order(d, &OrderOptions{Reach: reach})
		if err != nil || !reflect.DeepEqual(again, o) {
			t.Error("the same drawing was ordered in two ways")
		}
	}
	if !reflect.DeepEqual(before, flat(d)) {
		t.Error("the drawing given has changed")
	}
}

// pieces are the edges of all lines, each written from its lower end, with edges
// that lie in a row joined: what is cut, whatever the order and the starts.
func pieces(lines []worked) []string {
	var out []string
	for _, l := range lines {
		xy := slices.Clone(l.xy)
		n := len(xy)
		if l.ring { // drop a start in the middle of an edge
			a, b, c := place{xy[n-4], xy[n-3]}, place{xy[0], xy[1]}, place{xy[2], xy[3]}
			if cross := (b.x-a.x)*(c.y-b.y) - (b.y-a.y)*(c.x-b.x); math.Abs(cross) < 1e-9 {
				xy = append(xy[2:n-2], xy[2], xy[3])
			}
		}
		for i := 2; i < len(xy); i += 2 {
			a, b := place{xy[i-2], xy[i-1]}, place{xy[i], xy[i+1]}
			if b.x < a.x || b.x == a.x && b.y < a.y {
				a, b = b, a
			}
			out = append(out, fmt.Sprintf("%v %.6f %.6f %.6f %.6f", l.role, a.x, a.y, b.x, b.y))
		}
	}
	slices.Sort(out)
	return out
}

// Nothing is lost, doubled or bent; rings keep their direction.
func TestOrderKeepsEveryEdge(t *testing.T) {
	d := sheetOfParts()
	o, err := Order(d, nil)
	if err != nil {
		t.Fatal(err)
	}
	tracks, _ := collect(d)
	var given []worked
	positive := 0
	for _, tr := range tracks {
		given = append(given, worked{tr.role, tr.xy, tr.closed})
		if tr.closed && given[len(given)-1].area() > 0 {
			positive++
		}
	}
	got := workedLines(t, o)
	got = slices.DeleteFunc(got, func(w worked) bool { return w.role == Note })
	if !slices.Equal(pieces(given), pieces(got)) {
		t.Error("the ordered drawing has other edges")
	}
	for _, w := range got {
		if w.ring && w.area() > 0 {
			positive--
		}
	}
	if positive != 0 {
		t.Error("rings were turned round")
	}
}

// Without slits and scores nothing says that the outermost rings are parts: an
// opening comes right after its island, wherever it lies.
func TestOrderOfOpenings(t *testing.T) {
	d := page(12 * 500)
	o, err := Order(d, &OrderOptions{Reach: -1})
	if err != nil {
		t.Fatal(err)
	}
	checkRules(t, workedLines(t, o), -1, false)
	before, err := d.Travel([2]float64{})
	if err != nil {
		t.Fatal(err)
	}
	after, err := o.Travel([2]float64{})
	if err != nil {
		t.Fatal(err)
	}
	if after.PenUp > 0.8*before.PenUp || math.Abs(after.Cut-before.Cut) > 1e-6*before.Cut || after.Lifts != before.Lifts {
		t.Errorf("before %+v, after %+v", before, after)
	}
}

// FuzzOrder: whatever can be written can be ordered, and the same edges remain.
func FuzzOrder(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		d := fuzzed(data)
		o, err := Order(d, &OrderOptions{Overcut: 0})
		if err != nil {
			return
		}
		before, err := d.Travel([2]float64{})
		if err != nil {
			t.Fatal(err)
		}
		after, err := o.Travel([2]float64{})
		if err != nil {
			t.Fatal(err)
		}
		if d := math.Abs(after.Cut - before.Cut); d > 1e-6*before.Cut+1e-6 || after.Lifts != before.Lifts {
			t.Errorf("before %+v, after %+v", before, after)
		}
	})
}

// lace is a sheet with n small openings of many sizes, in random order.
func lace(n int) *Drawing {
	rnd := rand.New(rand.NewPCG(5, uint64(n)))
	columns := int(math.Ceil(math.Sqrt(float64(n))))
	side := float64(columns)*4 + 20
	var shapes []geom.T
	for _, i := range rnd.Perm(n) {
		x, y := 12+float64(i%columns)*4, 12+float64(i/columns)*4
		radius, corners := 0.5+1.3*rnd.Float64(), 3+rnd.IntN(12)
		var ring []float64
		for k := range corners {
			a := 2 * math.Pi * float64(k) / float64(corners)
			ring = append(ring, x+radius*math.Cos(a), y+radius*math.Sin(a))
		}
		shapes = append(shapes, polygon(ring))
	}
	return &Drawing{Width: side, Height: side, Layers: []Layer{{Cut, append(shapes, polygon(square(2, 2, side-4)))}}}
}

func BenchmarkOrder(b *testing.B) {
	for _, n := range []int{100, 1000, 10_000, 100_000} {
		d := lace(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			var way float64
			for b.Loop() {
				o, err := Order(d, nil)
				if err != nil {
					b.Fatal(err)
				}
				m, err := o.Travel([2]float64{})
				if err != nil {
					b.Fatal(err)
				}
				way = m.PenUp
			}
			b.ReportMetric(way/float64(n), "mm-lifted/line")
		})
	}
}
