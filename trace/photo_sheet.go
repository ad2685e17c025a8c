package trace

import (
	"fmt"
	"math"
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
}

const (
	leastSupport = 0.45 // share of a side that must be seen
	leastArea    = 0.12 // share of the photo that the sheet must fill
	mostMisfit   = 0.06 // see misfitOf
)

// findQuad looks for the four lines that a camera could see as the edges of a
// sheet of size w x h: each well supported along the side that it forms, at
// lengths and angles that fit. Of what fits, the largest that is as well seen
// wins, since a frame drawn on the sheet lies inside it.
func findQuad(m *edgeMap, w, h float64) (best *quad, why string) {
	lines := m.lines()
	// Opposite sides face each other: bright paper is between them, or, on a
	// table lighter than the sheet, outside both.
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
	for i, p := range pairs {
		for _, q := range pairs[i+1:] {
			if math.Abs(p.a.normal.cross(q.a.normal)) < 0.5 || math.Abs(p.b.normal.cross(q.b.normal)) < 0.5 {
				continue
			}
			k, ok := m.quadOf(p.a, q.a, p.b, q.b)
			if !ok {
				continue
			}
			least, sum := 1.0, 0.0
			for s := range 4 {
				v := k.side[s].support(k.corner[s], k.corner[(s+1)%4])
				least, sum = min(least, v), sum+v
			}
			if least < leastSupport {
				continue
			}
			k.misfit, k.turned = misfitOf(k.corner, vec2{float64(m.w) / 2, float64(m.h) / 2}, w, h)
			if k.misfit > mostMisfit {
				if best == nil {
					why = "four edges enclose a shape that is no view of such a sheet"
				}
				continue
			}
			k.score = math.Sqrt(area(k.corner)) * sum / 4 * math.Sqrt(least) * (1 - k.misfit/mostMisfit/4)
			if best == nil || k.score > best.score {
				b := k
				best = &b
			}
		}
	}
	return best, why
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
		for f := 16.0; f <= 120; f *= 1.05 {
			k := f / 43.27
			ax, ay, az := m[0]/k, m[3]/k, m[6]
			bx, by, bz := m[1]/k, m[4]/k, m[7]
			na, nb := math.Sqrt(ax*ax+ay*ay+az*az), math.Sqrt(bx*bx+by*by+bz*bz)
			if e := math.Hypot((ax*bx+ay*by+az*bz)/(na*nb), math.Log(na/nb)); e < misfit {
				misfit, turned = e, i == 1
			}
		}
	}
	return misfit, turned
}
