package trace

import (
	"math"
)

// A tableKind is a way to lay a sheet where it is hard to find.
type tableKind struct {
	name  string
	least int // how many of the four photos of TestFindSheetOnTables must be found
	photo func(seed uint64, rings [][]vec2, megapixels float64) *scene
}

// tableKinds are photos of an A4 sheet, half of them turned by 90 degrees in the
// picture. Tones, grain, things and light come from the seed.
var tableKinds = []tableKind{
	{"dark, cluttered", 3, onTable(func(s *scene) []float32 {
		t := s.plain(0.04 + 0.12*s.rng.Float64())
		s.clutter(t)
		s.edgeShadow(t, 0.05+0.1*s.rng.Float64())
		return t
	})},
	{"light, cluttered", 3, onTable(func(s *scene) []float32 {
		t := s.plain(0.4 + 0.2*s.rng.Float64())
		s.clutter(t)
		s.edgeShadow(t, 0.05+0.1*s.rng.Float64())
		return t
	})},
	{"light wood", 2, onTable(func(s *scene) []float32 {
		t := s.wood(s.paper*(0.8+0.25*s.rng.Float64()), 0.02+0.05*s.rng.Float64())
		s.edgeShadow(t, 0.05+0.2*s.rng.Float64())
		return t
	})},
	{"white", 1, onTable(func(s *scene) []float32 {
		t := s.plain(s.paper * (0.97 + 0.06*s.rng.Float64()))
		s.edgeShadow(t, 0.08+0.15*s.rng.Float64())
		return t
	})},
	{"light board", 2, onTable(func(s *scene) []float32 {
		t := s.plain(0.1 + 0.2*s.rng.Float64())
		x, y := -15-20*s.rng.Float64(), -15-20*s.rng.Float64()
		turn := rotation(0.06*s.rng.NormFloat64(), vec2{105, 148})
		board := moved(rectRing(x, y, x+297, y+420), turn)
		s.blot(t, blot{board, s.paper * (0.7 + 0.2*s.rng.Float64())})
		s.clutter(t)
		s.edgeShadow(t, 0.05+0.1*s.rng.Float64())
		return t
	})},
	{"near the picture's edge", 4, func(seed uint64, rings [][]vec2, megapixels float64) *scene {
		s := onTable(func(s *scene) []float32 { return s.wood(0.3+0.3*s.rng.Float64(), 0.06) })(seed, rings, megapixels)
		s.look(0.98 + 0.03*s.rng.Float64())
		return s
	}},
	{"shadow edge across", 3, func(seed uint64, rings [][]vec2, megapixels float64) *scene {
		s := onTable(func(s *scene) []float32 {
			t := s.plain(0.35 + 0.3*s.rng.Float64())
			s.clutter(t)
			s.edgeShadow(t, 0.15)
			return t
		})(seed, rings, megapixels)
		// A straight edge that runs along the sheet, as a window's frame gives.
		angle, at, soft := 0.1*s.rng.NormFloat64()+math.Pi/2*float64(seed%4), 0.2*s.rng.Float64(), 0.001+0.004*s.rng.Float64()
		deep, even := 0.35+0.25*s.rng.Float64(), s.light
		s.light = func(x, y float64) float64 {
			e := (x-0.5)*math.Cos(angle) + (y-0.5)*math.Sin(angle) - at
			return even(x, y) * (1 - deep/(1+math.Exp(-e/soft)))
		}
		return s
	}},
}

// onTable lays the sheet on a table, turned by 90 degrees at odd seeds.
func onTable(table func(*scene) []float32) func(uint64, [][]vec2, float64) *scene {
	return func(seed uint64, rings [][]vec2, megapixels float64) *scene {
		s := photoOf(seed, rings, false, megapixels)
		s.table = table
		s.look(0.75 + 0.18*s.rng.Float64())
		return s
	}
}

// look takes the photo again, so that the sheet spans a share of it.
func (s *scene) look(fill float64) {
	scale := math.Sqrt(float64(s.w) * float64(s.h) / 12e6)
	c := camera{w: s.w, h: s.h, focal: (3000 + 600*s.rng.Float64()) * scale, tilt: 5 + 30*s.rng.Float64(), toward: 360 * s.rng.Float64(), roll: 16*s.rng.Float64() - 8, fill: fill}
	if s.rng.IntN(2) == 1 {
		c.roll += 90
	}
	s.toPixel = c.sees(s.sheetW, s.sheetH)
}

// plain is a table of one tone with a fine grain.
func (s *scene) plain(tone float64) []float32 {
	t := make([]float32, s.w*s.h)
	for i := range t {
		t[i] = float32(tone * (1 + 0.02*(s.rng.Float64()-0.5)))
	}
	return t
}

