package box

import (
	"math"
	"slices"

	"github.com/twpayne/go-geom"
)

// Perforate returns scores as rows of short cuts, all in mm: cuts of the length
// `cut`, apart by `gap` or a little more. Every stretch between two crossings of
// scores begins and ends with paper, so that no cut runs through a crossing or
// out of an edge, where a fold would tear; a stretch too short for one cut stays
// whole. It fails with an *[Error] where cut or gap is not more than zero.
func Perforate(scores *geom.MultiLineString, cut, gap float64) (*geom.MultiLineString, error) {
	for _, m := range []struct {
		name string
		v    float64
	}{{"perforation cut", cut}, {"perforation gap", gap}} {
		if !(m.v > 0) || m.v > longest {
			return nil, &Error{Measure: m.name, Got: m.v, Reason: "it must be more than zero"}
		}
	}
	segs := segments(scores)
	var out [][]point
	for i, s := range segs {
		at := []float64{0, 1}
		for j, o := range segs {
			if p, ok := crossing(s, o); ok && i != j {
				at = append(at, p)
			}
		}
		slices.Sort(at)
		for k := 1; k < len(at); k++ {
			a, b := s.at(at[k-1]), s.at(at[k])
			out = append(out, dashes(a, b, cut, gap)...)
		}
	}
	return lines(out), nil
}

// dashes spreads as many cuts as have room between a and b, with equal gaps
// before, between and after them.
func dashes(a, b point, cut, gap float64) [][]point {
	l := math.Hypot(b[0]-a[0], b[1]-a[1])
	n := math.Floor((l - gap) / (cut + gap) * (1 + 1e-12))
	if n < 1 {
		return nil
	}
	gap = (l - n*cut) / (n + 1)
	s := segment{a, b}
	var out [][]point
	for i := range int(n) {
		from := float64(i+1)*gap + float64(i)*cut
		out = append(out, []point{s.at(from / l), s.at((from + cut) / l)})
	}
	return out
}

// EndMarks returns short marks, `length` mm long, on both ends of every score,
// for scoring by hand with a ruler laid from mark to mark. A score shorter than
// two marks stays whole. It fails with an *[Error] where the length is not more
// than zero.
func EndMarks(scores *geom.MultiLineString, length float64) (*geom.MultiLineString, error) {
	if !(length > 0) || length > longest {
		return nil, &Error{Measure: "end mark", Got: length, Reason: "it must be more than zero"}
	}
	var out [][]point
	for _, s := range segments(scores) {
		l := math.Hypot(s[1][0]-s[0][0], s[1][1]-s[0][1])
		if l <= 2*length {
			out = append(out, []point{s[0], s[1]})
			continue
		}
		out = append(out, []point{s[0], s.at(length / l)}, []point{s[1], s.at(1 - length/l)})
	}
	return lines(out), nil
}

// segment is a straight score between two points.
type segment [2]point

// at is the point a part f of the way along.
func (s segment) at(f float64) point {
	return point{s[0][0] + f*(s[1][0]-s[0][0]), s[0][1] + f*(s[1][1]-s[0][1])}
}

func segments(l *geom.MultiLineString) []segment {
	var out []segment
	flat, start := l.FlatCoords(), 0
	for _, end := range l.Ends() {
		for i := start + 2; i < end; i += 2 {
			out = append(out, segment{{flat[i-2], flat[i-1]}, {flat[i], flat[i+1]}})
		}
		start = end
	}
	return out
}

// crossing returns how far along s the other segment meets it, ends of s
// excepted.
func crossing(s, o segment) (float64, bool) {
	const touch = 1e-9
	dx, dy := s[1][0]-s[0][0], s[1][1]-s[0][1]
	ex, ey := o[1][0]-o[0][0], o[1][1]-o[0][1]
	den := dx*ey - dy*ex
	if den == 0 {
		return 0, false
	}
	fx, fy := o[0][0]-s[0][0], o[0][1]-s[0][1]
	p, q := (fx*ey-fy*ex)/den, (fx*dy-fy*dx)/den
	return p, p > touch && p < 1-touch && q > -touch && q < 1+touch
}
