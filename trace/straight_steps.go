package trace

import "math"

// A hard ring goes in steps: along the grid from one half-way crossing to the next, or half a pixel aslant. Of a digital
// straight line one of its two directions comes single, and the middle of such a single step is far nearer the true
// line than its long runs are: a line that rises by one in ten is known to a twentieth of a pixel there, and to half a
// pixel on the runs. destep therefore lays the ring through the middles of single steps and moves the vertices of the
// runs between onto the straight way from one to the next. Runs between steps of two directions have a crest, whose
// height follows from the lengths of the runs beside it if the edge is a parabola. A run that ends otherwise, as at a
// corner, goes on as the single steps on its other side lead, if it is no longer than the run between these by more than
// a step; else it stays as it is.
//
// On digital straightness: Klette and Rosenfeld, "Digital straightness: a review", Discrete Applied Mathematics 139,
// 2004.

// bowSine is the sine of the turn from the key before a way to the one after up to which it is bowed: of discs 20 pixels
// wide the tops still are.
const bowSine = 0.6

// sureTurn is how many times as long as a way the next one may be and be bowed in full as the turn between them has it.
const sureTurn = 3.0

// flatCrest is how high a crest would stand, in levels, that is none: bends of 2 pixels radius and more have up to 2.4.
const flatCrest = 2.5

// stair is a stretch of equal steps of (dx, dy) from a vertex on.
type stair struct {
	from, steps int
	dx, dy      int8 // half pixels
	single      bool // of least length, and what comes before goes on after
}

// key is a place that the ring is laid through: at a vertex number, perhaps half way to the next.
type key struct{ at, x, y float64 }

// destep moves the vertices of a hard ring to where the edge most likely ran.
func (s *straightener) destep() {
	if !s.findRuns() || len(s.stairs) < 8 {
		return
	}
	s.keys = s.keys[:0]
	for k := range s.stairs {
		s.addKeys(k)
	}
	if len(s.keys) < 3 {
		return
	}
	m := len(s.keys)
	a, b := s.keys[0], s.keys[1]
	before, way := a.way(s.keys[m-1]), b.way(a)
	for k := range s.keys {
		c := s.keys[(k+2)%m]
		after := c.way(b)
		s.between(before, way, after, a, b.at)
		a, b, before, way = b, c, way, after
	}
	s.p[2*s.n], s.p[2*s.n+1] = s.p[0], s.p[1]
}

// keyWay is the way to a key and how long it is.
type keyWay struct{ x, y, length float64 }

func (k key) way(from key) keyWay {
	x, y := k.x-from.x, k.y-from.y
	return keyWay{x, y, edge(x, y)}
}

// between moves the vertices from key a to the next, at vertex number end, evenly along the way v from one to the other.
// That is bowed as the turn from the way before to the way after has it: straight ways would shave off what bends. Beside
// a corner keys may be a vertex apart, and tell a direction so badly that a far longer way must not be bowed by it.
func (s *straightener) between(u, v, w keyWay, a key, end float64) {
	if end < a.at {
		end += float64(s.n)
	}
	if end == a.at {
		return
	}
	// An arc of length l and turn t rises by l t/8.
	rise := 0.0
	if l := u.length * w.length; l > 0 {
		if sin := (u.x*w.y - u.y*w.x) / l; math.Abs(sin) < bowSine && u.x*w.x+u.y*w.y > 0 {
			rise = sin * v.length / (u.length/2 + v.length + w.length/2) / 8 * min(1, sureTurn*u.length/v.length) * min(1, sureTurn*w.length/v.length)
		}
	}
	d := end - a.at
	for i := int(math.Ceil(a.at)); float64(i) <= end; i++ {
		t := (float64(i) - a.at) / d
		h := 4 * t * (1 - t) * rise
		j := 2 * s.inRing(i)
		s.p[j], s.p[j+1] = a.x+t*v.x+h*v.y, a.y+t*v.y-h*v.x
	}
}

// findRuns fills runs, the first of which begins with the first vertex that differs from the one before in direction.
func (s *straightener) findRuns() bool {
	first := 0
	px, py := s.step(s.n - 1)
	for ; first < s.n; first++ {
		dx, dy := s.step(first)
		if dx != px || dy != py {
			break
		}
	}
	if first == s.n {
		return false
	}
	s.stairs = s.stairs[:0]
	px, py = 0, 0
	steps := 0
	for i := first; i < first+s.n; i++ {
		dx, dy := s.step(s.inRing(i))
		if dx == px && dy == py {
			steps++
			continue
		}
		if i > first {
			s.stairs[len(s.stairs)-1].steps = steps
		}
		s.stairs = append(s.stairs, stair{from: i, dx: dx, dy: dy})
		px, py, steps = dx, dy, 1
	}
	s.stairs[len(s.stairs)-1].steps = steps
	m := len(s.stairs)
	for k := range s.stairs {
		r, before, after := &s.stairs[k], s.stairs[(k+m-1)%m], s.stairs[(k+1)%m]
		least := 1
		if r.dx != 0 && r.dy != 0 {
			least = 2
		}
		r.single = r.steps == least && before.dx == after.dx && before.dy == after.dy
	}
	return true
}

