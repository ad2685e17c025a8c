package trace

import "math"

// A corner is where an outline turns by at least cornerTurn between the directions that it comes from and goes to over
// a whole reach, and does most of that turning at once, on a quarter of it. So neither pixel steps and wobble, which turn
// at once but lead nowhere, nor bends, which turn slowly, are corners. Looking at two scales is as in Hoshyari et al.,
// "Perception-driven semi-structured boundary vectorization", ACM Transactions on Graphics 37(4), 2018.
const (
	cornerTurn  = 35 * math.Pi / 180
	cornerShare = 0.7 // of its turn that happens at once; an arc does a quarter
)

// corners returns the vertices of a closed ring (flat, last point as the first) that are corners over a reach in the
// ring's unit, in order. At most one is found within half a reach. The distances along the ring are known.
func (s *smoother) corners(ring []float64, reach float64) []int {
	n := len(ring)/2 - 1
	at := s.at
	length := at[n]
	reach = min(reach, length/8)
	if n < 3 || !(reach > 0) {
		return nil
	}
	s.turn = append(s.turn[:0], make([]float64, n)...)
	turn := s.turn
	back, ahead := newWalker(ring, at), newWalker(ring, at)
	nearBack, nearAhead := newWalker(ring, at), newWalker(ring, at)
	for i := range n {
		x, y := ring[2*i], ring[2*i+1]
		from, to := back.point(at[i]-reach), ahead.point(at[i]+reach)
		if straightOn(from, x, y, to) {
			continue
		}
		wide := turnBetween(from, x, y, to)
		if math.Abs(wide) < cornerTurn {
			continue
		}
		near := turnBetween(nearBack.point(at[i]-reach/4), x, y, nearAhead.point(at[i]+reach/4))
		if near/wide > cornerShare {
			turn[i] = math.Abs(wide)
		}
	}
	var found []int
	for i, t := range turn {
		if t > 0 && sharpest(turn, at, i, reach/2) {
			found = append(found, i)
		}
	}
	return found
}

// sharpest says whether no vertex within reach of the ith turns more, nor as much and comes before.
func sharpest(turn, at []float64, i int, reach float64) bool {
	n := len(turn)
	length := at[n]
	for j := i + 1; ; j++ {
		k, d := j%n, at[j%n]-at[i]
		if j >= n {
			d += length
		}
		if d > reach || k == i {
			break
		}
		if turn[k] > turn[i] {
			return false
		}
	}
	for j := i - 1; ; j-- {
		k := (j + n) % n
		d := at[i] - at[k]
		if j < 0 {
			d += length
		}
		if d > reach || k == i {
			break
		}
		if turn[k] >= turn[i] {
			return false
		}
	}
	return true
}

// straightOn says of most places where the turn is less than cornerTurn that it is, by its cosine.
func straightOn(a [2]float64, x, y float64, b [2]float64) bool {
	const less = 0.82 // of a cosine of 0.819
	ux, uy, vx, vy := x-a[0], y-a[1], b[0]-x, b[1]-y
	dot := ux*vx + uy*vy
	return dot > 0 && dot*dot > less*less*(ux*ux+uy*uy)*(vx*vx+vy*vy)
}

// turnBetween is the angle at (x, y) between the ways from a and to b.
func turnBetween(a [2]float64, x, y float64, b [2]float64) float64 {
	ux, uy, vx, vy := x-a[0], y-a[1], b[0]-x, b[1]-y
	return math.Atan2(ux*vy-uy*vx, ux*vx+uy*vy)
}

// distances gives how far along a closed ring each point lies, in the memory of at.
func distances(at, ring []float64) []float64 {
	at = append(at[:0], make([]float64, len(ring)/2)...)
	for i := 1; i < len(at); i++ {
		at[i] = at[i-1] + math.Hypot(ring[2*i]-ring[2*i-2], ring[2*i+1]-ring[2*i-1])
	}
	return at
}

// A walker gives the points of a closed ring at growing distances along it.
type walker struct {
	ring, at []float64
	i        int
	turns    float64 // length of the rounds done
}

func newWalker(ring, at []float64) walker { return walker{ring, at, 0, -at[len(at)-1]} }

// point returns the point at distance d, at least as great as the last one asked for and less than one round before the
// ring's start.
func (w *walker) point(d float64) [2]float64 {
	n := len(w.at) - 1
	for w.turns+w.at[w.i+1] < d {
		if w.i++; w.i == n {
			w.i = 0
			w.turns += w.at[n]
		}
	}
	p := w.ring[2*w.i : 2*w.i+4]
	l := w.at[w.i+1] - w.at[w.i]
	if l == 0 {
		return [2]float64{p[0], p[1]}
	}
	t := min(1, max(0, (d-w.turns-w.at[w.i])/l))
	return [2]float64{p[0] + t*(p[2]-p[0]), p[1] + t*(p[3]-p[1])}
}
