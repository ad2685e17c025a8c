package proof

import (
	"math"

	"example.org/kerfleaf/internal/ring"
	"example.org/kerfleaf/stencil"
	"github.com/twpayne/go-geom"
)

// narrow finds the places where two edges of a piece of paper come nearer than need through the paper. At the narrowest place of a
// web, neither end of the shortest way across can move along its edge to make it shorter. One of the ends is a corner, and one that juts into the paper:
// from any other, a step along one of its sides goes nearer. So it is enough to look at those corners and the edges around them.
func narrow(p *geom.Polygon, need float64) []stencil.Fault {
	rings := ring.Rings(geom.NewMultiPolygonFlat(geom.XY, p.FlatCoords(), [][]int{p.Ends()}))
	s := newSegments(rings)
	var out []stencil.Fault
	for k, r := range rings {
		for i := 0; i+3 < len(r); i += 2 {
			v, ok := cornerAt(r, i/2)
			if !ok {
				continue
			}
			s.found = s.Tree.Search(ring.EmptyBox().Add(v.x, v.y).Grow(need), s.found[:0])
			for _, id := range s.found {
				b := s.Blocks[id]
				for j := int(b.First); j < int(b.End); j++ {
					if int(b.Ring) == k && v.beside(j, len(r)/2-1) {
						continue
					}
					if x, y, d, ok := v.across(rings[b.Ring], j, need); ok {
						out = append(out, stencil.Fault{Kind: stencil.ThinWeb, At: geom.Coord{(x + v.x) / 2, (y + v.y) / 2}, Width: d, Need: need})
					}
				}
			}
		}
	}
	return out
}

// corner is a corner of a ring that has the paper on its left, with the directions in which the ring comes and goes.
type corner struct {
	i                int
	x, y             float64
	inX, inY, tX, tY float64
}

// cornerAt is corner i of a ring; not ok if it does not jut into the paper.
func cornerAt(r []float64, i int) (c corner, ok bool) {
	n := len(r)/2 - 1
	i %= n
	h := (i + n - 1) % n
	c = corner{i: i, x: r[2*i], y: r[2*i+1]}
	c.inX, c.inY = unit(c.x-r[2*h], c.y-r[2*h+1])
	c.tX, c.tY = unit(r[2*i+2]-c.x, r[2*i+3]-c.y)
	return c, c.inX*c.tY-c.inY*c.tX <= level
}

// level is the sine of an angle that is none: coordinates are rounded.
const level = 1e-6

func unit(x, y float64) (ux, uy float64) {
	l := math.Sqrt(x*x + y*y)
	return x / l, y / l
}

// beside reports whether edge j of the corner's ring, which has n, ends at it.
func (c *corner) beside(j, n int) bool { return j == c.i || (j+1)%n == c.i }

// faces reports whether neither a step back nor a step on along the ring goes nearer to a point that is (dx, dy) away in the paper,
// at the distance d.
func (c *corner) faces(dx, dy, d float64) bool {
	l := level * d
	return c.tX*dx+c.tY*dy <= l && c.inX*dx+c.inY*dy >= -l &&
		(c.inX*dy-c.inY*dx)+(c.tX*dy-c.tY*dx) >= 0
}

// across finds the point of edge j of ring r that is nearest to the corner, if it is nearer than need and faces it.
func (c *corner) across(r []float64, j int, need float64) (x, y, d float64, ok bool) {
	ax, ay, bx, by := r[2*j], r[2*j+1], r[2*j+2], r[2*j+3]
	ex, ey := bx-ax, by-ay
	t := ((c.x-ax)*ex + (c.y-ay)*ey) / (ex*ex + ey*ey)
	end := -1
	switch {
	case t <= 0:
		t, end = 0, j
	case t >= 1:
		t, end = 1, j+1
	}
	x, y = ax+t*ex, ay+t*ey
	dx, dy := x-c.x, y-c.y
	d = dx*dx + dy*dy
	if d >= need*need {
		return 0, 0, 0, false
	}
	if d = math.Sqrt(d); !c.faces(dx, dy, d) {
		return 0, 0, 0, false
	}
	if d == 0 {
		return x, y, 0, true
	}
	if end < 0 {
		return x, y, d, ex*(c.y-ay)-ey*(c.x-ax) > 0
	}
	other, juts := cornerAt(r, end)
	return x, y, d, juts && other.faces(-dx, -dy, d)
}
