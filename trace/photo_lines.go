package trace

import (
	"cmp"
	"math"
	"slices"
)

// An edgeMap is the light's gradient in a small picture, thinned to ridges.
type edgeMap struct {
	w, h   int
	step   float64   // pixels of the photo to a cell
	light  *field    // lightness, 0 to 1, softened; its step is a cell
	gx, gy []float32 // toward the brighter side; zero off the ridges
}

// findSide is the most cells that the long side of an edge map has: enough to
// tell a sheet's edge from a parallel one 3 mm away, few enough to be quick.
const findSide = 640

// edgesOf finds ridges of the gradient of lightness, which sees an edge in
// shadow as well as one in the light: the cube root of light (as in CIE 1976).
func edgesOf(c *field) *edgeMap {
	n := (max(c.w, c.h) + findSide - 1) / findSide
	w, h := c.w/n, c.h/n
	m := &edgeMap{w: w, h: h, step: c.step * float64(n), gx: make([]float32, w*h), gy: make([]float32, w*h)}
	light := newField(w, h, 1)
	for y := range h {
		for x := range w {
			var sum float32
			for j := range n {
				for i := range n {
					sum += c.v[(y*n+j)*c.w+x*n+i]
				}
			}
			light.v[y*w+x] = float32(math.Cbrt(float64(sum) / float64(n*n)))
		}
	}
	m.light = light.softened(1)
	light = light.softened(4)
	dx, dy, mag := make([]float32, w*h), make([]float32, w*h), make([]float32, w*h)
	for y := 1; y < h-1; y++ {
		for x := 1; x < w-1; x++ {
			i := y*w + x
			v := light.v
			dx[i], dy[i] = (v[i+1]-v[i-1])/2, (v[i+w]-v[i-w])/2
			mag[i] = float32(math.Hypot(float64(dx[i]), float64(dy[i])))
		}
	}
	least := leastGradient(mag)
	for y := 1; y < h-1; y++ {
		for x := 1; x < w-1; x++ {
			i := y*w + x
			if mag[i] < least {
				continue
			}
			across := 1
			if math.Abs(float64(dy[i])) > math.Abs(float64(dx[i])) {
				across = w
			}
			if mag[i] >= mag[i-across] && mag[i] > mag[i+across] {
				m.gx[i], m.gy[i] = dx[i], dy[i]
			}
		}
	}
	return m
}

// leastGradient is the step of lightness from cell to cell above which a ridge
// counts: what most cells have from noise, grain and uneven light. The faint
// shadow along a white sheet on a white table comes to twice that.
func leastGradient(mag []float32) float32 {
	var some []float32
	for i := 0; i < len(mag); i += 37 {
		some = append(some, mag[i])
	}
	slices.Sort(some)
	return min(max(some[len(some)/2], 0.0008), 0.005)
}

// An edgeLine is a straight edge in an edge map: the points p with
// normal.dot(p) = offset, brighter on the side that the normal points to.
type edgeLine struct {
	normal vec2
	offset float64
	votes  float64
	hits   []int // hits[i] is how many of the first i cells along it have an edge
	start  float64
}

const (
	lineAngles  = 360 // directions, all round, as bright and dark differ
	sectors     = 12  // of directions, each with room for so many lines, so that
	sectorLines = 14  // the grain of a table does not crowd out the sheet
)

// lines finds the straightest and longest edges (Hough transform; Duda and Hart
// 1972), each ridge voting only near its own direction.
func (m *edgeMap) lines() []edgeLine {
	half := int(math.Hypot(float64(m.w), float64(m.h))/2) + 2
	size := 2*half + 1
	votes := make([]float32, lineAngles*size)
	var normals [lineAngles]vec2
	for a := range normals {
		s, c := math.Sincos(2 * math.Pi * float64(a) / lineAngles)
		normals[a] = vec2{c, s}
	}
	mid := vec2{float64(m.w) / 2, float64(m.h) / 2}
	m.each(func(p, g vec2) {
		mag := g.norm()
		weight := float32(min(1, mag/0.002)) // a strong edge counts no more than a faint one: a sheet may be faint
		a := int(math.Round(math.Atan2(g.y, g.x) / (2 * math.Pi) * lineAngles))
		q := p.sub(mid)
		for d := -6; d <= 6; d++ {
			k := (a + d + lineAngles) % lineAngles
			o := int(math.Round(normals[k].dot(q))) + half
			votes[k*size+o] += weight
		}
	})
	type peak struct {
		k, o int
		v    float32
	}
	var peaks []peak
	least := float32(0.08 * float64(min(m.w, m.h)))
	for k := range lineAngles {
		for o := 1; o < size-1; o++ {
			v := votes[k*size+o] + votes[k*size+o-1]/2 + votes[k*size+o+1]/2
			if v >= least {
				peaks = append(peaks, peak{k, o, v})
			}
		}
	}
	slices.SortFunc(peaks, func(a, b peak) int {
		return cmp.Or(-cmp.Compare(a.v, b.v), cmp.Compare(a.k, b.k), cmp.Compare(a.o, b.o))
	})
	var out []edgeLine
	var room [sectors]int
	for i := range room {
		room[i] = sectorLines
	}
next:
	for _, p := range peaks {
		sector := p.k * sectors / lineAngles
		if room[sector] == 0 {
			continue
		}
		l := edgeLine{normal: normals[p.k], votes: float64(p.v)}
		l.offset = float64(p.o-half) + l.normal.dot(mid)
		l = m.settle(l)
		for _, o := range out {
			if o.normal.dot(l.normal) > 0.9994 && math.Abs(o.offsetAt(mid)-l.offsetAt(mid)) < 2 { // 2 degrees
				continue next
			}
		}
		out = append(out, l)
		room[sector]--
	}
	m.index(out)
	return out
}

