package trace

import (
	"image"
	"image/color"
	"image/draw"
	"math"
	"math/rand/v2"
)

// A camera looks at a sheet.
type camera struct {
	w, h         int
	focal        float64 // pixels
	tilt         float64 // degrees from straight above
	toward, roll float64 // degrees: which way it leans, and how the sheet lies
	fill         float64 // share of the picture that the sheet spans
	k1           float64
}

// sees gives the way from sheet mm to picture pixels: a pinhole, then the lens.
func (c camera) sees(sheetW, sheetH float64) func(vec2) vec2 {
	rad := math.Pi / 180
	st, ct := math.Sincos(c.tilt * rad)
	sa, ca := math.Sincos(c.toward * rad)
	sr, cr := math.Sincos(c.roll * rad)
	mid := vec2{float64(c.w) / 2, float64(c.h) / 2}
	project := func(p vec2, dist float64) vec2 {
		x, y := p.x-sheetW/2, p.y-sheetH/2
		x, y = cr*x-sr*y, sr*x+cr*y
		u, v := ca*x+sa*y, -sa*x+ca*y // v runs the way the camera leans
		z := dist + v*st
		v *= ct
		x, y = ca*u-sa*v, sa*u+ca*v
		return mid.add(vec2{x, y}.mul(c.focal / z))
	}
	corners := sheetCorners(sheetW, sheetH)
	lo, hi := 100.0, 5000.0
	for range 60 {
		dist := (lo + hi) / 2
		most := 0.0
		for _, p := range corners {
			q := project(p, dist).sub(mid)
			most = max(most, math.Abs(q.x)/mid.x, math.Abs(q.y)/mid.y)
		}
		if most > c.fill {
			lo = dist
		} else {
			hi = dist
		}
	}
	l := lens{centre: mid, unit: mid.norm(), k1: c.k1}
	return func(p vec2) vec2 { return l.bent(project(p, hi)) }
}

// photoOf is a photo of an A4 sheet on a cluttered table, of 12 megapixels or
// less.
func photoOf(seed uint64, rings [][]vec2, hard bool, megapixels float64) *scene {
	rng := rand.New(rand.NewPCG(seed, 3))
	c := camera{w: 3000, h: 4000, focal: 3000 + 600*rng.Float64(), tilt: 25 + 15*rng.Float64(), toward: 360 * rng.Float64(), roll: 16*rng.Float64() - 8, fill: 0.8 + 0.12*rng.Float64()}
	scale := math.Sqrt(megapixels / 12)
	c.w, c.h, c.focal = int(float64(c.w)*scale), int(float64(c.h)*scale), c.focal*scale
	s := &scene{rng: rng, ink: rings, sheetW: 210, sheetH: 297, w: c.w, h: c.h}
	s.paper, s.inkTone, s.grain = 0.75, 0.04, 0.01
	s.blur, s.noise, s.quality = 1+0.6*rng.Float64(), 0.012, 85
	s.dust = 40
	s.table = clutteredTable(rng.Float64() < 0.5)
	falls, across := 0.5+0.3*rng.Float64(), 2*math.Pi*rng.Float64()
	shadow := vec2{rng.Float64(), rng.Float64()}
	depth := 0.3 + 0.2*rng.Float64()
	edge, soft := 2*math.Pi*rng.Float64(), 0.0
	if hard {
		c.k1 = -0.015 - 0.02*rng.Float64()
		s.quality, s.noise = 75, 0.02
		soft = 0.003 + 0.005*rng.Float64()
	}
	s.toPixel = c.sees(210, 297)
	s.light = func(x, y float64) float64 {
		dx, dy := x-0.5, y-0.5
		v := 1 - (1-falls)*(0.5+dx*math.Cos(across)+dy*math.Sin(across)) // gradient
		v *= 1 / math.Pow(1+0.9*(dx*dx+dy*dy), 2)                        // vignette
		d := math.Hypot(x-shadow.x, (y-shadow.y)*1.3)
		v *= 1 - depth/(1+math.Exp((d-0.25)/0.03)) // soft shadow of a hand
		if soft > 0 {
			e := dx*math.Cos(edge) + dy*math.Sin(edge) + 0.05
			v *= 1 - 0.5/(1+math.Exp(-e/soft))
		}
		return v
	}
	return s
}

// clutteredTable is a table with a grain and things on it, dark or light.
func clutteredTable(dark bool) func(*scene) []float32 {
	return func(s *scene) []float32 {
		base := 0.5
		if dark {
			base = 0.1
		}
		t := make([]float32, s.w*s.h)
		for y := range s.h {
			for x := range s.w {
				t[y*s.w+x] = float32(base * (1 + 0.12*math.Sin(float64(x)/9+3*math.Sin(float64(y)/300)) + 0.05*s.rng.NormFloat64()))
			}
		}
		for range 9 {
			x, y := -80+370*s.rng.Float64(), -80+460*s.rng.Float64()
			a, w, h := math.Pi*s.rng.Float64(), 15+60*s.rng.Float64(), 4+30*s.rng.Float64()
			turn := rotation(a, vec2{x, y})
			ring := rectRing(x-w/2, y-h/2, x+w/2, y+h/2)
			if s.rng.Float64() < 0.3 {
				ring = discRing(x, y, h)
			}
			for i := range ring {
				ring[i] = turn.at(ring[i])
			}
			s.blot(t, blot{ring, 0.03 + 0.6*s.rng.Float64()})
		}
		return t
	}
}

// scrapSheet is a white sheet with a dark piece of 120 x 100 pixels on it.
func scrapSheet() *image.Gray {
	g := image.NewGray(image.Rect(0, 0, 400, 300))
	draw.Draw(g, g.Rect, image.NewUniform(color.Gray{Y: 240}), image.Point{}, draw.Src)
	draw.Draw(g, image.Rect(100, 80, 220, 180), image.NewUniform(color.Gray{Y: 90}), image.Point{}, draw.Src)
	return g
}
