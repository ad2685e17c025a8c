package export

import (
	"iter"
	"math"
	"slices"

	"github.com/twpayne/go-geom"
)

// A path is one sheet area with all its rings (the outer one first), or one line. Its coordinates are those of the
// shape it is part of: ring or line i ends before flat[ends[i]], the first starts at flat[start].
type path struct {
	flat   []float64
	start  int
	ends   []int
	stride int
	closed bool
}

// drawable says whether s is of a type that can be written.
func drawable(s geom.T) bool {
	switch s := s.(type) {
	case *geom.Polygon:
		return s != nil
	case *geom.MultiPolygon:
		return s != nil
	case *geom.LinearRing:
		return s != nil
	case *geom.LineString:
		return s != nil
	case *geom.MultiLineString:
		return s != nil
	}
	return false
}

// paths yields the sheet areas and lines of a drawable shape. Every path has at least one ring or line.
func paths(s geom.T) iter.Seq[path] {
	return func(yield func(path) bool) {
		p := path{flat: s.FlatCoords(), stride: s.Stride()}
		if len(p.flat) == 0 {
			return
		}
		switch s := s.(type) {
		case *geom.Polygon:
			p.ends, p.closed = s.Ends(), true
			yield(p)
		case *geom.MultiPolygon:
			p.closed = true
			for _, p.ends = range s.Endss() {
				if len(p.ends) == 0 {
					continue
				}
				if !yield(p) {
					return
				}
				p.start = p.ends[len(p.ends)-1]
			}
		case *geom.LinearRing:
			p.ends, p.closed = []int{len(p.flat)}, true
			yield(p)
		case *geom.LineString:
			p.ends = []int{len(p.flat)}
			yield(p)
		case *geom.MultiLineString:
			ends := s.Ends()
			for i := range ends {
				p.ends = ends[i : i+1]
				if !yield(p) {
					return
				}
				p.start = ends[i]
			}
		}
	}
}

// A point is a place on the sheet in micrometres.
type point struct{ x, y int64 }

// micrometres rounds a length in millimetres to whole micrometres, halves upward.
func micrometres(mm float64) int64 { return int64(math.Floor(mm*1000 + 0.5)) }

// lines yields the lines of the path on the grid of micrometres, without points that repeat the one before and without
// the last point of a ring. Holes come before the ring around them, since what lies inside is cut first, and are wound
// the other way, so that both fill rules give one area. buf is scratch space.
func (p path) lines(buf []point) iter.Seq[[]point] {
	return func(yield func([]point) bool) {
		for i := range p.ends {
			ring := (i + 1) % len(p.ends)
			buf = p.line(ring, buf[:0])
			if len(buf) < 2 {
				continue
			}
			if p.closed && (doubleArea(buf) < 0) != (ring > 0) {
				reverse(buf)
			}
			if !yield(buf) {
				return
			}
		}
	}
}

// reverse turns a ring round, and keeps its start where it is.
func reverse(ring []point) { slices.Reverse(ring[1:]) }

// line appends ring or line i to buf.
func (p path) line(i int, buf []point) []point {
	start := p.start
	if i > 0 {
		start = p.ends[i-1]
	}
	for k := start; k < p.ends[i]; k += p.stride {
		q := point{micrometres(p.flat[k]), micrometres(p.flat[k+1])}
		if n := len(buf); n == 0 || buf[n-1] != q {
			buf = append(buf, q)
		}
	}
	if n := len(buf); p.closed && n > 1 && buf[0] == buf[n-1] {
		buf = buf[:n-1]
	}
	return buf
}

// doubleArea is twice the signed area of a ring, positive for the winding of outer rings.
func doubleArea(ring []point) float64 {
	sum := 0.0
	o := ring[0]
	for i := 1; i+1 < len(ring); i++ {
		a, b := ring[i], ring[i+1]
		sum += float64(a.x-o.x)*float64(b.y-o.y) - float64(b.x-o.x)*float64(a.y-o.y)
	}
	return sum
}
