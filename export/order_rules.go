package export

import (
	"cmp"
	"math"
	"slices"

	"example.org/kerfleaf/internal/ring"
)

// stage is a group of tracks that is finished before the next begins, and what
// the search needs to know of each.
type stage struct {
	role   Role
	tracks []*track
	stops  []stop
}

// muchLarger is the ratio of areas from which the smaller of two openings is cut
// first: twice as wide and high.
const muchLarger = 4.0

// arrange sorts the tracks into stages and writes down what has to come before
// what within them.
func arrange(tracks []*track, reach float64) []stage {
	var scores [3]stage
	scores[0].role, scores[1].role, scores[2].role = Mountain, Valley, Perforation
	openings, slits, outlines := stage{role: Cut}, stage{role: Cut}, stage{role: Cut}
	var rings []*track
	for _, t := range tracks {
		switch {
		case t.role == Cut && t.closed:
			rings = append(rings, t)
		case t.role == Cut:
			slits.tracks = append(slits.tracks, t)
		default:
			i := slices.IndexFunc(scores[:], func(s stage) bool { return s.role == t.role })
			scores[i].tracks = append(scores[i].tracks, t)
		}
	}
	parent := nest(rings)
	parts := holdParts(rings, parent, tracks)
	number := make([]int32, len(rings)) // of each ring among the openings
	for i, t := range rings {
		if parts && parent[i] < 0 {
			number[i] = -1
			outlines.tracks = append(outlines.tracks, t)
			continue
		}
		number[i] = int32(len(openings.tracks))
		openings.tracks = append(openings.tracks, t)
	}
	if parts {
		freeEnds(slits.tracks, outlines.tracks)
	}

	var out []stage
	for _, s := range append(scores[:], openings, slits, outlines) {
		if len(s.tracks) == 0 {
			continue
		}
		for _, t := range s.tracks {
			s.stops = append(s.stops, stop{doors: t.doors(), ring: t.closed})
		}
		out = append(out, s)
	}
	i := slices.IndexFunc(out, func(s stage) bool { return s.tracks[0].role == Cut && s.tracks[0].closed })
	if i < 0 || len(openings.tracks) == 0 {
		return out
	}
	stops := out[i].stops
	first := func(a, b int32) {
		if a >= 0 && b >= 0 {
			stops[a].after = append(stops[a].after, b)
			stops[b].before = append(stops[b].before, a)
		}
	}
	for k, p := range parent {
		if p >= 0 {
			first(number[k], number[p])
		}
	}
	if reach > 0 {
		for _, pair := range closePairs(openings.tracks, reach) {
			first(pair[0], pair[1])
		}
	}
	return out
}

// nest gives for each ring the smallest ring around it, or -1. It goes from left
// to right and asks which ring a ray to the left meets first: that one's
// surroundings are known already.
func nest(tracks []*track) []int {
	rings := make([][]float64, len(tracks))
	parent := make([]int, len(tracks))
	order := make([]int, len(tracks))
	leftmost := make([]int, len(tracks))
	for k, t := range tracks {
		rings[k], parent[k], order[k] = t.xy, -1, k
		for i := 2; i < len(t.xy); i += 2 {
			if m := leftmost[k]; t.xy[i] < t.xy[m] || t.xy[i] == t.xy[m] && t.xy[i+1] < t.xy[m+1] {
				leftmost[k] = i
			}
		}
	}
	left := func(k int) place { return place{rings[k][leftmost[k]], rings[k][leftmost[k]+1]} }
	slices.SortFunc(order, func(a, b int) int {
		p, q := left(a), left(b)
		return cmp.Or(cmp.Compare(p.x, q.x), cmp.Compare(p.y, q.y), -cmp.Compare(tracks[a].area, tracks[b].area), cmp.Compare(a, b))
	})
	ix := ring.NewIndex(rings)
	for _, k := range order {
		p := left(k)
		h, ok := ix.Left(p.x, p.y, k)
		switch {
		case !ok:
		case h.Down == (ring.Area(rings[h.Ring]) > 0):
			parent[k] = h.Ring
		default:
			parent[k] = parent[h.Ring]
		}
		// where rings touch or cross the ray may mislead; a smaller ring holds
		// nothing larger whatever it says, so that no two wait for each other
		for parent[k] >= 0 && tracks[parent[k]].area <= tracks[k].area {
			parent[k] = parent[parent[k]]
		}
	}
	return parent
}

// holdParts reports whether the outermost rings are outlines of parts: whether any
// of them holds a slit or a score.
func holdParts(rings []*track, parent []int, tracks []*track) bool {
	var outer [][]float64
	for k, t := range rings {
		if parent[k] < 0 {
			outer = append(outer, t.xy)
		}
	}
	ix := ring.NewIndex(outer)
	for _, t := range tracks {
		if t.role == Cut && t.closed {
			continue
		}
		// from the middle of its first edge, as its ends may lie on an outline
		h, ok := ix.Left((t.xy[0]+t.xy[2])/2, (t.xy[1]+t.xy[3])/2, -1)
		if ok && h.Down == (ring.Area(outer[h.Ring]) > 0) {
			return true
		}
	}
	return false
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
