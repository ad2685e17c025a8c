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
	least  float64    // smallest share of a side that is seen
	mean   float64    // of the four shares
	misfit float64    // how far from a camera's view of such a sheet
	beyond [4]float64 // see paperBeyond
	score  float64
}

const (
	leastSupport = 0.45 // share of a side that must be seen
	leastArea    = 0.12 // share of the photo that the sheet must fill
	mostMisfit   = 0.06 // see misfitOf
)

// findQuads looks for four lines that a camera could see as the edges of a sheet
// of size w x h: each well supported along the side that it forms, at lengths
// and angles that fit. It returns the likeliest first, and what was missing when
// there is none.
func findQuads(m *edgeMap, w, h float64) (found []quad, why string) {
	lines := m.lines()
	// Opposite sides face each other with bright paper between them.
	type pair struct{ a, b *edgeLine }
	var pairs []pair
	for i := range lines {
		for j := i + 1; j < len(lines); j++ {
			if lines[i].normal.dot(lines[j].normal) < -0.5 { // within 60 degrees of parallel
				pairs = append(pairs, pair{&lines[i], &lines[j]})
			}
		}
	}
	why = "no four straight edges enclose enough of it"
	middle := vec2{float64(m.w) / 2, float64(m.h) / 2}
	for i, p := range pairs {
		for _, q := range pairs[i+1:] {
			if math.Abs(p.a.normal.cross(q.a.normal)) < 0.5 || math.Abs(p.b.normal.cross(q.b.normal)) < 0.5 {
				continue
			}
			k, ok := m.quadOf(p.a, q.a, p.b, q.b)
			if !ok || !k.supported() {
				continue
			}
			if k.misfit, k.turned = misfitOf(k.corner, middle, w, h); k.misfit > mostMisfit {
				why = "four edges enclose a shape that is no view of such a sheet"
				continue
			}
			k.weigh(m, w, h)
			found = append(found, k)
		}
	}
	slices.SortStableFunc(found, func(a, b quad) int { return cmp.Compare(b.score, a.score) })
	return distinct(found), why
}

// mostQuads is how many quads are worth a closer look.
const mostQuads = 8

// distinct drops quads that are almost a better one.
func distinct(quads []quad) (out []quad) {
next:
	for _, k := range quads {
		for _, o := range out {
			far := 0.0
			for i := range k.corner {
				far = max(far, k.corner[i].sub(o.corner[i]).norm())
			}
			if far < 3 {
				continue next
			}
		}
		if out = append(out, k); len(out) == mostQuads {
			break
		}
	}
	return out
}

// supported says whether enough of every side is seen.
func (k *quad) supported() bool {
	k.least, k.mean = 1, 0
	for i, s := range k.side {
		v := s.support(k.corner[i], k.corner[(i+1)%4])
		k.least, k.mean = min(k.least, v), k.mean+v/4
	}
	return k.least >= leastSupport
}

// weigh scores a quad: large, well seen and well fitting is good. A frame drawn
// on the sheet has paper again beyond its sides; the edge of a shadow cuts
// sides that go on beyond it.
func (k *quad) weigh(m *edgeMap, w, h float64) {
	k.score = math.Sqrt(area(k.corner)) * k.mean * math.Sqrt(k.least) * (1 - k.misfit/mostMisfit/4)
	k.beyond = m.paperBeyond(k, w, h)
	for i := range k.side {
		before, after := k.overrun(i+3, i), k.overrun(i+1, i+1)
		k.score *= (1 - k.beyond[i]/2) * (1 - min(before, after)/2)
	}
}

// overrun is how much of side s is seen to go on beyond corner c, its start or
// its end.
func (k *quad) overrun(s, c int) float64 {
	s, c = s%4, c%4
	from, other := k.corner[c], k.corner[(c+1)%4]
	if s != c {
		other = k.corner[(c+3)%4]
	}
	d := from.sub(other)
	length := d.norm()
	d = d.mul(1 / length)
	return k.side[s].support(from.add(d.mul(4)), from.add(d.mul(8+0.01*length)))
}

// paperBeyond says for each side along what share of it something dark and then
// something as light as paper lie within 15 mm beyond it: then it is the inner
// edge of a frame drawn on the sheet, not the sheet's own.
func (m *edgeMap) paperBeyond(k *quad, w, h float64) (share [4]float64) {
	if k.turned {
		w, h = h, w
	}
	toPhoto := homographyFrom(sheetCorners(w, h), k.corner)
	if toPhoto == nil {
		return share
	}
	corners := sheetCorners(w, h)
	const places = 24
	for i, a := range corners {
		b := corners[(i+1)%4]
		along := b.sub(a)
		out := vec2{along.y, -along.x}.mul(1 / along.norm())
		light := func(foot vec2, d float64) float32 {
			p := toPhoto.at(foot.add(out.mul(d)))
			return m.light.at(p.x, p.y)
		}
		for n := range places {
			foot := a.add(along.mul((float64(n) + 0.5) / places))
			paper := max(light(foot, -2), light(foot, -4))
			dark := paper
			for d := 1.0; d <= 15; d++ {
				v := light(foot, d)
				if dark = min(dark, v); dark < 0.8*paper && v > 0.85*paper {
					share[i] += 1.0 / places
					break
				}
			}
		}
	}
	return share
}

// quadOf intersects four lines, given in order round, into a convex quad with
// paper inside.
func (m *edgeMap) quadOf(a, b, c, d *edgeLine) (quad, bool) {
	sides := [4]*edgeLine{a, b, c, d}
	var p [4]vec2 // p[i] between side i and i+1
	for i := range 4 {
		q, ok := meet(sides[i], sides[(i+1)%4])
		if !ok || q.x < -0.05*float64(m.w) || q.x > 1.05*float64(m.w) || q.y < -0.05*float64(m.h) || q.y > 1.05*float64(m.h) {
			return quad{}, false
		}
		p[i] = q
	}
	turn := 0
	for i := range 4 {
		if p[(i+1)%4].sub(p[i]).cross(p[(i+2)%4].sub(p[(i+1)%4])) > 0 {
			turn++
		}
	}
	if turn != 0 && turn != 4 {
		return quad{}, false
	}
	k := quad{}
	for i := range 4 {
		k.corner[i], k.side[i] = p[i], sides[(i+1)%4]
	}
	if turn == 0 { // counter-clockwise: the other way round
		k.corner = [4]vec2{p[3], p[2], p[1], p[0]}
		k.side = [4]*edgeLine{sides[3], sides[2], sides[1], sides[0]}
	}
	if area(k.corner) < leastArea*float64(m.w*m.h) {
		return quad{}, false
	}
	middle := k.middle()
	bright := 0
	for _, s := range k.side {
		if s.normal.dot(middle) > s.offset {
			bright++
		}
	}
	if bright != 4 {
		return quad{}, false
	}
	k.fromTopLeft()
	return k, true
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
