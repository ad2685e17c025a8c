package trace

import (
	"errors"
	"math"
	"slices"
)

// ErrNoInk says that a picture has nothing that stands out from its paper.
var ErrNoInk = errors.New("trace: nothing darker than the paper was found")

// A tone says how bright paper is at each place and how dark ink is relative
// to it. Both are in linear light.
type tone struct {
	paper  *field  // light of bare paper
	ink    *field  // light of solid ink as a share of the paper's
	middle float32 // share of the smooth paper surface that told ink from paper
	spread float64 // brightest paper over darkest, 1 for even light
	solid  float64 // the median of ink
}

// Cells of the tone's grids, in coarse cells: about 1.2 mm of an A4 sheet for
// the paper, so that the edge of a shadow is followed, and 5 mm for the ink.
const paperCell, inkCell = 4, 16

// toneOf estimates the paper from paper only. inside, where not nil, tells
// which coarse cells show the sheet.
//
// A smooth surface through the brighter part of each block tells roughly what
// the paper's light is; shares of it fall into ink and paper, split where
// the two classes of their logarithms are best apart (Otsu 1979). A shadow
// halves the light where ink divides it by ten, so it stays on the paper's
// side. Then paper cells that have no ink beside them give the paper close by,
// and what lies under ink is filled in from round it: a black area, however
// large, does not pull its own paper down and hollow out.
func toneOf(c *field, inside []bool) (*tone, error) {
	rough := roughPaper(c, inside)
	share := make([]float32, len(c.v))
	eachBand(c.h, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range c.w {
				i := y*c.w + x
				share[i] = c.v[i] / rough.at(float64(x)+0.5, float64(y)+0.5)
			}
		}
	})
	middle := splitShares(share, inside)
	// A blurred edge spoils the cells next to it for either side.
	paper := eroded(c.w, c.h, func(i int) bool { return (inside == nil || inside[i]) && share[i] > middle })
	ink := eroded(c.w, c.h, func(i int) bool { return (inside == nil || inside[i]) && share[i] <= middle })

	t := &tone{middle: middle, paper: cellMedians(c, c.v, paper, paperCell, 1).softened(1)}
	rel := make([]float32, len(c.v))
	bare := make([]float32, len(c.v)) // the paper's light where paper was seen, else 0
	eachBand(c.h, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range c.w {
				i := y*c.w + x
				p := max(t.paper.at((float64(x)+0.5)*c.step, (float64(y)+0.5)*c.step), 1e-4)
				rel[i] = c.v[i] / p
				if paper[i] {
					bare[i] = p
				}
			}
		}
	})
	darkest, brightest := float32(math.Inf(1)), float32(0)
	for _, p := range bare {
		if p > 0 {
			darkest, brightest = min(darkest, p), max(brightest, p)
		}
	}
	if brightest == 0 || !hasInk(rel, inside, middle) {
		return nil, ErrNoInk
	}
	t.spread = float64(brightest / darkest)
	t.ink = cellMedians(c, rel, ink, inkCell, thinInk(rel, inside, middle)).softened(2)
	all := slices.Clone(t.ink.v)
	slices.Sort(all)
	t.solid = float64(all[len(all)/2])
	return t, nil
}

// shares is the picture in coarse cells from 0, solid ink, to 1, bare paper.
func (t *tone) shares(c *field) *field {
	out := newField(c.w, c.h, c.step)
	for y := range c.h {
		for x := range c.w {
			px, py := (float64(x)+0.5)*c.step, (float64(y)+0.5)*c.step
			ink := t.ink.at(px, py)
			out.v[y*c.w+x] = (c.v[y*c.w+x]/t.paper.at(px, py) - ink) / (1 - ink)
		}
	}
	return out
}

// roughPaper fits the logarithm of the light by a surface of second degree to
// the brighter part of blocks, again and again with less weight on blocks that
// lie below it. Its steps are coarse cells.
func roughPaper(c *field, inside []bool) *field {
	const block = 16
	type sample struct{ x, y, v float64 }
	var samples []sample
	var vals []float32
	for by := 0; by < c.h; by += block {
		for bx := 0; bx < c.w; bx += block {
			vals = vals[:0]
			for y := by; y < min(by+block, c.h); y++ {
				for x := bx; x < min(bx+block, c.w); x++ {
					if i := y*c.w + x; inside == nil || inside[i] {
						vals = append(vals, c.v[i])
					}
				}
			}
			if len(vals) < block {
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
	for i, v := range share {
		if inside == nil || inside[i] {
			b := int((math.Log(float64(max(v, 1e-4))) - lowest) / -lowest * bins * 0.95)
			hist[min(max(b, 0), bins-1)]++
		}
	}
	cut := bestSplit(hist[:])
	v := math.Exp(lowest + (float64(cut))/(bins*0.95)*-lowest)
	return float32(min(max(v, 0.12), 0.7))
}

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

// eroded tells the cells that are in and have all eight neighbours in.
func eroded(w, h int, in func(int) bool) []bool {
	out := make([]bool, w*h)
	eachBand(h, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
		cells:
			for x := range w {
				for j := max(y-1, 0); j <= min(y+1, h-1); j++ {
					for i := max(x-1, 0); i <= min(x+1, w-1); i++ {
						if !in(j*w + i) {
							continue cells
						}
					}
				}
				out[y*w+x] = true
			}
		}
	})
	return out
}

// cellMedians gathers the chosen coarse cells into blocks of n x n and fills
// blocks that have none.
func cellMedians(c *field, v []float32, chosen []bool, n int, otherwise float32) *field {
	f := newField((c.w+n-1)/n, (c.h+n-1)/n, c.step*float64(n))
	weight := make([]float32, len(f.v))
	eachBand(f.h, func(y0, y1 int) {
		vals := make([]float32, 0, n*n)
		for by := y0; by < y1; by++ {
			for bx := range f.w {
				vals = vals[:0]
				for y := by * n; y < min(by*n+n, c.h); y++ {
					for x := bx * n; x < min(bx*n+n, c.w); x++ {
						if i := y*c.w + x; chosen[i] {
							vals = append(vals, v[i])
						}
					}
				}
				if len(vals) > 0 {
					slices.Sort(vals)
					f.v[by*f.w+bx] = vals[len(vals)/2]
					weight[by*f.w+bx] = 1
				}
			}
		}
	})
	f.v = filled(f.v, weight, f.w, f.h, otherwise)
	return f
}

// thinInk is how dark ink is where no stroke is wide enough to show it whole.
func thinInk(rel []float32, inside []bool, middle float32) float32 {
	var vals []float32
	for i, v := range rel {
		if (inside == nil || inside[i]) && v <= middle {
			vals = append(vals, v)
		}
	}
	if len(vals) == 0 {
		return middle / 2
	}
	slices.Sort(vals)
	return vals[len(vals)/10]
}

// hasInk says whether anything at all is darker than the middle.
func hasInk(rel []float32, inside []bool, middle float32) bool {
	for i, v := range rel {
		if (inside == nil || inside[i]) && v <= middle {
			return true
		}
	}
	return false
}
