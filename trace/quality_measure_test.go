package trace

import "math"

// quality is how near an outline comes to the truth: lengths in pixels, angles in degrees.
type quality struct {
	rms, worst  float64 // distance, both ways; worst only where ink and paper are wider than 1.5 px
	shift       float64 // mean distance outward, from the truth to ours
	noise       float64 // RMS angle between our direction and the true one, away from corners
	nodes       float64 // our nodes by those of Douglas and Peucker's line through the truth at 0.5 px
	corners     int     // true turns of more than 30 degrees with nothing sharp within 3 px
	kept        int     // of these, where ours turns by half as much at one node within 2 px
	area        float64 // ours by the true one, less 1
	perimeter   float64 // likewise
	sameNesting bool    // as many shells and holes as the truth
	crossing    bool    // any two of our edges cross
}

// segments is a set of segments that answers what is nearest, from a grid of cells 4 px wide.
type segments struct {
	a, b  []oraclePoint
	cells map[[2]int][]int
}

func newSegments(rings [][]oraclePoint) *segments {
	s := &segments{cells: map[[2]int][]int{}}
	for _, r := range rings {
		for i, p := range r {
			q := r[(i+1)%len(r)]
			k := len(s.a)
			s.a, s.b = append(s.a, p), append(s.b, q)
			for y := cell(min(p.y, q.y)); y <= cell(max(p.y, q.y)); y++ {
				for x := cell(min(p.x, q.x)); x <= cell(max(p.x, q.x)); x++ {
					s.cells[[2]int{x, y}] = append(s.cells[[2]int{x, y}], k)
				}
			}
		}
	}
	return s
}

func cell(v float64) int { return int(math.Floor(v / 4)) }

// nearest gives the nearest segment's number and the point on it.
func (s *segments) nearest(p oraclePoint) (k int, at oraclePoint) {
	best, k := math.Inf(1), -1
	for reach := 1; reach < 1000; reach++ {
		for y := cell(p.y) - reach; y <= cell(p.y)+reach; y++ {
			for x := cell(p.x) - reach; x <= cell(p.x)+reach; x++ {
				if reach > 1 && max(abs(x-cell(p.x)), abs(y-cell(p.y))) < reach {
					continue
				}
				for _, i := range s.cells[[2]int{x, y}] {
					q := nearestOn(p, s.a[i], s.b[i])
					if d := math.Hypot(q.x-p.x, q.y-p.y); d < best {
						best, k, at = d, i, q
					}
				}
			}
		}
		if best <= 4*float64(reach) {
			break
		}
	}
	return k, at
}

func abs(i int) int { return max(i, -i) }

func nearestOn(p, a, b oraclePoint) oraclePoint {
	dx, dy := b.x-a.x, b.y-a.y
	t := ((p.x-a.x)*dx + (p.y-a.y)*dy) / (dx*dx + dy*dy)
	if !(t > 0) {
		return a
	}
	if t > 1 {
		return b
	}
	return oraclePoint{a.x + t*dx, a.y + t*dy}
}

// hit says whether the segment from p to q meets any but the segment numbered skip.
func (s *segments) hit(p, q oraclePoint, skip int) bool {
	for y := cell(min(p.y, q.y)); y <= cell(max(p.y, q.y)); y++ {
		for x := cell(min(p.x, q.x)); x <= cell(max(p.x, q.x)); x++ {
			for _, i := range s.cells[[2]int{x, y}] {
				if i != skip && crosses(p, q, s.a[i], s.b[i]) {
					return true
				}
			}
		}
	}
	return false
}

func side(a, b, p oraclePoint) float64 { return (b.x-a.x)*(p.y-a.y) - (b.y-a.y)*(p.x-a.x) }

func crosses(a, b, c, d oraclePoint) bool {
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}

// walk calls f at points every 0.25 px along the rings, in the middle of each step, with the number of the segment.
func walk(rings [][]oraclePoint, f func(k int, p, dir oraclePoint, step float64)) {
	k := 0
	for _, r := range rings {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			l := math.Hypot(b.x-a.x, b.y-a.y)
			n := math.Ceil(l / 0.25)
			for j := range int(n) {
				t := (float64(j) + 0.5) / n
				f(k, oraclePoint{a.x + t*(b.x-a.x), a.y + t*(b.y-a.y)}, oraclePoint{(b.x - a.x) / l, (b.y - a.y) / l}, l/n)
			}
			k++
		}
	}
}

// turns gives every point where the rings turn by more than the angle, with the turn, degrees.
func turns(rings [][]oraclePoint, angle float64) (at []oraclePoint, turn []float64) {
	for _, r := range rings {
		for i, b := range r {
			a, c := r[(i+len(r)-1)%len(r)], r[(i+1)%len(r)]
			t := math.Atan2(side(a, b, c), (b.x-a.x)*(c.x-b.x)+(b.y-a.y)*(c.y-b.y)) * 180 / math.Pi
			if math.Abs(t) > angle {
				at, turn = append(at, b), append(turn, t)
			}
		}
	}
	return at, turn
}

func countNear(p oraclePoint, set []oraclePoint, reach float64) (found int) {
	for _, q := range set {
		if math.Hypot(p.x-q.x, p.y-q.y) <= reach {
			found++
		}
	}
	return found
}

