package trace

import (
	"fmt"
	"image"
	"math"
)

// A lens bends straight lines: a point at radius r from the centre is seen at
// r * (1 + k1*r*r), with r in halves of the picture's diagonal (Brown 1966, the
// first radial term). k1 < 0 is a barrel, as most phones have it.
type lens struct {
	centre vec2
	unit   float64 // half of the diagonal, pixels
	k1     float64
}

// bent is where the lens shows the point p of a picture without distortion.
func (l *lens) bent(p vec2) vec2 {
	if l.k1 == 0 {
		return p
	}
	d := p.sub(l.centre)
	f := 1 + l.k1*d.dot(d)/(l.unit*l.unit)
	return l.centre.add(d.mul(f))
}

// straight undoes bent, to a thousandth of a pixel and better for any lens that
// takes pictures.
func (l *lens) straight(p vec2) vec2 {
	if l.k1 == 0 {
		return p
	}
	q := p
	for range 20 {
		d := q.sub(l.centre)
		q = l.centre.add(p.sub(l.centre).mul(1 / (1 + l.k1*d.dot(d)/(l.unit*l.unit))))
	}
	return q
}

// straightened applies straight to all points.
func (l *lens) straightened(points []vec2) []vec2 {
	out := make([]vec2, len(points))
	for i, p := range points {
		out[i] = l.straight(p)
	}
	return out
}

// seeLens measures the lens on the edges of the sheet, and says what it saw.
func seeLens(r image.Rectangle, edges [4]*sheetEdge, use Choice) (*lens, string) {
	half := vec2{float64(r.Dx()), float64(r.Dy())}.mul(0.5)
	l := &lens{centre: half, unit: half.norm()}
	if use == Off {
		return l, "as asked"
	}
	k1, before, after := straightest(edges, *l)
	if use == Auto && before-after < 0.1 {
		return l, fmt.Sprintf("the sheet's edges are straight within %.2f pixels", before)
	}
	l.k1 = k1
	return l, fmt.Sprintf("with k1 = %.4f the sheet's edges are straight within %.2f pixels, without %.2f", k1, after, before)
}

// straightest finds the k1 under which the points of all edges lie nearest to
// straight lines, and how near on average without and with it, in pixels.
func straightest(edges [4]*sheetEdge, l lens) (k1, before, after float64) {
	n := 0
	for _, e := range edges {
		n += len(e.points)
	}
	off := func(k float64) (sum float64) {
		l.k1 = k
		for _, e := range edges {
			points := l.straightened(e.points)
			line, kept, _ := fitLine(points, e.normal)
			if kept == nil {
				sum += 3 * float64(len(points))
				continue
			}
			for _, q := range points {
				sum += min(math.Abs(line.normal.dot(q)-line.offset), 3) // no outlier may rule
			}
		}
		return sum / float64(max(n, 1))
	}
	const reach, first = 0.1, 0.02
	before = off(0)
	after = before
	for k := -reach; k <= reach+first/2; k += first {
		if s := off(k); s < after {
			k1, after = k, s
		}
	}
	for step := first / 2; step > 2e-5; step /= 2 {
		for _, k := range []float64{k1 - step, k1 + step} {
			if s := off(k); s < after {
				k1, after = k, s
			}
		}
	}
	return k1, before, after
}