// wood is a table of planks: growth rings that run along them, pores, a knot or
// two, and dark joints.
func (s *scene) wood(tone, grain float64) []float32 {
	t := make([]float32, s.w*s.h)
	along := s.rng.Float64() * 0.3
	if s.rng.IntN(2) == 1 {
		along += math.Pi / 2
	}
	sin, cos := math.Sincos(along)
	size := float64(max(s.w, s.h))
	plank := size * (0.15 + 0.15*s.rng.Float64())
	phase := 10 * s.rng.Float64()
	var tones, bends [64]float64
	for i := range tones {
		tones[i], bends[i] = 1+0.04*s.rng.NormFloat64(), s.rng.Float64()*10
	}
	for y := range s.h {
		for x := range s.w {
			u, v := cos*float64(x)+sin*float64(y), cos*float64(y)-sin*float64(x)+size
			k := int(v/plank) % 64
			across := v + 0.02*size*math.Sin(u/size*5+bends[k])
			f := tones[k] * (1 + grain*math.Sin(phase+across/size*240+3*math.Sin(across/size*31+bends[k])) + grain*(s.rng.Float64()-0.5))
			if d := math.Mod(v, plank); d < size/1500 {
				f *= 0.5
			}
			t[y*s.w+x] = float32(tone * f)
		}
	}
	return t
}

// clutter lays pens, a knife, a cup and another sheet on the table, one of them
// along an edge of the sheet.
func (s *scene) clutter(t []float32) {
	thing := func(ring []vec2, tone float64) { s.blot(t, blot{ring, tone}) }
	lie := func() *homography {
		x, y := -70+350*s.rng.Float64(), -70+440*s.rng.Float64()
		return rotation(2*math.Pi*s.rng.Float64(), vec2{x, y}).after(&homography{1, 0, x, 0, 1, y, 0, 0, 1})
	}
	// Another sheet, almost parallel, partly under the first.
	x, y := 150+40*s.rng.Float64(), -60+200*s.rng.Float64()
	if s.rng.IntN(2) == 0 {
		x = -150 - 40*s.rng.Float64()
	}
	thing(moved(rectRing(x, y, x+210, y+297), rotation(0.1*s.rng.NormFloat64(), vec2{105, 148})), 0.65+0.15*s.rng.Float64())
	cup := lie().at(vec2{})
	thing(discRing(cup.x, cup.y, 42), 0.5+0.3*s.rng.Float64())
	thing(discRing(cup.x, cup.y, 38), 0.05)
	for range 4 {
		thing(moved(rectRing(-70, -4, 70, 4), lie()), 0.02+0.7*s.rng.Float64()) // pens
	}
	knife := lie()
	thing(moved(rectRing(-80, -9, 20, 9), knife), 0.1)
	thing(moved([]vec2{{20, -7}, {75, -7}, {60, 7}, {20, 7}}, knife), 0.7)
	side := 3 + 8*s.rng.Float64()
	thing(rectRing(-side-8, 60, -side, 200), 0.04+0.5*s.rng.Float64())
}

// edgeShadow darkens the table along the sheet, which lifts a little from it:
// deepest at its edge, gone a millimetre or two out, and wider away from the
// lamp.
func (s *scene) edgeShadow(t []float32, deep float64) {
	dx, dy := 0.5*s.rng.NormFloat64(), 0.5*s.rng.NormFloat64()
	const steps = 6
	for k := range steps {
		out := 0.3 + 1.4*float64(k)/steps
		ring := rectRing(-out+dx*out, -out+dy*out, 210+out+dx*out, 297+out+dy*out)
		for i, c := range s.coverage([][]vec2{ring}) {
			t[i] *= 1 - c*float32(deep/steps)
		}
	}
}

func moved(ring []vec2, by *homography) []vec2 {
	out := make([]vec2, len(ring))
	for i, p := range ring {
		out[i] = by.at(p)
	}
	return out
}

// misleadingPhoto has white cards round the sheet, a frame close to its edge, and
// a thumb or a pen over an edge.
func misleadingPhoto(seed uint64) *scene {
	var rings [][]vec2
	gap := 5 + float64(seed%4)*4
	rings = append(rings, rectRing(gap, gap, 210-gap, 297-gap), reversedRing(rectRing(gap+3, gap+3, 207-gap, 294-gap)), discRing(100, 140, 40))
	s := photoOf(500+seed, rings, seed%2 == 1, 3)
	s.dust = 0
	light := 0.1
	if seed%3 == 1 {
		light = 0.45
	} else if seed%3 == 2 {
		light = 0.58
	}
	s.table = func(s *scene) []float32 {
		t := clutteredTable(true)(s)
		for i := range t {
			t[i] += float32(light - 0.1)
		}
		for range 3 { // white cards
			x, y := -60+330*s.rng.Float64(), -60+420*s.rng.Float64()
			turn := rotation(s.rng.Float64(), vec2{x, y})
			ring := rectRing(x, y, x+90, y+60)
			for i := range ring {
				ring[i] = turn.at(ring[i])
			}
			s.blot(t, blot{ring, 0.66 + 0.1*s.rng.Float64()})
		}
		return t
	}
	s.over = func(s *scene) (blots []blot) {
		x, y := 210*s.rng.Float64(), 297*s.rng.Float64()
		switch seed % 3 {
		case 0: // a thumb on the left edge
			blots = append(blots, blot{discRing(0, y, 12), 0.3})
		case 1: // a pen across the top edge
			blots = append(blots, blot{thickLine([]vec2{{x, -30}, {x + 20, 40}}, 9), 0.05})
		}
		return blots
	}
	return s
}