func areaAndLength(rings [][]oraclePoint) (area, length float64) {
	for _, r := range rings {
		area += oracleArea(r)
		for i, a := range r {
			b := r[(i+1)%len(r)]
			length += math.Hypot(b.x-a.x, b.y-a.y)
		}
	}
	return area, length
}

// clockwise turns all rings round where the whole is wound the other way, so that shells have positive area.
func clockwise(rings [][]oraclePoint) [][]oraclePoint {
	if area, _ := areaAndLength(rings); area > 0 {
		return rings
	}
	var out [][]oraclePoint
	for _, r := range rings {
		var back []oraclePoint
		for i := range r {
			back = append(back, r[len(r)-1-i])
		}
		out = append(out, back)
	}
	return out
}

// measure compares our rings with the true ones, both open and in pixels.
func measure(got linework, exact [][]oraclePoint) quality {
	var q quality
	ours := got.rings
	exact = clockwise(exact)
	true_, mine := newSegments(exact), newSegments(ours)
	sharp, turn := turns(exact, 30)

	// A place is thin where another piece of the true outline lies within 1.5 px straight through the ink or the paper.
	thin := func(k int, p oraclePoint) bool {
		a, b := true_.a[k], true_.b[k]
		l := math.Hypot(b.x-a.x, b.y-a.y)
		nx, ny := 1.5*(b.y-a.y)/l, -1.5*(b.x-a.x)/l
		return true_.hit(p, oraclePoint{p.x + nx, p.y + ny}, k) || true_.hit(p, oraclePoint{p.x - nx, p.y - ny}, k)
	}
	var squares, total, shift, trueTotal, angles, angleTotal float64
	walk(exact, func(k int, p, dir oraclePoint, step float64) {
		_, o := mine.nearest(p)
		d := math.Hypot(o.x-p.x, o.y-p.y)
		squares, total = squares+d*d*step, total+step
		// Inside lies on the right as one goes, so outward is the left: (dir.y, -dir.x).
		shift, trueTotal = shift+((o.x-p.x)*dir.y-(o.y-p.y)*dir.x)*step, trueTotal+step
		if d > q.worst && !thin(k, p) {
			q.worst = d
		}
	})
	walk(ours, func(_ int, p, dir oraclePoint, step float64) {
		k, o := true_.nearest(p)
		d := math.Hypot(o.x-p.x, o.y-p.y)
		squares, total = squares+d*d*step, total+step
		if d > q.worst && !thin(k, o) {
			q.worst = d
		}
		if countNear(o, sharp, 3) == 0 {
			a, b := true_.a[k], true_.b[k]
			t := math.Atan2(dir.y*(b.x-a.x)-dir.x*(b.y-a.y), dir.x*(b.x-a.x)+dir.y*(b.y-a.y)) * 180 / math.Pi
			angles, angleTotal = angles+t*t*step, angleTotal+step
		}
	})
	q.rms, q.shift = math.Sqrt(squares/total), shift/trueTotal
	if angleTotal > 0 {
		q.noise = math.Sqrt(angles / angleTotal)
	}
	plain := 0
	for _, r := range exact {
		plain += len(douglasPeucker(r, 0.5))
	}
	q.nodes = float64(got.nodes) / float64(plain)

	at, mineTurn := turns(ours, 15)
	for i, p := range sharp {
		if countNear(p, sharp, 3) > 1 {
			continue
		}
		q.corners++
		for j, o := range at {
			if math.Hypot(o.x-p.x, o.y-p.y) <= 2 && mineTurn[j]/turn[i] >= 0.5 {
				q.kept++
				break
			}
		}
	}
	a, l := areaAndLength(ours)
	ta, tl := areaAndLength(exact)
	q.area, q.perimeter = a/ta-1, l/tl-1
	q.sameNesting = shells(ours) == shells(exact) && len(ours) == len(exact)
	q.crossing = anyCross(mine)
	return q
}

func shells(rings [][]oraclePoint) (n int) {
	for _, r := range rings {
		if oracleArea(r) > 0 {
			n++
		}
	}
	return n
}

func anyCross(s *segments) bool {
	for i := range s.a {
		if s.hit(s.a[i], s.b[i], i) {
			return true
		}
	}
	return false
}

// douglasPeucker is Douglas and Peucker's line (Cartographica 10, 1973) through a ring, split at the point farthest from
// the first and the one farthest from that.
func douglasPeucker(ring []oraclePoint, tolerance float64) []oraclePoint {
	far := func(from int) (at int) {
		best := -1.0
		for i, p := range ring {
			if d := math.Hypot(p.x-ring[from].x, p.y-ring[from].y); d > best {
				best, at = d, i
			}
		}
		return at
	}
	a := far(0)
	b := far(a)
	if a > b {
		a, b = b, a
	}
	var out []oraclePoint
	var split func(line []oraclePoint)
	split = func(line []oraclePoint) {
		best, at := tolerance, -1
		for i := 1; i < len(line)-1; i++ {
			q := nearestOn(line[i], line[0], line[len(line)-1])
			if d := math.Hypot(q.x-line[i].x, q.y-line[i].y); d > best {
				best, at = d, i
			}
		}
		if at < 0 {
			out = append(out, line[0])
			return
		}
		split(line[:at+1])
		split(line[at:])
	}
	split(ring[a : b+1])
	split(append(append([]oraclePoint{}, ring[b:]...), ring[:a+1]...))
	return out
}
