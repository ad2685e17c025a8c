package trace

import (
	"math"
	"slices"
)

const (
	// smoothSteps is how many samples a wobble's length gets.
	smoothSteps = 8
	// smoothReach is how far a parabola reaches to either side, in samples: a swing of one wobble's length keeps less
	// than a sixth of its height.
	smoothReach = 10
	// smoothRound is the fewest samples round a ring without corners: a circle's chords lie 0.03 % of its radius inside.
	smoothRound = 128
)

// smoothKernels[m] weighs the points at 0 to m samples to either side. The weights keep cubics as they are.
var smoothKernels = func() (k [smoothReach + 1][]float64) {
	k[0] = []float64{1}
	for m := 1; m <= smoothReach; m++ {
		k[m] = smoothKernel(m)
	}
	return k
}()

// smoothKernel is the value at 0 of the parabola that fits 2m+1 samples, by weights 1 - (j/(m+1))².
func smoothKernel(m int) []float64 {
	var s0, s2, s4 float64
	w := make([]float64, m+1)
	for j := -m; j <= m; j++ {
		u := float64(j)
		v := 1 - u*u/float64((m+1)*(m+1))
		s0, s2, s4 = s0+v, s2+v*u*u, s4+v*u*u*u*u
		if j >= 0 {
			w[j] = v
		}
	}
	for j := range w {
		u := float64(j)
		w[j] *= (s4 - s2*u*u) / (s0*s4 - s2*s2)
	}
	return w
}

// A smoother evens out rings one after the other. It keeps its memory.
type smoother struct {
	at, turn    []float64 // of the ring's points
	points, old []float64
	out         []float64 // the points so far
}

// roomFor is how many coordinates a ring may have once it is evened out, or before.
func roomFor(r []float64, wobble float64) int {
	length := 0.0
	for i := 2; i < len(r); i += 2 {
		length += math.Hypot(r[i]-r[i-2], r[i+1]-r[i-1])
	}
	if length < wobble {
		return len(r)
	}
	return len(r) + 2*int(max(smoothRound, math.Ceil(length/wobble*smoothSteps))) + 4
}

// ring evens out a closed ring between its corners, in the memory of out. It returns the ring itself where it is too short.
func (s *smoother) ring(out, r []float64, wobble float64) []float64 {
	s.at = distances(s.at, r)
	at := s.at
	n := len(at) - 1
	if n < 3 || at[n] < wobble {
		return r
	}
	sharp := s.corners(r, wobble)
	s.out = out
	if len(sharp) == 0 {
		// The reach stays within a ninth of the round, 0.7 of a circle's radius, where the fit of a parabola to it
		// is 0.05 % off.
		steps := max(smoothRound, math.Ceil(at[n]/wobble*smoothSteps))
		reach := min(smoothReach*wobble/smoothSteps, at[n]/9)
		s.sample(r, 0, at[n], int(steps))
		s.loop(s.points[:len(s.points)-2], kernelFor(reach*steps/at[n]))
	}
	for k, i := range sharp {
		begin, end := at[i], at[n]+at[sharp[0]]
		if k+1 < len(sharp) {
			end = at[sharp[k+1]]
		}
		steps := max(1, math.Ceil((end-begin)/wobble*smoothSteps))
		s.sample(r, begin, end, int(steps))
		s.run()
	}
	return append(s.out, s.out[0], s.out[1])
}

// sample sets the points to those of a closed ring at steps+1 equal distances from one place along it to another.
func (s *smoother) sample(r []float64, from, to float64, steps int) {
	w := newWalker(r, s.at)
	s.points = slices.Grow(s.points[:0], 2*steps+2)
	for k := 0; k <= steps; k++ {
		q := w.point(from + (to-from)*float64(k)/float64(steps))
		s.points = append(s.points, q[0], q[1])
	}
}

// kernelFor returns the kernel that reaches m samples far, by more samples than the table has where a small ring is
// sampled more densely.
func kernelFor(m float64) []float64 {
	if k := int(m); k >= len(smoothKernels) {
		return smoothKernel(k)
	}
	return smoothKernels[max(1, int(m))]
}

// loop adds an open loop of points, all moved by the kernel, which reaches round it less than once.
func (s *smoother) loop(p, kernel []float64) {
	reach := 2 * (len(kernel) - 1)
	s.old = append(append(append(s.old[:0], p[len(p)-reach:]...), p...), p[:reach]...)
	for i := reach; i < reach+len(p); i += 2 {
		x, y := weighed(s.old, i, kernel)
		s.out = append(s.out, x, y)
	}
}

// run adds the points but the last as a run: its ends stay, and toward them the reach grows short.
func (s *smoother) run() {
	p := s.points
	n := len(p) / 2
	s.out = append(s.out, p[0], p[1])
	for i := 1; i < n-1; i++ {
		x, y := weighed(p, 2*i, smoothKernels[min(i, n-1-i, smoothReach)])
		s.out = append(s.out, x, y)
	}
}

// weighed is where the kernel moves the point at p[i].
func weighed(p []float64, i int, kernel []float64) (x, y float64) {
	x, y = kernel[0]*p[i], kernel[0]*p[i+1]
	back, ahead := p[:i], p[i+2:]
	for _, w := range kernel[1:] {
		k := len(back) - 2
		x += w * (back[k] + ahead[0])
		y += w * (back[k+1] + ahead[1])
		back, ahead = back[:k], ahead[2:]
	}
	return x, y
}
