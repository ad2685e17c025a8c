package trace

import (
	"math"
	"slices"
	"sync"
)

// roughPaper fits the logarithm of the light by a surface of second degree to
// the brighter part of blocks, again and again with less weight on blocks that
// lie below it. Its steps are coarse cells.
func roughPaper(c *field, inside []bool) *field {
	const block, every = 16, 2 // one cell in four tells enough
	type sample struct{ x, y, v float64 }
	var samples []sample
	var vals []float32
	for by := 0; by < c.h; by += block {
		for bx := 0; bx < c.w; bx += block {
			vals = vals[:0]
			for y := by; y < min(by+block, c.h); y += every {
				for x := bx; x < min(bx+block, c.w); x += every {
					if i := y*c.w + x; inside == nil || inside[i] {
						vals = append(vals, c.v[i])
					}
				}
			}
			if len(vals) < block/every {
				continue
			}
			slices.Sort(vals)
			samples = append(samples, sample{
				2*float64(bx+block/2)/float64(c.w) - 1, 2*float64(by+block/2)/float64(c.h) - 1,
				math.Log(float64(max(vals[len(vals)*9/10], 1e-4)))})
		}
	}
	out := newField((c.w+block-1)/block, (c.h+block-1)/block, block)
	k := [6]float64{}
	terms := func(x, y float64) [6]float64 { return [6]float64{1, x, y, x * x, x * y, y * y} }
	surface := func(x, y float64) (v float64) {
		for i, t := range terms(x, y) {
			v += k[i] * t
		}
		return v
	}
	// Start from the bright quarter of all blocks, then let the surface bend.
	all := make([]float64, len(samples))
	for i, s := range samples {
		all[i] = s.v
	}
	slices.Sort(all)
	if len(all) > 0 {
		k[0] = all[len(all)*3/4]
	}
	for range 12 {
		var m [6][9]float64
		for _, s := range samples {
			weight := 1.0
			if r := s.v - surface(s.x, s.y); r < -0.1 {
				weight = 0.01 / (r * r) // Geman-McClure's tail, below only
			}
			t := terms(s.x, s.y)
			for r := range 6 {
				for q := range 6 {
					m[r][q] += weight * t[r] * t[q]
				}
				m[r][8] += weight * t[r] * s.v
			}
		}
		for r := range 6 {
			m[r][r] += 1e-3 // keeps a picture of few blocks solvable
		}
		if !eliminate(m[:]) {
			break
		}
		for i := range k {
			k[i] = m[i][8]
		}
	}
	for j := range out.h {
		for i := range out.w {
			x, y := 2*(float64(i)+0.5)*block/float64(c.w)-1, 2*(float64(j)+0.5)*block/float64(c.h)-1
			out.v[j*out.w+i] = float32(math.Exp(min(max(surface(x, y), -9), 1)))
		}
	}
	return out
}

// splitShares finds where the logarithms of the shares fall apart best. The
// answer is kept to what ink can be: darker than any pencil, not so dark that
// a black mark would pass as shadow.
func splitShares(share []float32, inside []bool) float32 {
	const bins, lowest = 128, -5.0
	var hist [bins]int
	var lock sync.Mutex
	eachBand(len(share), func(i0, i1 int) {
		var part [bins]int
		for i := i0; i < i1; i++ {
			if inside == nil || inside[i] {
				b := int((quickLog(max(share[i], 1e-4)) - lowest) / -lowest * bins * 0.95)
				part[min(max(b, 0), bins-1)]++
			}
		}
		lock.Lock()
		defer lock.Unlock()
		for b, n := range part {
			hist[b] += n
		}
	})
	cut := bestSplit(hist[:])
	v := math.Exp(lowest + (float64(cut))/(bins*0.95)*-lowest)
	return float32(min(max(v, 0.12), 0.7))
}

// quickLog is the natural logarithm of a positive v, within 0.002: a bin is 0.04.
func quickLog(v float32) float64 {
	bits := math.Float32bits(v)
	return float64(int(bits>>23)-127)*math.Ln2 + mantissaLog[bits>>15&255]
}

// mantissaLog holds the logarithms of 1 to 2 in steps.
var mantissaLog = func() (t [256]float64) {
	for i := range t {
		t[i] = math.Log(1 + (float64(i)+0.5)/256)
	}
	return t
}()

// bestSplit is Otsu's: the first bin of the upper class, for the greatest
// variance between the classes.
func bestSplit(hist []int) int {
	var n, sum float64
	for i, c := range hist {
		n += float64(c)
		sum += float64(i * c)
	}
	best, at := -1.0, len(hist)/2
	var n0, s0 float64
	for i, c := range hist {
		if n0 > 0 && n0 < n {
			d := s0/n0 - (sum-s0)/(n-n0)
			if v := n0 * (n - n0) * d * d; v > best {
				best, at = v, i
			}
		}
		n0 += float64(c)
		s0 += float64(i * c)
	}
	return at
}
