package trace

import (
	"cmp"
	"math"
	"slices"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/ring"
)

// evenSpread is the difference of radii, in pixels, that is thought to be
// chance: discs of one size at other places between the pixels come out as
// different as that.
const evenSpread = 0.1

// round is a ring that is a disc or a round hole.
type round struct {
	ring    int
	x, y, r float64
}

// evenRadii gives discs and round holes whose radii differ by no more than
// spread the same radius, the mean of theirs, in place: what was drawn with one
// compass setting or punched with one tool differs by chance alone. A ring is
// round if no node and no middle of a segment is further than off from the
// circle of its area. One that would come near another ring stays as it is.
// It returns the greatest distance by which a node moved.
func evenRadii(mp *geom.MultiPolygon, spread, off float64) (moved float64) {
	rings := ring.Rings(mp)
	var all []round
	for i, r := range rings {
		if c, ok := roundOf(r, off); ok {
			c.ring = i
			all = append(all, c)
		}
	}
	slices.SortStableFunc(all, func(a, b round) int { return cmp.Compare(a.r, b.r) })
	var ix *ring.Index
	for len(all) > 0 {
		n := 1
		sum := all[0].r
		for n < len(all) && all[n].r-all[0].r <= spread {
			sum += all[n].r
			n++
		}
		group := all[:n]
		all = all[n:]
		if n == 1 {
			continue
		}
		if ix == nil {
			ix = ring.NewIndex(rings)
		}
		mean := sum / float64(n)
		for _, c := range group {
			if c.clear(ix, off+2*spread) {
				moved = max(moved, c.resize(rings[c.ring], mean))
			}
		}
	}
	return moved
}

// roundOf says whether a closed ring is round, and gives the centre of its area
// and the radius of a circle as large.
func roundOf(r []float64, off float64) (c round, ok bool) {
	const fewest, smallest = 7, 6 // nodes; radius in parts of off, below which a square is round as well
	n := len(r) - 2
	if n < 2*fewest {
		return c, false
	}
	x, y, area := centre(r[:n])
	if area == 0 {
		return c, false
	}
	c = round{x: x, y: y, r: math.Sqrt(math.Abs(area) / math.Pi)}
	if c.r < smallest*off {
		return c, false
	}
	away := func(x, y float64) bool { return math.Abs(math.Hypot(x-c.x, y-c.y)-c.r) > off }
	for i := 0; i < n; i += 2 {
		if away(r[i], r[i+1]) || away((r[i]+r[i+2])/2, (r[i+1]+r[i+3])/2) {
			return c, false
		}
	}
	return c, true
}

// clear says whether no other ring comes as near as gap to the circle.
func (c round) clear(ix *ring.Index, gap float64) bool {
	box := ring.EmptyBox().Add(c.x-c.r, c.y-c.r).Add(c.x+c.r, c.y+c.r).Grow(gap)
	for _, i := range ix.Tree.Search(box, nil) {
		b := ix.Blocks[i]
		if int(b.Ring) == c.ring {
			continue
		}
		r := ix.Rings[b.Ring]
		for k := 2 * int(b.First); k < 2*int(b.End); k += 2 {
			near := math.Sqrt(segmentDistance2(c.x, c.y, r[k], r[k+1], r[k+2], r[k+3]))
			far := max(math.Hypot(r[k]-c.x, r[k+1]-c.y), math.Hypot(r[k+2]-c.x, r[k+3]-c.y))
			if near < c.r+gap && far > c.r-gap {
				return false
			}
		}
	}
	return true
}

// resize brings the ring to another radius about the circle's centre, and
// returns the greatest distance by which a node moved.
func (c round) resize(r []float64, radius float64) (moved float64) {
	k := radius / c.r
	for i := 0; i < len(r); i += 2 {
		dx, dy := r[i]-c.x, r[i+1]-c.y
		r[i], r[i+1] = c.x+k*dx, c.y+k*dy
		moved = max(moved, math.Abs(k-1)*math.Hypot(dx, dy))
	}
	return moved
}
