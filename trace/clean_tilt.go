package trace

import (
	"math"
	"slices"
)

// Tilt is looked for within this many degrees of upright.
const maxTilt = 6

// A crossing is where a row or a column of cells passes from ink to paper or
// back: along is the coordinate on the way of a nearly upright line, across the
// other, both in cells.
type crossing struct {
	along, across float64
}

// A family is all crossings that could lie on lines near one axis.
type family []crossing

// An upright is a straight edge that was found: its tilt in radians, how long
// it is in cells, and how well its tilt is known.
type upright struct {
	tilt, length, weight float64
	family               int
}

// tiltOf finds by how much the drawing is turned clockwise, in radians, from
// its straight edges: those of its own frame, of letters, or of the sheet. v
// holds values from 0 (ink) to 1 (paper). support is the summed length in
// cells of the edges that agree, count how many of them.
//
// Every crossing near an axis votes, at each angle, for the line through it
// (Duda and Hart 1972); the angle with the sharpest votes is kept, and the
// lines there are fitted again by least squares to the crossings themselves,
// which lie between cells. A frame that was meant to lean would be taken for a
// tilt only if edges on both axes lean by the same angle.
func tiltOf(v *field) (tilt, support float64, count int) {
	fams := [2]family{uprightCrossings(v), uprightCrossings(v.transposed())}
	const step = 0.1 * math.Pi / 180
	const n = int(maxTilt*10) + 1
	best, score := 0, 0.0
	for k := -n; k <= n; k++ {
		a := math.Tan(float64(k) * step)
		s := fams[0].sharpness(v.w, v.h, a) + fams[1].sharpness(v.h, v.w, -a)
		if s > score {
			best, score = k, s
		}
	}
	var found []upright
	shortest := 0.04 * float64(max(v.w, v.h))
	for i, f := range fams {
		sign := 1 - 2*float64(i)
		for _, u := range f.lines(v.w+v.h, sign*float64(best)*step, shortest) {
			found = append(found, upright{sign * u.tilt, u.length, u.weight, i})
		}
	}
	return agreed(found)
}

// uprightCrossings looks along the rows of v.
func uprightCrossings(v *field) family {
	var f family
	const lean = 0.16 // of the gradient: a line leaning by 9 degrees
	for y := 1; y < v.h-1; y++ {
		row := v.v[y*v.w:][:v.w]
		for x := 1; x < v.w-2; x++ {
			a, b := row[x], row[x+1]
			if (a < 0.5) == (b < 0.5) {
				continue
			}
			k := (0.5 - a) / (b - a)
			gx := row[x+1+int(k+0.5)] - row[x-1+int(k+0.5)]
			i := (y-1)*v.w + x + int(k+0.5)
			gy := v.v[i+2*v.w] - v.v[i]
			if gx*gx > 0.04 && gy*gy < (lean*lean)*gx*gx+0.01 {
				f = append(f, crossing{float64(y) + 0.5, float64(x) + 0.5 + float64(k)})
			}
		}
	}
	return f
}

func (f *field) transposed() *field {
	t := newField(f.h, f.w, f.step)
	for y := range f.h {
		for x := range f.w {
			t.v[x*f.h+y] = f.v[y*f.w+x]
		}
	}
	return t
}

// sharpness is the sum of squares of how many crossings fall on each line
// across = offset - slope*along.
func (f family) sharpness(across, along int, slope float64) float64 {
	pad := int(math.Abs(slope)*float64(along)) + 2
	votes := make([]int32, across+2*pad)
	for _, c := range f {
		votes[int(c.across+slope*c.along)+pad]++
	}
	sum := 0.0
	for _, n := range votes {
		if n > 4 {
			sum += float64(n) * float64(n)
		}
	}
	return sum
}

// lines fits the lines near a tilt that have at least shortest crossings.
func (f family) lines(size int, tilt, shortest float64) []upright {
	slope := math.Tan(tilt)
	pad := size
	bins := make(map[int][]int)
	for i, c := range f {
		b := int(c.across+slope*c.along) + pad
		bins[b] = append(bins[b], i)
	}
	keys := make([]int, 0, len(bins))
	for b := range bins {
		keys = append(keys, b)
	}
	slices.SortFunc(keys, func(a, b int) int {
		if d := len(bins[b]) - len(bins[a]); d != 0 {
			return d
		}
		return a - b
	})
	used := make([]bool, len(f))
	var out []upright
	for _, b := range keys {
		if float64(len(bins[b])) < shortest/2 {
			break
		}
		var members []crossing
		for d := -2; d <= 2; d++ {
			for _, i := range bins[b+d] {
				if !used[i] {
					used[i] = true
					members = append(members, f[i])
				}
			}
		}
		if u, ok := fitUpright(members, slope, shortest); ok {
			out = append(out, u)
		}
	}
	return out
}

