package proof

import (
	"fmt"
	"math"
	"slices"

	"example.org/kerfleaf/export"
	"github.com/twpayne/go-geom"
)

// track is one line that the tool follows: x, y, x, y, …; a closed one ends where it begins.
type track struct {
	role   export.Role
	pts    []float64
	closed bool
	order  int // when it is done
}

// length of a line in mm.
func (t track) length() float64 {
	sum := 0.0
	for i := 2; i < len(t.pts); i += 2 {
		sum += math.Hypot(t.pts[i]-t.pts[i-2], t.pts[i+1]-t.pts[i-1])
	}
	return sum
}

func (t track) end() (x, y float64) { return t.pts[len(t.pts)-2], t.pts[len(t.pts)-1] }

// gather takes the lines of a drawing in the order in which they are worked: holes of a polygon before its outer ring.
func gather(d *export.Drawing) ([]track, error) {
	var out []track
	for _, l := range d.Layers {
		if l.Role == export.Note {
			continue
		}
		if l.Role < export.Cut || l.Role > export.Note {
			return nil, &InputError{"a layer has no known role"}
		}
		add := func(flat []float64, stride int, closed bool) error {
			t := track{role: l.Role, closed: closed, order: len(out), pts: make([]float64, 0, len(flat))}
			for i := 0; i+1 < len(flat); i += stride {
				x, y := flat[i], flat[i+1]
				if !finite(x) || !finite(y) {
					return &InputError{fmt.Sprintf("a %v line has a coordinate that is no number of at most %g mm", l.Role, largest)}
				}
				if n := len(t.pts); n == 0 || t.pts[n-2] != x || t.pts[n-1] != y {
					t.pts = append(t.pts, x, y)
				}
			}
			if n := len(t.pts); closed && n > 2 && (t.pts[0] != t.pts[n-2] || t.pts[1] != t.pts[n-1]) {
				return &InputError{"a ring does not close"}
			}
			if len(t.pts) >= 4 {
				t.closed = closed && len(t.pts) >= 8
				out = append(out, t)
			}
			return nil
		}
		for _, s := range l.Shapes {
			for _, line := range shapeLines(s) {
				if line == nil {
					return nil, &InputError{fmt.Sprintf("a %v layer holds a %T, which is no line", l.Role, s)}
				}
				if err := add(line.FlatCoords(), line.Stride(), isRing(line)); err != nil {
					return nil, err
				}
			}
		}
	}
	return out, nil
}

func isRing(g geom.T) bool {
	_, ok := g.(*geom.LinearRing)
	return ok
}

// shapeLines are the rings and lines of a shape, holes first; one nil if it is none that a layer may hold.
func shapeLines(s geom.T) []geom.T {
	var out []geom.T
	switch s := s.(type) {
	case *geom.LinearRing, *geom.LineString:
		return []geom.T{s}
	case *geom.MultiLineString:
		for i := range s.NumLineStrings() {
			out = append(out, s.LineString(i))
		}
	case *geom.Polygon:
		for i := s.NumLinearRings() - 1; i >= 0; i-- {
			out = append(out, s.LinearRing(i))
		}
		slices.Reverse(out[:max(0, len(out)-1)]) // the holes keep their order
	case *geom.MultiPolygon:
		for i := range s.NumPolygons() {
			out = append(out, shapeLines(s.Polygon(i))...)
		}
	default:
		return []geom.T{nil}
	}
	return out
}

// assemble sorts the lines: closed cuts, open cuts, and the rest.
func assemble(tracks []track) (closed, open, scores []track) {
	var loose []track
	for _, t := range tracks {
		switch {
		case t.role != export.Cut:
			scores = append(scores, t)
		case t.closed:
			closed = append(closed, t)
		default:
			loose = append(loose, t)
		}
	}
	for _, t := range join(loose) {
		if t = closing(t); t.closed {
			closed = append(closed, t)
		} else {
			open = append(open, t)
		}
	}
	byOrder := func(a, b track) int { return a.order - b.order }
	slices.SortStableFunc(closed, byOrder)
	slices.SortStableFunc(open, byOrder)
	return closed, open, scores
}

