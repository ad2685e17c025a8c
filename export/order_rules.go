package export

import (
	"math"
	"slices"
)

// stage is a group of tracks that is finished before the next begins, and what
// the search needs to know of each.
type stage struct {
	role   Role
	tracks []*track
	stops  []stop
}

// add returns the number of the track within the stage.
func (s *stage) add(t *track) int32 {
	s.tracks = append(s.tracks, t)
	s.stops = append(s.stops, stop{doors: t.doors(), ring: t.closed})
	return int32(len(s.tracks) - 1)
}

// first makes stop a come before stop b.
func (s *stage) first(a, b int32) {
	s.stops[a].after = append(s.stops[a].after, b)
	s.stops[b].before = append(s.stops[b].before, a)
}

// muchLarger is the ratio of areas from which the smaller of two openings is cut
// first: twice as wide and high.
const muchLarger = 4.0

// arrange sorts the tracks into stages and writes down what has to come before
// what within them.
func arrange(tracks []*track, reach float64) []stage {
	scores := map[Role]*stage{Mountain: {role: Mountain}, Valley: {role: Valley}, Perforation: {role: Perforation}}
	openings, slits, outlines := stage{role: Cut}, stage{role: Cut}, stage{role: Cut}
	var rings, lines []*track // the closed cuts, and all else
	for _, t := range tracks {
		if t.role == Cut && t.closed {
			rings = append(rings, t)
		} else {
			lines = append(lines, t)
		}
	}
	n := newNest(rings)
	around := make([]int, len(lines)) // the ring that each line lies in, or -1
	parts := false                    // the outermost rings are outlines of parts
	for k, t := range lines {
		around[k] = n.around(t)
		parts = parts || around[k] >= 0 && n.parent[around[k]] < 0
	}
	number := make([]int32, len(rings)) // of each ring among the openings, or -1
	for k, t := range rings {
		number[k] = -1
		if parts && n.parent[k] < 0 {
			outlines.add(t)
		} else {
			number[k] = openings.add(t)
		}
	}
	for k, p := range n.parent {
		if p >= 0 && number[p] >= 0 {
			openings.first(number[k], number[p])
		}
	}
	if reach > 0 {
		for _, pair := range closePairs(openings.tracks, reach) {
			openings.first(pair[0], pair[1])
		}
	}
	for k, t := range lines {
		switch {
		case t.role != Cut:
			scores[t.role].add(t)
		case around[k] >= 0 && number[around[k]] >= 0: // parts what an opening's ring will free
			openings.first(openings.add(t), number[around[k]])
		default:
			slits.add(t)
		}
	}
	if parts {
		freeEnds(slits.tracks, outlines.tracks)
	}
	all := []stage{*scores[Mountain], *scores[Valley], *scores[Perforation], openings, slits, outlines}
	return slices.DeleteFunc(all, func(s stage) bool { return len(s.tracks) == 0 })
}

// onEdge is how near to an outline the end of a slit counts as on it, in mm: half
// of a wide kerf, by which the outline's path lies further out.
const onEdge = 0.25

// freeEnds finds the ends of slits that lie on an outline.
func freeEnds(slits, outlines []*track) {
	for _, s := range slits {
		n := len(s.xy)
		for i, p := range [2]place{{s.xy[0], s.xy[1]}, {s.xy[n-2], s.xy[n-1]}} {
			for _, o := range outlines {
				s.loose[i] = s.loose[i] || o.distance(p) <= onEdge
			}
		}
	}
}

// distance is how far p is from the line.
func (t *track) distance(p place) float64 {
	best := math.Inf(1)
	for i := 2; i < len(t.xy); i += 2 {
		best = min(best, distanceToEdge(p, place{t.xy[i-2], t.xy[i-1]}, place{t.xy[i], t.xy[i+1]}))
	}
	return best
}

func distanceToEdge(p, a, b place) float64 {
	dx, dy := b.x-a.x, b.y-a.y
	f := 0.0
	if l2 := dx*dx + dy*dy; l2 > 0 {
		f = min(max(((p.x-a.x)*dx+(p.y-a.y)*dy)/l2, 0), 1)
	}
	return p.to(place{a.x + f*dx, a.y + f*dy})
}