// fitUpright fits across = a - slope*along, dropping what is off by more than
// half a cell, then a quarter.
func fitUpright(cs []crossing, slope, shortest float64) (upright, bool) {
	a := medianAcross(cs, slope)
	var n, length float64
	for _, within := range []float64{2, 1, 0.5, 0.3, 0.3} {
		n = 0
		var sx, sy, sxx, sxy float64
		for _, c := range cs {
			if math.Abs(c.across+slope*c.along-a) > within {
				continue
			}
			n++
			sx += c.along
			sy += c.across
			sxx += c.along * c.along
			sxy += c.along * c.across
		}
		spread := n*sxx - sx*sx
		if n < shortest || spread <= 0 {
			return upright{}, false
		}
		slope = -(n*sxy - sx*sy) / spread
		a = (sy + slope*sx) / n
		length = math.Sqrt(12 * spread / (n * n)) // of an even spread
	}
	if length < shortest {
		return upright{}, false
	}
	return upright{tilt: math.Atan(slope), length: length, weight: n * length * length}, true
}

func medianAcross(cs []crossing, slope float64) float64 {
	if len(cs) == 0 {
		return 0
	}
	v := make([]float64, len(cs))
	for i, c := range cs {
		v[i] = c.across + slope*c.along
	}
	slices.Sort(v)
	return v[len(v)/2]
}

// agreed is the tilt on which the most length agrees within 0.15 degrees.
func agreed(found []upright) (tilt, support float64, count int) {
	const within = 0.15 * math.Pi / 180
	for _, u := range found {
		var s, w, ws float64
		n, lines := [2]int{}, 0
		for _, o := range found {
			if math.Abs(o.tilt-u.tilt) <= within {
				s += o.length
				w += o.weight
				ws += o.weight * o.tilt
				n[o.family]++
				lines++
			}
		}
		if n[0] == 0 || n[1] == 0 {
			s /= 4 // one axis alone may lean by design
		}
		if s > support {
			tilt, support, count = ws/w, s, lines
		}
	}
	return tilt, support, count
}

// straighten turns the view upright where the drawing's edges say by how much.
// shares are those of tone.shares.
func (p *Picture) straighten(shares *field, do Choice, rep *Report) {
	const name = "straighten"
	if do == Off {
		rep.step(name, false, "as asked")
		return
	}
	tilt, support, edges := tiltOf(shares)
	degrees := tilt * 180 / math.Pi
	side := float64(max(shares.w, shares.h))
	switch {
	case edges == 0:
		rep.step(name, false, "no straight edges within %d degrees of upright", maxTilt)
	case do == Auto && support < leastFrame*side:
		rep.step(name, false, "too few straight edges agree on the %.2f degrees that some have", degrees)
	case do == Auto && math.Abs(tilt)*side < 0.25:
		rep.step(name, false, "%d straight edges stand upright within %.2f degrees", edges, math.Abs(degrees))
	default:
		rep.Tilt = degrees
		rep.step(name, true, "turned back by %.2f degrees, on which %d straight edges agree", degrees, edges)
		rep.view = turned(p.Gray.Rect.Dx(), p.Gray.Rect.Dy(), tilt)
	}
}

// leastFrame is the length of straight edges, as a share of the picture's long
// side, that must agree before a drawing is turned.
const leastFrame = 0.3

// turned is the view of a w x h picture turned back by a clockwise tilt, large
// enough for all of it.
func turned(w, h int, tilt float64) view {
	s, k := math.Sincos(math.Abs(tilt))
	vw := int(math.Ceil(float64(w)*k + float64(h)*s))
	vh := int(math.Ceil(float64(h)*k + float64(w)*s))
	turn := rotation(tilt, vec2{float64(w) / 2, float64(h) / 2})
	return view{w: vw, h: vh, toSource: *turn.after(&homography{1, 0, float64(w-vw) / 2, 0, 1, float64(h-vh) / 2, 0, 0, 1})}
}