func (l *edgeLine) offsetAt(p vec2) float64 { return l.offset - l.normal.dot(p) }

func (m *edgeMap) each(f func(p, g vec2)) {
	for y := range m.h {
		for x := range m.w {
			if i := y*m.w + x; m.gx[i] != 0 || m.gy[i] != 0 {
				f(vec2{float64(x) + 0.5, float64(y) + 0.5}, vec2{float64(m.gx[i]), float64(m.gy[i])})
			}
		}
	}
}

// near calls f with the ridges within d cells of l that face as it does.
func (m *edgeMap) near(l *edgeLine, d int, f func(p, g vec2)) {
	along := vec2{-l.normal.y, l.normal.x}
	foot := l.normal.mul(l.offset)
	reach := float64(m.w + m.h)
	for t := -reach; t <= reach; t++ {
		q := foot.add(along.mul(t))
		if q.x < -3 || q.y < -3 || q.x > float64(m.w)+3 || q.y > float64(m.h)+3 {
			continue
		}
		for k := -d; k <= d; k++ {
			p := q.add(l.normal.mul(float64(k)))
			x, y := int(math.Floor(p.x)), int(math.Floor(p.y))
			if x < 0 || y < 0 || x >= m.w || y >= m.h {
				continue
			}
			i := y*m.w + x
			g := vec2{float64(m.gx[i]), float64(m.gy[i])}
			if n := g.norm(); n > 0 && g.dot(l.normal) > 0.9*n {
				f(vec2{float64(x) + 0.5, float64(y) + 0.5}, g)
			}
		}
	}
}

// settle fits l again to the ridges beside it.
func (m *edgeMap) settle(l edgeLine) edgeLine {
	for _, d := range []int{2, 1} {
		var n, sx, sy, sxx, sxy, syy float64
		m.near(&l, d, func(p, g vec2) {
			n++
			sx, sy = sx+p.x, sy+p.y
			sxx, sxy, syy = sxx+p.x*p.x, sxy+p.x*p.y, syy+p.y*p.y
		})
		if n < 8 {
			return l
		}
		mx, my := sx/n, sy/n
		a, b, c := sxx/n-mx*mx, sxy/n-mx*my, syy/n-my*my
		angle := math.Atan2(2*b, a-c) / 2 // of the line
		normal := vec2{-math.Sin(angle), math.Cos(angle)}
		if normal.dot(l.normal) < 0 {
			normal = normal.mul(-1)
		}
		if normal.dot(l.normal) < 0.9962 { // 5 degrees
			return l
		}
		l.normal, l.offset = normal, normal.dot(vec2{mx, my})
	}
	return l
}

// index prepares each line to say how much of a stretch has an edge.
func (m *edgeMap) index(lines []edgeLine) {
	reach := m.w + m.h
	for i := range lines {
		l := &lines[i]
		along := vec2{-l.normal.y, l.normal.x}
		seen := make([]bool, 2*reach+1)
		m.near(l, 2, func(p, g vec2) {
			if t := int(math.Floor(along.dot(p))) + reach; t >= 1 && t < len(seen)-1 {
				seen[t-1], seen[t], seen[t+1] = true, true, true
			}
		})
		l.start = -float64(reach)
		l.hits = make([]int, len(seen)+1)
		for t, s := range seen {
			l.hits[t+1] = l.hits[t]
			if s {
				l.hits[t+1]++
			}
		}
	}
}

// support is the share of the stretch from a to b that has an edge.
func (l *edgeLine) support(a, b vec2) float64 {
	along := vec2{-l.normal.y, l.normal.x}
	s, e := along.dot(a)-l.start, along.dot(b)-l.start
	if s > e {
		s, e = e, s
	}
	i, j := min(max(int(s), 0), len(l.hits)-1), min(max(int(e), 0), len(l.hits)-1)
	if e-s < 1 {
		return 0
	}
	return float64(l.hits[j]-l.hits[i]) / (e - s)
}
