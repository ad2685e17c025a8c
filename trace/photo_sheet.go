package trace

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// A SheetError says that no sheet of the stated size could be found in a photo
// with confidence. The caller can give its corners instead.
type SheetError struct {
	Width, Height float64       // of the sheet looked for, mm
	Why           string        // what was missing
	Best          [4][2]float64 // the best guess at its corners in pixels, or zeros
}

func (e *SheetError) Error() string {
	return fmt.Sprintf("trace: no sheet of %g x %g mm found in the photo: %s; give its four corners", e.Width, e.Height, e.Why)
}

// A quad is four corners in order round the sheet, clockwise as seen, from the
// one that is top left in the photo. turned tells that its first side is the
// sheet's height.
type quad struct {
	corner [4]vec2
	side   [4]*edgeLine // side[i] runs from corner[i] to corner[i+1]
	turned bool
	misfit float64 // how far from a camera's view of such a sheet
	score  float64
	around surround
}

const (
	leastSupport = 0.45 // share of a side that must be seen
	leastArea    = 0.12 // share of the photo that the sheet must fill
	mostMisfit   = 0.06 // see misfitOf
	beyondPhoto  = 0.05 // how far outside the photo a corner may be, as a share of its sides

	mostShapes = 600 // quads whose shape is looked at
	mostPlaces = 60  // quads round which the light is looked at
	mostQuads  = 10  // quads worth a closer look
)

// findQuads looks for four lines that a camera could see as the edges of a sheet
// of size w x h: each well supported along the side that it forms, at lengths
// and angles that fit, with paper inside and no paper outside. It returns the
// likeliest first, and what was missing when there is none.
func findQuads(m *edgeMap, w, h float64) (found []*quad, why string) {
	found = m.quads()
	best(&found, mostShapes)
	if why = "no four straight edges enclose enough of it"; len(found) == 0 {
		return nil, why
	}
	middle := vec2{float64(m.w) / 2, float64(m.h) / 2}
	fits := found[:0]
	for _, k := range found {
		if k.misfit, k.turned = misfitOf(k.corner, middle, w, h); k.misfit <= mostMisfit {
			k.score *= 1 - k.misfit/mostMisfit/4
			fits = append(fits, k)
		}
	}
	best(&fits, mostPlaces)
	if why = "four edges enclose a shape that is no view of such a sheet"; len(fits) == 0 {
		return nil, why
	}
	found = fits[:0]
	for _, k := range fits {
		k.around = m.around(k, w, h)
		if against := k.around.against(); against != "" {
			why = against
			continue
		}
		k.score *= k.around.weight()
		found = append(found, k)
	}
	best(&found, len(found))
	return distinct(found), why
}

// best keeps the n quads of the highest score, in order.
func best(quads *[]*quad, n int) {
	slices.SortStableFunc(*quads, func(a, b *quad) int { return cmp.Compare(b.score, a.score) })
	*quads = (*quads)[:min(n, len(*quads))]
}

// quads puts lines together, two that could be opposite sides and two across.
func (m *edgeMap) quads() (found []*quad) {
	lines := m.lines()
	type corner struct {
		at vec2
		ok bool
	}
	between := make([][]corner, len(lines)) // two lines, where a corner can be there
	fw, fh := float64(m.w), float64(m.h)
	for i := range between {
		between[i] = make([]corner, len(lines))
		for j := range lines {
			q, ok := meet(&lines[i], &lines[j])
			ok = ok && q.x > -beyondPhoto*fw && q.x < (1+beyondPhoto)*fw && q.y > -beyondPhoto*fh && q.y < (1+beyondPhoto)*fh
			between[i][j] = corner{q, ok}
		}
	}
	var across []int
	for i := range lines {
		for j := i + 1; j < len(lines); j++ {
			if math.Abs(lines[i].normal.dot(lines[j].normal)) < 0.5 { // more than 60 degrees from parallel
				continue
			}
			across = across[:0]
			for k := range lines {
				p, q := &between[i][k], &between[j][k]
				if p.ok && q.ok && lines[k].support(p.at, q.at) >= leastSupport {
					across = append(across, k)
				}
			}
			for n, k := range across {
				for _, l := range across[n+1:] {
					if i > k { // seen from the other two
						continue
					}
					a, b, c, d := between[i][k].at, between[j][k].at, between[j][l].at, between[i][l].at
					if lines[i].support(a, d) < leastSupport || lines[j].support(b, c) < leastSupport {
						continue
					}
					if q, ok := m.quadOf([4]vec2{a, b, c, d}, [4]*edgeLine{&lines[k], &lines[j], &lines[l], &lines[i]}); ok {
						found = append(found, q)
					}
				}
			}
		}
	}
	return found
}

// distinct drops quads that are almost a better one.
func distinct(quads []*quad) (out []*quad) {
next:
	for _, k := range quads {
		for _, o := range out {
			if cornersApart(k.corner, o.corner) < 3 {
				continue next
			}
		}
		if out = append(out, k); len(out) == mostQuads {
			break
		}
	}
	return out
}

// cornersApart is the largest distance of a corner from its fellow.
func cornersApart(a, b [4]vec2) (far float64) {
	for i := range a {
		far = max(far, a[i].sub(b[i]).norm())
	}
	return far
}