// step is the way from vertex i to the next in half pixels.
func (s *straightener) step(i int) (dx, dy int8) {
	p := s.p[2*i : 2*i+4]
	return halves(p[2] - p[0]), halves(p[3] - p[1])
}

// halves is a length of up to a pixel in half pixels.
func halves(v float64) int8 { return int8(int(2*v+4.5) - 4) }

// stairAt is the kth run, counted round.
func (s *straightener) stairAt(k int) *stair {
	m := len(s.stairs)
	if k < 0 {
		k += m
	} else if k >= m {
		k -= m
	}
	return &s.stairs[k]
}

// middle is the middle of a run.
func (s *straightener) middle(r *stair) key {
	j := 2 * s.inRing(r.from)
	half := float64(r.steps) / 2
	return key{float64(r.from) + half, s.p[j] + half*float64(r.dx)/2, s.p[j+1] + half*float64(r.dy)/2}
}

// addKeys adds what the kth run has of keys.
func (s *straightener) addKeys(k int) {
	r, before, after := s.stairAt(k), s.stairAt(k-1), s.stairAt(k+1)
	switch {
	case r.single:
		s.keys = append(s.keys, s.middle(r))
	case before.single && after.single:
		if before.dx == after.dx && before.dy == after.dy {
			return
		}
		if q, ok := s.crest(k); ok {
			s.keys = append(s.keys, q)
		} else {
			s.asItIs(r.from+1, r.from+r.steps-1)
		}
	default:
		from, to := r.from+1, r.from+r.steps // the first vertex is the last of the run before
		if after.single {
			to--
		}
		if before.single != after.single {
			if q, ok := s.led(k, before.single); ok {
				s.keys = append(s.keys, q)
				if after.single {
					return
				}
				from = to // at the corner
			}
		}
		s.asItIs(from, to)
	}
}

// asItIs adds keys at vertices from one to another.
func (s *straightener) asItIs(from, to int) {
	for i := from; i <= to; i++ {
		j := 2 * s.inRing(i)
		s.keys = append(s.keys, key{float64(i), s.p[j], s.p[j+1]})
	}
}

// crest is the top of a run between steps up and steps down. A parabola that is w wide where it crosses a level and
// v wide one level below stands w²/(v²-w²) levels above the first. By far more than one, which would be a run of its own, no
// parabola does: there the edge is straight between corners, and there is no crest.
func (s *straightener) crest(k int) (key, bool) {
	before, after := s.stairAt(k-1), s.stairAt(k+1)
	l, r, top := s.middle(before), s.middle(after), s.middle(s.stairAt(k))
	w := edge(r.x-l.x, r.y-l.y)
	left, leftIs := s.nextLevel(l, before, k, -1)
	right, rightIs := s.nextLevel(r, after, k, 1)
	v := w + left + right
	switch { // a level that is known on one side alone counts for both
	case leftIs && !rightIs:
		v = w + 2*left
	case rightIs && !leftIs:
		v = w + 2*right
	}
	height := w * w / (v*v - w*w)
	if height > flatCrest {
		return key{}, false
	}
	if height = min(0.9, max(0.1, height)); !leftIs && !rightIs {
		height = 0.5
	}
	x, y := (l.x+r.x)/2, (l.y+r.y)/2
	return key{top.at, x + 2*height*(top.x-x), y + 2*height*(top.y-y)}, true
}

// nextLevel is how much further out the edge crosses the next level than at the middle m of the single step near beside the
// kth run, the way told: at another single step, or else at least where the run between ends.
func (s *straightener) nextLevel(m key, near *stair, k, way int) (out float64, is bool) {
	run, next := s.stairAt(k+2*way), s.stairAt(k+3*way)
	if next.single && next.dx == near.dx && next.dy == near.dy {
		q := s.middle(next)
		return edge(m.x-q.x, m.y-q.y), true
	}
	i := run.from
	if way > 0 {
		i += run.steps
	}
	j := 2 * s.inRing(i)
	return edge(m.x-s.p[j], m.y-s.p[j+1]), false
}

// led is where the two single steps before the kth run, or the two after it, lead to at its other end. Its vertex beside
// the corner there stays where it is.
func (s *straightener) led(k int, before bool) (key, bool) {
	r := s.stairAt(k)
	way, i := 1, r.from+1
	if before {
		way, i = -1, r.from+r.steps-1
	}
	near, run, far := s.stairAt(k+way), s.stairAt(k+2*way), s.stairAt(k+3*way)
	if !far.single || far.dx != near.dx || far.dy != near.dy || r.steps < 3 || r.steps > run.steps+1 {
		return key{}, false
	}
	a, b := s.middle(far), s.middle(near)
	dx, dy := b.x-a.x, b.y-a.y
	l2 := dx*dx + dy*dy
	j := 2 * (i % s.n)
	x, y := s.p[j]-b.x, s.p[j+1]-b.y
	along, across := x*dx+y*dy, x*dy-y*dx
	if across*across > hardEdge*hardEdge*l2 {
		return key{}, false
	}
	return key{float64(i), b.x + along/l2*dx, b.y + along/l2*dy}, true
}
