package trace

import (
	"math"
	"slices"
)

// sauvola is the threshold for a place whose surroundings have mean m and
// standard deviation s, both of values whose standard deviation can be r at
// most (Sauvola and Pietikainen 2000, Adaptive document image binarization,
// Pattern Recognition 33:225-236, equation 5).
func sauvola(m, s, k, r float64) float64 { return m * (1 + k*(s/r-1)) }

const (
	sauvolaK      = 0.34 // within the 0.2 to 0.5 that the method is used with
	sauvolaWindow = 31   // coarse cells, odd: a centimetre of an A4 sheet
	leastContrast = 0.25 // s over m, below which a window says nothing
)

// adaptivePaper estimates the paper's light, in blocks of coarse cells, from
// cells that stand out as bright from a window round them. A window without
// contrast is passed over: within a large black area, or a deep shadow, the
// threshold alone cannot tell ink from paper and would hollow the area out.
// What is passed over is filled in from round it.
func adaptivePaper(c *field, inside []bool) *field {
	sums := newIntegrals(c, inside)
	bright := make([]bool, len(c.v))
	eachBand(c.h, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range c.w {
				i := y*c.w + x
				if inside != nil && !inside[i] {
					continue
				}
				m, s := sums.window(x, y, sauvolaWindow/2)
				bright[i] = s > leastContrast*m && float64(c.v[i]) > sauvola(m, s, sauvolaK, 0.5)
			}
		}
	})
	seeds := eroded(c.w, c.h, func(i int) bool { return bright[i] })
	f := cellMedians(c, c.v, seeds, paperCell, 1).softened(2)
	f.step /= c.step
	return f
}

// integrals hold sums of values and their squares over all cells above and left
// (Crow 1984), so that a window of any size costs four look-ups.
type integrals struct {
	w, h      int
	n, v, sqr []float64
}

func newIntegrals(c *field, inside []bool) *integrals {
	t := &integrals{w: c.w, h: c.h}
	size := (c.w + 1) * (c.h + 1)
	t.n, t.v, t.sqr = make([]float64, size), make([]float64, size), make([]float64, size)
	for y := range c.h {
		var n, v, sqr float64
		for x := range c.w {
			if i := y*c.w + x; inside == nil || inside[i] {
				f := float64(c.v[i])
				n, v, sqr = n+1, v+f, sqr+f*f
			}
			up, at := y*(c.w+1)+x+1, (y+1)*(c.w+1)+x+1
			t.n[at], t.v[at], t.sqr[at] = t.n[up]+n, t.v[up]+v, t.sqr[up]+sqr
		}
	}
	return t
}

// window gives the mean and the standard deviation (of the window, not of a
// sample) over the cells within r of (x, y).
func (t *integrals) window(x, y, r int) (m, s float64) {
	x0, y0, x1, y1 := max(x-r, 0), max(y-r, 0), min(x+r+1, t.w), min(y+r+1, t.h)
	a, b, c, d := y0*(t.w+1)+x0, y0*(t.w+1)+x1, y1*(t.w+1)+x0, y1*(t.w+1)+x1
	n := t.n[d] - t.n[c] - t.n[b] + t.n[a]
	if n == 0 {
		return 0, 0
	}
	m = (t.v[d] - t.v[c] - t.v[b] + t.v[a]) / n
	return m, math.Sqrt(max((t.sqr[d]-t.sqr[c]-t.sqr[b]+t.sqr[a])/n-m*m, 0))
}

// hidesShadow says whether what was taken for ink falls into two levels so far
// apart that the brighter must be paper in a deep shadow. ink are cells away
// from edges.
func hidesShadow(share []float32, ink []bool) bool {
	const (
		fewest = 0.05 // share of the cells that either level must have
		apart  = 2.5  // times
	)
	var logs []float64
	for i := 0; i < len(ink); i += 3 { // a third tells enough
		if ink[i] {
			logs = append(logs, math.Log(float64(max(share[i], 1e-4))))
		}
	}
	if len(logs) == 0 {
		return false
	}
	lo, hi := slices.Min(logs), slices.Max(logs)
	const bins = 64
	var hist [bins]int
	for _, v := range logs {
		hist[min(int((v-lo)/max(hi-lo, 1e-9)*bins), bins-1)]++
	}
	cut := lo + float64(bestSplit(hist[:]))/bins*(hi-lo)
	var n, sum [2]float64
	for _, v := range logs {
		k := 0
		if v >= cut {
			k = 1
		}
		n[k]++
		sum[k] += v
	}
	all := float64(len(logs))
	return n[0] >= fewest*all && n[1] >= fewest*all && sum[1]/n[1]-sum[0]/n[0] > math.Log(apart)
}