// quadOf orders four corners, given in order round with side i between corner i
// and i+1, if they are a convex quad of some size.
func (m *edgeMap) quadOf(p [4]vec2, side [4]*edgeLine) (*quad, bool) {
	turn := 0
	for i := range 4 {
		if p[(i+1)%4].sub(p[i]).cross(p[(i+2)%4].sub(p[(i+1)%4])) > 0 {
			turn++
		}
	}
	if turn != 0 && turn != 4 || area(p) < leastArea*float64(m.w*m.h) {
		return nil, false
	}
	k := &quad{corner: p, side: side}
	if turn == 0 { // counter-clockwise: the other way round
		k.corner = [4]vec2{p[3], p[2], p[1], p[0]}
		k.side = [4]*edgeLine{side[2], side[1], side[0], side[3]}
	}
	k.fromTopLeft()
	k.score = k.seen()
	return k, true
}

// seen scores how well a quad is seen: large and seen all along is good, most of
// all at its corners; sides that go on beyond a corner, as those that the edge
// of a shadow cuts, are not.
func (k *quad) seen() float64 {
	least, mean, ends := 1.0, 0.0, 1.0
	for i, s := range k.side {
		a, b := k.corner[i], k.corner[(i+1)%4]
		v := s.support(a, b)
		least, mean = min(least, v), mean+v/4
		d := b.sub(a)
		u := d.mul(1 / d.norm())
		near, past := d.mul(0.12), 8+0.01*d.norm()
		ends *= 0.7 + 0.3*s.support(a, a.add(near))
		ends *= 0.7 + 0.3*s.support(b.sub(near), b)
		ends *= 1 - s.support(a.sub(u.mul(past)), a.sub(u.mul(4)))/4
		ends *= 1 - s.support(b.add(u.mul(4)), b.add(u.mul(past)))/4
	}
	return math.Sqrt(area(k.corner)*least) * mean * ends
}

// fromTopLeft turns the numbering so that the first corner is the one nearest
// the photo's top left, by the direction from the middle.
func (k *quad) fromTopLeft() {
	middle := k.middle()
	first, least := 0, math.Inf(1)
	for i, c := range k.corner {
		if d := c.sub(middle); (d.x+d.y)/d.norm() < least {
			first, least = i, (d.x+d.y)/d.norm()
		}
	}
	was := *k
	for i := range 4 {
		k.corner[i], k.side[i] = was.corner[(first+i)%4], was.side[(first+i)%4]
	}
}

func (k *quad) middle() vec2 {
	return k.corner[0].add(k.corner[1]).add(k.corner[2]).add(k.corner[3]).mul(0.25)
}

func meet(a, b *edgeLine) (vec2, bool) {
	det := a.normal.cross(b.normal)
	if math.Abs(det) < 0.2 {
		return vec2{}, false
	}
	return vec2{(a.offset*b.normal.y - b.offset*a.normal.y) / det, (b.offset*a.normal.x - a.offset*b.normal.x) / det}, true
}

func area(c [4]vec2) float64 {
	return math.Abs(c[2].sub(c[0]).cross(c[3].sub(c[1]))) / 2
}

// sheetCorners are the corners of a sheet in mm, in the order of a quad.
func sheetCorners(w, h float64) [4]vec2 { return [4]vec2{{0, 0}, {w, 0}, {w, h}, {0, h}} }

// misfitOf says how far four corners are from what a camera with square pixels
// and its axis at the middle of the photo sees of a w x h sheet: the cosine
// between the sheet's two directions, and the logarithm of the ratio of their
// units, both of which would be 0 (Zhang 2000, A Flexible New Technique for
// Camera Calibration, 3.1), at the focal length that suits best, and with the
// sheet standing or lying, whichever suits better. Focal lengths are those
// from a wide phone to a long lens: 16 to 120 mm on a 36 x 24 mm frame.
func misfitOf(corner [4]vec2, middle vec2, w, h float64) (misfit float64, turned bool) {
	misfit = math.Inf(1)
	diag := 2 * middle.norm()
	var best float64
	var centred [4]vec2
	for i, c := range corner {
		centred[i] = c.sub(middle).mul(1 / diag)
	}
	for i := range 2 {
		if i == 1 {
			w, h = h, w
		}
		m := homographyFrom(sheetCorners(w, h), centred)
		if m == nil {
			continue
		}
		try := func(f float64) {
			k := f / 43.27
			ax, ay, az := m[0]/k, m[3]/k, m[6]
			bx, by, bz := m[1]/k, m[4]/k, m[7]
			na, nb := math.Sqrt(ax*ax+ay*ay+az*az), math.Sqrt(bx*bx+by*by+bz*bz)
			if e := math.Hypot((ax*bx+ay*by+az*bz)/(na*nb), math.Log(na/nb)); e < misfit {
				misfit, turned, best = e, i == 1, f
			}
		}
		best = 0
		for f := 16.0; f <= 120; f *= 1.06 {
			try(f)
		}
		for k := -8; best > 0 && k <= 8; k++ {
			try(best * (1 + 0.0075*float64(k)))
		}
	}
	return misfit, turned
}
