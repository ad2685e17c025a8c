package trace

import "math"

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

// smoothRing evens out a closed ring between its corners. It returns the ring itself where it is too short.
func smoothRing(r []float64, wobble float64) []float64 {
	at := distances(r)
	n := len(at) - 1
	if n < 3 || at[n] < wobble {
		return r
	}
	sharp := corners(r, wobble)
	if len(sharp) == 0 {
		// The reach stays within a ninth of the round, 0.7 of a circle's radius, where the fit of a parabola to it
		// is 0.05 % off.
		steps := max(smoothRound, math.Ceil(at[n]/wobble*smoothSteps))
		reach := min(smoothReach*wobble/smoothSteps, at[n]/9)
		p := sample(r, at, 0, at[n], int(steps))
		p = smoothLoop(p[:len(p)-2], kernelFor(reach*steps/at[n]))
		return append(p, p[0], p[1])
	}
	var out []float64
	for k, i := range sharp {
		from, to := at[i], at[n]+at[sharp[0]]
		if k+1 < len(sharp) {
			to = at[sharp[k+1]]
		}
		steps := max(1, math.Ceil((to-from)/wobble*smoothSteps))
		p := sample(r, at, from, to, int(steps))
		smoothRun(p)
		out = append(out, p[:len(p)-2]...)
	}
	return append(out, out[0], out[1])
}

// sample returns the points of a closed ring at steps+1 equal distances from one place along it to another.
func sample(r, at []float64, from, to float64, steps int) []float64 {
	w := newWalker(r, at)
	p := make([]float64, 0, 2*steps+4)
	for k := 0; k <= steps; k++ {
		q := w.point(from + (to-from)*float64(k)/float64(steps))
		p = append(p, q[0], q[1])
	}
	return p
}

// kernelFor returns the kernel that reaches m samples far, by more samples than the table has where a small ring is
// sampled more densely.
func kernelFor(m float64) []float64 {
	if k := int(m); k >= len(smoothKernels) {
		return smoothKernel(k)
	}
	return smoothKernels[max(1, int(m))]
}

// smoothLoop returns an open loop of points, all moved by the kernel.
func smoothLoop(p, kernel []float64) []float64 {
	n := len(p) / 2
	out := make([]float64, 2*n, 2*n+2)
	for i := range n {
		x, y := kernel[0]*p[2*i], kernel[0]*p[2*i+1]
		for j := 1; j < len(kernel); j++ {
			a, b := (i+n-j%n)%n, (i+j)%n
			x += kernel[j] * (p[2*a] + p[2*b])
			y += kernel[j] * (p[2*a+1] + p[2*b+1])
		}
		out[2*i], out[2*i+1] = x, y
	}
	return out
}

// smoothRun moves the points of a run in place. Its ends stay, and toward them the reach grows short.
func smoothRun(p []float64) {
	n := len(p) / 2
	old := append([]float64(nil), p...)
	for i := 1; i < n-1; i++ {
		kernel := smoothKernels[min(i, n-1-i, smoothReach)]
		x, y := kernel[0]*old[2*i], kernel[0]*old[2*i+1]
		for j := 1; j < len(kernel); j++ {
			x += kernel[j] * (old[2*i-2*j] + old[2*i+2*j])
			y += kernel[j] * (old[2*i+1-2*j] + old[2*i+1+2*j])
		}
		p[2*i], p[2*i+1] = x, y
	}
}
