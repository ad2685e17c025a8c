package export

import (
	"math"

	"github.com/twpayne/go-geom"
)

// OrderOptions tells how a tool likes to work. Lengths are in mm.
type OrderOptions struct {
	// Home is where the tool rests before and after; default: the sheet's
	// top-left corner.
	Home [2]float64
	// Reach is how near a small opening and a large one lie together so that the
	// small one has to be cut while the paper is still whole; default 3, negative:
	// sizes do not matter.
	Reach float64
	// Overcut is how far a closed cut runs on past its start, so that a dragged
	// blade leaves no uncut bit; default 0. It runs on along the line already cut,
	// and a slit runs out beyond the edge of the part, so that only waste is
	// touched. A closed line with overcut is written as an open one.
	Overcut float64
}

// defaultReach is a usual least distance between two cuts in card (common
// practice, no source).
const defaultReach = 3.0

// Order returns the lines of d in the order in which they are best worked, one
// shape a line: a *geom.LinearRing or a *geom.LineString in XY. Scores come first,
// while the sheet lies flat: mountain, valley, perforation. Then come the openings,
// inner before outer, and of two within reach of each other the one with less
// than a quarter of the other's area first; then slits; then, if any of them
// holds a slit or a score, the outermost rings, so that parts come loose last.
// Open lines within an opening are cut before it.
// Notes stay as they are, at the end. Within these rules the way of the lifted tool
// from and to its home is short: a few percent above the shortest that is known,
// found by local search (Bentley, "Fast Algorithms for Geometric Traveling Salesman
// Problems", 1992, from memory) in about n log n steps.
//
// A ring starts in a straight run and away from corners, where a dragged blade
// has not yet found its direction; to that end it may gain one point in the middle
// of an edge. Rings keep their direction, lines may be turned round. d is not
// changed; an error is one that the writers would return.
func Order(d *Drawing, opts *OrderOptions) (*Drawing, error) {
	if err := d.check(); err != nil {
		return nil, err
	}
	var o OrderOptions
	if opts != nil {
		o = *opts
	}
	if o.Reach == 0 {
		o.Reach = defaultReach
	}
	tracks, notes := collect(d)
	home := place{o.Home[0], o.Home[1]}
	out := &Drawing{Width: d.Width, Height: d.Height}
	at := home
	stages := arrange(tracks, o.Reach)
	for i, s := range stages {
		t := shortTour(s.stops, at, home, i < len(stages)-1)
		at = t.gates[t.seq[len(t.seq)-2]].out
		shapes := make([]geom.T, 0, len(s.stops))
		for _, v := range t.seq[1 : len(t.seq)-1] {
			shapes = append(shapes, s.tracks[v].shape(t.door[v], o.Overcut, d))
		}
		if n := len(out.Layers); n > 0 && out.Layers[n-1].Role == s.role {
			out.Layers[n-1].Shapes = append(out.Layers[n-1].Shapes, shapes...)
		} else {
			out.Layers = append(out.Layers, Layer{s.role, shapes})
		}
	}
	if len(notes) > 0 {
		out.Layers = append(out.Layers, Layer{Note, notes})
	}
	return out, nil
}

// shortTour finds a short way, then the best door of each stop along it, and then
// a shorter way by these doors.
func shortTour(stops []stop, from, to place, free bool) *tour {
	t := nearestFirst(stops, from, to, free)
	newSearch(t).settleAll()
	t.bestDoors()
	t.shorten()
	t.bestDoors()
	return t
}

// place is a point of the sheet in mm.
type place struct{ x, y float64 }

func (p place) to(q place) float64 {
	dx, dy := q.x-p.x, q.y-p.y
	return math.Sqrt(dx*dx + dy*dy) // half the cost of math.Hypot, whose care for extremes is not needed here
}
