package trace

import (
	"fmt"
	"math"
	"slices"
)

// A surround tells what lies along the sides of a quad, in light: which of them
// could be the edges of a sheet, and which are lines drawn on one.
type surround [4]border

// A border is what lies along one side.
type border struct {
	outside float64 // the light a few mm outside as a share of that inside, the median
	dip     float64 // how much darker than both it is between them, as a share, the median
	inked   float64 // share of the places where ink lies just inside and light outside
	again   float64 // share of the places where, past something dark, it is as light as inside
}

// A frame is drawn in ink: it is this much darker than its paper. The shadow
// along a sheet is not.
const inkDip = 0.35

// around looks at the light along the sides of a quad.
func (m *edgeMap) around(k *quad, w, h float64) (s surround) {
	if k.turned {
		w, h = h, w
	}
	corners := sheetCorners(w, h)
	toPhoto := homographyFrom(corners, k.corner)
	if toPhoto == nil {
		return s
	}
	const places, reach, far = 32, 5, 15 // mm inside and outside
	var outs, dips [places]float64
	var light [reach + far + 1]float64
	for i, a := range corners {
		b := corners[(i+1)%4]
		along := b.sub(a)
		out := vec2{along.y, -along.x}.mul(1 / along.norm())
		side := &s[i]
		for n := range places {
			foot := a.add(along.mul((float64(n) + 0.5) / places))
			for d := range light {
				p := toPhoto.at(foot.add(out.mul(float64(d - reach))))
				v := float64(m.light.at(p.x, p.y))
				light[d] = v * v * v
			}
			at := func(d int) float64 { return light[d+reach] }
			inside := max(slices.Max(light[reach-4:reach-1]), 1e-4)
			next := slices.Max(light[reach+2 : reach+6])
			outs[n] = next / inside
			dark := min(at(-1), at(0), at(1), at(2))
			dips[n] = 1 - dark/min(inside, next)
			if min(at(-1), at(-2)) < (1-inkDip)*max(at(1), at(2), at(3)) {
				side.inked += 1.0 / places
			}
			least := inside
			for d := 1; d <= far; d++ {
				least = min(least, at(d))
				if least < (1-inkDip)*inside && at(d) > 0.85*inside {
					side.again += 1.0 / places
					break
				}
			}
		}
		slices.Sort(outs[:])
		slices.Sort(dips[:])
		side.outside, side.dip = outs[places/2], dips[places/2]
	}
	return s
}

// against says why a quad cannot be the sheet, empty if it can.
func (s *surround) against() string {
	for i, b := range s {
		switch {
		case b.inked > 0.3:
			return fmt.Sprintf("what looks like it is dark along the inside of its %s edge, as a part of a drawing is", sideNames[i])
		case b.again > 0.5:
			return fmt.Sprintf("there is paper again beyond the %s edge of what looks like it, as round a frame", sideNames[i])
		}
	}
	return ""
}

// faint says that a side has all but the same light outside as inside.
func (b *border) faint() bool { return math.Abs(math.Log(b.outside)) < 0.06 }

// faint names the sides with all but the same light outside.
func (s *surround) faint() (names []string) {
	for i := range s {
		if s[i].faint() {
			names = append(names, sideNames[i])
		}
	}
	return names
}

// weight is by how much the surround speaks for a sheet. A line drawn on paper
// has paper on both sides, as has a sheet on a white table: anything else is
// likelier.
func (s *surround) weight() float64 {
	v := 1.0
	for i := range s {
		b := &s[i]
		v *= (1 - b.again/2) * (1 - b.inked/2)
		if b.faint() {
			v *= 0.85
		}
	}
	return v
}
