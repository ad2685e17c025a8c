package export

import (
	"math"
	"slices"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/ring"
)

// track is one line of a drawing: a ring, whose last point repeats its first, or
// an open line.
type track struct {
	role   Role
	xy     []float64
	closed bool

	// of a ring
	area     float64 // without sign
	positive bool    // its sign
	starts   []start // where it may begin, best places only

	loose [2]bool // ends of a slit that lie on the edge of a part
}

// start is the middle of a ring's edge i, from point i to point i+1.
type start struct {
	edge int
	at   place
}

// collect takes a drawing apart. Notes keep their shapes.
func collect(d *Drawing) (tracks []*track, notes []geom.T) {
	for _, l := range d.Layers {
		for _, s := range l.Shapes {
			if l.Role == Note {
				notes = append(notes, s)
				continue
			}
			for p := range paths(s) {
				from := p.start
				for _, end := range p.ends {
					t := &track{role: l.Role, closed: p.closed, xy: make([]float64, 0, 2*(end-from)/p.stride)}
					for k := from; k < end; k += p.stride {
						t.xy = append(t.xy, p.flat[k], p.flat[k+1])
					}
					from = end
					if t.closed {
						area := ring.Area(t.xy)
						t.area, t.positive = math.Abs(area), area > 0
						t.findStarts()
					}
					tracks = append(tracks, t)
				}
			}
		}
	}
	return tracks, notes
}

const (
	// corner is the turn, in radians, within cornerSpan of the line, from which
	// a dragged blade has to swivel: about 30 degrees.
	corner, cornerSpan = math.Pi / 6, 0.2
	// runIn is the straight way, in mm, that a blade needs to find its direction
	// at most (common practice, no source: blades trail by 0.2 to 1 mm).
	runIn = 3.0
	// startEvery is how far apart the places to choose from are, in mm, and
	// mostStarts how many a ring has.
	startEvery, mostStarts = 8.0, 8
)

// findStarts lists middles of edges that are as far from corners as any, up to
// runIn, spread round the ring; among near ones the middle of the straightest.
func (t *track) findStarts() {
	n := len(t.xy)/2 - 1
	pt := func(i int) place { i %= n; return place{t.xy[2*i], t.xy[2*i+1]} }
	length := make([]float64, n) // of edge i
	total := 0.0
	for i := range n {
		length[i] = pt(i).to(pt(i + 1))
		total += length[i]
	}
	if total == 0 {
		t.starts = []start{{0, pt(0)}}
		return
	}
	turn := turns(t.xy, n)
	clear := clearances(turn, length)

	best := slices.Max(clear)
	wanted := min(best, runIn) * (1 - 1e-9)
	sectors := min(max(1, int(total/startEvery)), mostStarts)
	pick := make([]int, sectors)
	for s := range pick {
		pick[s] = -1
	}
	// one radian less of turning is worth one millimetre more of edge
	straight := func(i int) float64 { return turn[i] + turn[(i+1)%n] - min(length[i], runIn) }
	at := 0.0
	for i := range n {
		s := min(int((at+length[i]/2)/total*float64(sectors)), sectors-1)
		at += length[i]
		if clear[i] < wanted {
			continue
		}
		if pick[s] < 0 || straight(i) < straight(pick[s]) {
			pick[s] = i
		}
	}
	for _, i := range pick {
		if i >= 0 {
			a, b := pt(i), pt(i+1)
			t.starts = append(t.starts, start{i, place{(a.x + b.x) / 2, (a.y + b.y) / 2}})
		}
	}
}

// mostLook bounds how many points are passed over to get cornerSpan away.
const mostLook = 100

// turns gives the angle by which the ring turns at each point, taken between the
// points before and after it that are cornerSpan away or more, so that a corner
// rounded by a few tiny edges is one.
func turns(xy []float64, n int) []float64 {
	out := make([]float64, n)
	for i := range n {
		x, y := xy[2*i], xy[2*i+1]
		look := func(step int) (dx, dy float64) {
			j := i
			for k := 1; k < min(n, mostLook); k++ {
				switch j += step; j {
				case -1:
					j = n - 1
				case n:
					j = 0
				}
				dx, dy = xy[2*j]-x, xy[2*j+1]-y
				if dx*dx+dy*dy >= cornerSpan*cornerSpan {
					break
				}
			}
			return dx, dy
		}
		px, py := look(-1)
		qx, qy := look(1)
		out[i] = math.Abs(math.Atan2(-(px*qy - py*qx), -(px*qx + py*qy)))
	}
	return out
}

// clearances gives for the middle of each edge how far along the ring the next
// corner is, infinite where there is none.
func clearances(turn, length []float64) []float64 {
	n := len(turn)
	out := make([]float64, n)
	far := math.Inf(1)
	for i := range out {
		out[i] = far
	}
	d := far
	for i := range 2 * n { // twice round, so that the first corner is known at the end
		if turn[i%n] >= corner {
			d = 0
		}
		out[i%n] = min(out[i%n], d+length[i%n]/2)
		d += length[i%n]
	}
	d = far
	for i := 2*n - 1; i >= 0; i-- {
		if turn[(i+1)%n] >= corner {
			d = 0
		}
		out[i%n] = min(out[i%n], d+length[i%n]/2)
		d += length[i%n]
	}
	return out
}

// length is the way along the line.
func (t *track) length() float64 {
	sum := 0.0
	for i := 2; i < len(t.xy); i += 2 {
		sum += place{t.xy[i-2], t.xy[i-1]}.to(place{t.xy[i], t.xy[i+1]})
	}
	return sum
}

// doors are the places at which the search may begin the track.
func (t *track) doors() []place {
	if !t.closed {
		n := len(t.xy)
		return []place{{t.xy[0], t.xy[1]}, {t.xy[n-2], t.xy[n-1]}}
	}
	out := make([]place, len(t.starts))
	for i, s := range t.starts {
		out[i] = s.at
	}
	return out
}
