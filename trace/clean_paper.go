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
	paper    *field  // light of bare paper
	ink      *field  // light of solid ink as a share of the paper's
	spread   float64 // brightest paper over darkest, 1 for even light
	solid    float64 // the median of ink
	adaptive bool    // an adaptive threshold told ink from paper
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
// side; where a shadow is deeper than that, the surface is replaced by one
// from an adaptive threshold. Then paper cells that have no ink beside them
// give the paper close by, and what lies under ink is filled in from round it:
// a black area, however large, does not pull its own paper down and hollow out.
func toneOf(c *field, inside []bool, adaptive Choice) (*tone, error) {
	if adaptive == On {
		t, _, err := toneFrom(c, inside, adaptivePaper(c, inside))
		if err == nil {
			t.adaptive = true
		}
		return t, err
	}
	t, shadow, err := toneFrom(c, inside, roughPaper(c, inside))
	if err != nil || adaptive == Off || !shadow {
		return t, err
	}
	// No light varies by more than this over a sheet: if it seems to, the bright
	// side of an edge within ink was taken for paper.
	const mostSpread = 20
	if a, _, err := toneFrom(c, inside, adaptivePaper(c, inside)); err == nil && a.spread <= mostSpread {
		a.adaptive = true
		return a, nil
	}
	return t, nil
}

// toneFrom tells paper from ink by shares of a rough estimate of the paper, and
// says whether a deep shadow may hide in what it took for ink.
func toneFrom(c *field, inside []bool, rough *field) (t *tone, shadow bool, err error) {
	share := c.over(rough)
	middle := splitShares(share, inside)
	// A blurred edge spoils the cells next to it for either side.
	within := func(i int) bool { return inside == nil || inside[i] }
	paper := eroded(c.w, c.h, func(i int) bool { return within(i) && share[i] > middle })
	ink := eroded(c.w, c.h, func(i int) bool { return within(i) && share[i] <= middle })
	t = &tone{paper: cellMedians(c, c.v, paper, paperCell, 1).softened(1)}
	rel := make([]float32, len(c.v))
	bare := make([]float32, len(c.v)) // the paper's light where paper was seen, else 0
	eachBand(c.h, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range c.w {
				i := y*c.w + x
				if !within(i) {
					continue
				}
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
		return nil, false, ErrNoInk
	}
	t.spread = float64(brightest / darkest)
	t.ink = cellMedians(c, rel, ink, inkCell, thinInk(rel, inside, middle)).softened(2)
	all := slices.Clone(t.ink.v)
	slices.Sort(all)
	t.solid = float64(all[len(all)/2])
	return t, hidesShadow(share, ink), nil
}

// over gives the values of f as shares of those of a rougher field whose step is
// in cells of f.
func (f *field) over(rough *field) []float32 {
	share := make([]float32, len(f.v))
	eachBand(f.h, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range f.w {
				i := y*f.w + x
				share[i] = f.v[i] / max(rough.at(float64(x)+0.5, float64(y)+0.5), 1e-4)
			}
		}
	})
	return share
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

// eroded tells the cells that are in and have all eight neighbours in.
func eroded(w, h int, in func(int) bool) []bool {
	out := make([]bool, w*h)
	eachBand(h, func(y0, y1 int) {
		// rows[y%3] holds the cells of row y that are in with both neighbours.
		var rows [3][]bool
		for i := range rows {
			rows[i] = make([]bool, w)
		}
		across := func(y int) {
			row := rows[y%3]
			before, here := true, in(y*w)
			for x := range w {
				after := x+1 == w || in(y*w+x+1)
				row[x] = before && here && after
				before, here = here, after
			}
		}
		across(y0)
		across(max(y0-1, 0))
		for y := y0; y < y1; y++ {
			above, below := max(y-1, 0), min(y+1, h-1)
			across(below)
			a, b, c := rows[above%3], rows[y%3], rows[below%3]
			for x := range w {
				out[y*w+x] = a[x] && b[x] && c[x]
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
	for i := 0; i < len(rel); i += 3 { // a third tells enough
		if (inside == nil || inside[i]) && rel[i] <= middle {
			vals = append(vals, rel[i])
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
