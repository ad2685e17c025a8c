package trace

import (
	"image"
	"math"
	"slices"
)

// A sheetEdge is one side of the sheet as points between pixels.
type sheetEdge struct {
	points []vec2
	across []float64 // where each is across the side
	tried  int
	normal vec2 // toward the sheet
}

// sideEdge finds the sheet's edge along the stretch from a to b. A sheet is
// lighter than the table or than the shadow that it throws on it; only where
// such an edge cannot be seen, one that is darker counts.
func sideEdge(g *image.Gray, a, b, inside vec2, reach float64) *sheetEdge {
	e := edgePoints(g, a, b, inside, reach, 1)
	if v := e.smooth(); v < clearlySeen {
		if dark := edgePoints(g, a, b, inside, reach, -1); v < 0.6*dark.smooth() {
			return dark
		}
	}
	return e
}

// smooth is the share of the places tried where there is an edge, next to where
// it is at their neighbours. A lens may bend it.
func (e *sheetEdge) smooth() float64 {
	const side, near = 3, 1 // neighbours, pixels
	var window [2*side + 1]float64
	n := 0
	for i := side; i < len(e.across)-side; i++ {
		copy(window[:], e.across[i-side:])
		slices.Sort(window[:])
		if math.Abs(e.across[i]-window[side]) <= near {
			n++
		}
	}
	return float64(n) / float64(max(e.tried, 1))
}

// edgePoints looks across the stretch from a to b, in pixels of g, for the
// place where the sheet begins. sign is 1 when it is the lighter side, -1 when
// it is the darker; reach is how far to look.
func edgePoints(g *image.Gray, a, b, inside vec2, reach, sign float64) *sheetEdge {
	along := b.sub(a)
	length := along.norm()
	along = along.mul(1 / length)
	e := &sheetEdge{normal: vec2{-along.y, along.x}}
	if e.normal.dot(inside.sub(a)) < 0 {
		e.normal = e.normal.mul(-1)
	}
	const stripes = 240 // across one side; each is a mean of up to 7 pixels along it
	n := int(reach)
	profile := make([]float64, 2*n+1)
	for i := range stripes {
		f := (float64(i) + 0.5) / stripes
		if f < 0.02 || f > 0.98 { // corners are round or folded
			continue
		}
		e.tried++
		foot := a.add(along.mul(f * length))
		for k := range profile {
			profile[k] = 0
			for d := -3.0; d <= 3; d++ {
				profile[k] += lightAt(g, foot.add(e.normal.mul(sign*float64(k-n))).add(along.mul(d))) / 7
			}
		}
		if at, ok := stepIn(profile); ok {
			d := sign * (at - float64(n))
			e.points, e.across = append(e.points, foot.add(e.normal.mul(d))), append(e.across, d)
		}
	}
	return e
}

// lightAt interpolates light linearly.
func lightAt(g *image.Gray, p vec2) float64 {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	x, y := min(max(p.x-0.5, 0), float64(w-1)), min(max(p.y-0.5, 0), float64(h-1))
	i, j := min(int(x), w-2), min(int(y), h-2)
	fx, fy := x-float64(i), y-float64(j)
	r0, r1 := g.Pix[j*g.Stride+i:], g.Pix[(j+1)*g.Stride+i:]
	top := float64(linear[r0[0]])*(1-fx) + float64(linear[r0[1]])*fx
	bottom := float64(linear[r1[0]])*(1-fx) + float64(linear[r1[1]])*fx
	return top*(1-fy) + bottom*fy
}

// leastStep is how much darker than its bright side, as a share, the dark side
// of an edge must be to stand out from noise.
const leastStep = 0.02

// stepIn finds the steepest rise of a profile: there an edge is, whatever its
// blur, and whether or not a shadow fades away from it. It says where, between
// the values.
func stepIn(p []float64) (at float64, ok bool) {
	const side = 3 // pixels that a blurred edge needs to reach its levels
	best, k := 0.0, -1
	for i := side + 1; i < len(p)-side-1; i++ {
		if d := p[i+1] - p[i-1]; d > best {
			best, k = d, i
		}
	}
	if k < 0 {
		return 0, false
	}
	low := min(meanOf(p[max(k-2*side, 0):k-side+1]), meanOf(p[k-side:k]))
	high := meanOf(p[k+side : min(k+2*side+1, len(p))])
	if high-low < leastStep*high || high <= 0 {
		return 0, false
	}
	// Through the three steepest, a parabola.
	a, b, c := p[k]-p[k-2], p[k+1]-p[k-1], p[k+2]-p[k]
	if d := a - 2*b + c; d < 0 {
		return float64(k) + (a-c)/(2*d), true
	}
	return float64(k), true
}

func meanOf(v []float64) (m float64) {
	for _, x := range v {
		m += x / float64(len(v))
	}
	return m
}

// fitLine fits by total least squares, then drops what lies far off by the
// spread of the rest, until that settles. It returns the points kept and their
// root mean square distance.
func fitLine(points []vec2, normal vec2) (l edgeLine, kept []vec2, rms float64) {
	if len(points) < 8 {
		return l, nil, math.Inf(1)
	}
	l = bestPairLine(points, normal)
	kept = within(points, l, 3)
	for range 6 {
		if len(kept) < 8 {
			return l, nil, math.Inf(1)
		}
		var m vec2
		for _, p := range kept {
			m = m.add(p)
		}
		m = m.mul(1 / float64(len(kept)))
		var a, b, c float64
		for _, p := range kept {
			d := p.sub(m)
			a, b, c = a+d.x*d.x, b+d.x*d.y, c+d.y*d.y
		}
		angle := math.Atan2(2*b, a-c) / 2
		l.normal = vec2{-math.Sin(angle), math.Cos(angle)}
		if l.normal.dot(normal) < 0 {
			l.normal = l.normal.mul(-1)
		}
		l.offset = l.normal.dot(m)
		d := make([]float64, len(points))
		for i, p := range points {
			d[i] = math.Abs(l.normal.dot(p) - l.offset)
		}
		slices.Sort(d)
		limit := max(0.3, 3*1.4826*d[len(d)/2])
		kept = within(points, l, limit)
	}
	for _, p := range kept {
		d := l.normal.dot(p) - l.offset
		rms += d * d
	}
	return l, kept, math.Sqrt(rms / float64(len(kept)))
}

func within(points []vec2, l edgeLine, limit float64) (in []vec2) {
	for _, p := range points {
		if math.Abs(l.normal.dot(p)-l.offset) <= limit {
			in = append(in, p)
		}
	}
	return in
}

// bestPairLine is the line through two of the points that most others lie near
// (random sample consensus, Fischler and Bolles 1981, with fixed samples).
func bestPairLine(points []vec2, normal vec2) (best edgeLine) {
	most := -1
	n := len(points)
	for i := range 60 {
		a, b := points[i*37%n], points[(i*101+n/2+i/7)%n]
		d := b.sub(a)
		if d.norm() < 1 {
			continue
		}
		l := edgeLine{normal: vec2{-d.y, d.x}.mul(1 / d.norm())}
		if l.normal.dot(normal) < 0 {
			l.normal = l.normal.mul(-1)
		}
		l.offset = l.normal.dot(a)
		count := 0
		for _, p := range points {
			if math.Abs(l.normal.dot(p)-l.offset) <= 1.5 {
				count++
			}
		}
		if count > most {
			best, most = l, count
		}
	}
	return best
}