// closing makes a ring of a line whose ends meet, or whose end runs on along its beginning, as an overcut does.
func closing(t track) track {
	n := len(t.pts)
	if n < 8 {
		return t
	}
	x0, y0 := t.pts[0], t.pts[1]
	if x, y := t.end(); math.Hypot(x-x0, y-y0) <= grid {
		t.pts = slices.Clone(t.pts)
		t.pts[n-2], t.pts[n-1], t.closed = x0, y0, true
		return t
	}
	// Where does it come through its start again?
	for i := 4; i+3 < n; i += 2 {
		a, b := i, i+2
		if distance(x0, y0, t.pts[a], t.pts[a+1], t.pts[b], t.pts[b+1]) > grid {
			continue
		}
		tail := append([]float64{x0, y0}, t.pts[b:]...)
		if !follows(tail, t.pts) {
			continue
		}
		ring := append(slices.Clone(t.pts[:b]), x0, y0)
		if m := len(ring); math.Hypot(ring[m-4]-x0, ring[m-3]-y0) <= grid {
			ring = append(ring[:m-4], x0, y0)
		}
		if len(ring) >= 8 {
			t.pts, t.closed = ring, true
		}
		return t
	}
	return t
}

// follows reports whether the line tail runs along the line pts from its start on.
func follows(tail, pts []float64) bool {
	at := 0 // the edge of pts that we are on
	for i := 0; i+1 < len(tail); i += 2 {
		x, y := tail[i], tail[i+1]
		for distance(x, y, pts[at], pts[at+1], pts[at+2], pts[at+3]) > grid {
			if at += 2; at+3 >= len(pts) {
				return false
			}
		}
	}
	return true
}

// join links lines whose ends meet where no third one does. A joined line is done when its last piece is.
func join(in []track) []track {
	other := meetings(in)
	used := make([]bool, len(in))
	var out []track
	for i := range in {
		if used[i] {
			continue
		}
		// Go back to where the chain begins, or once round.
		e := 2 * i
		for {
			o := other[e]
			if o < 0 || o/2 == i {
				break
			}
			e = o ^ 1
		}
		t := track{role: export.Cut}
		for e >= 0 && !used[e/2] {
			used[e/2] = true
			pts := in[e/2].pts
			if e%2 == 1 {
				pts = reversed(pts)
			}
			if len(t.pts) > 0 {
				pts = pts[2:]
			}
			t.pts = append(t.pts, pts...)
			t.order = max(t.order, in[e/2].order)
			e = other[e^1]
		}
		out = append(out, t)
	}
	return out
}

// meetings tells for each end of each line, 2i for the start and 2i+1 for the end of line i, the one other end that lies
// there, or -1 if there is none or there are several.
func meetings(in []track) []int {
	type cell [2]int64
	at := func(e int) (x, y float64) {
		if e%2 == 1 {
			return in[e/2].end()
		}
		return in[e/2].pts[0], in[e/2].pts[1]
	}
	cells := map[cell][]int{}
	key := func(x, y float64) cell { return cell{int64(math.Floor(x / grid)), int64(math.Floor(y / grid))} }
	for e := range 2 * len(in) {
		k := key(at(e))
		cells[k] = append(cells[k], e)
	}
	other := make([]int, 2*len(in))
	for e := range other {
		other[e] = -1
		x, y := at(e)
		k := key(x, y)
		n := 0
		for dx := int64(-1); dx <= 1; dx++ {
			for dy := int64(-1); dy <= 1; dy++ {
				for _, o := range cells[cell{k[0] + dx, k[1] + dy}] {
					if ox, oy := at(o); n < 2 && o != e && math.Hypot(ox-x, oy-y) <= grid {
						other[e] = o
						n++
					}
				}
			}
		}
		if n != 1 {
			other[e] = -1
		}
	}
	for e, o := range other {
		if o >= 0 && other[o] != e { // a third end is near enough to one of them
			other[e] = -1
		}
	}
	return other
}

func reversed(pts []float64) []float64 {
	out := make([]float64, 0, len(pts))
	for i := len(pts) - 2; i >= 0; i -= 2 {
		out = append(out, pts[i], pts[i+1])
	}
	return out
}
