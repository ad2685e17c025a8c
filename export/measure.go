package export

import (
	"cmp"
	"math"
	"slices"
)

// A side is where the dimension line of a measure stands.
type side int

const (
	top side = iota
	bottom
	left
	right
	slant // where it is
)

// A dimension is a measure with its place: on the given side of the drawing, level steps away. a and b are its ends
// along the side in pixels, lo and hi the stretch that it takes with its text. Where the text does not fit between the
// arrows, these stand outside, and where it does not fit between its ends, the text too.
type dimension struct {
	Measure
	side    side
	level   int
	a, b    float64
	lo, hi  float64
	outside bool
	textAt  float64 // its middle
}

// level says whether two coordinates are the same to the eye, in mm.
func level(a, b float64) bool { return math.Abs(a-b) < 0.01 }

// sideOf is the side of the drawing that is nearer to the measure; of two equal ones top or left.
func (p *plan) sideOf(m Measure) side {
	switch {
	case level(m.From[1], m.To[1]) && level(m.From[0], m.To[0]):
		return slant
	case level(m.From[1], m.To[1]):
		if m.From[1]-p.bounds.Min(1) <= p.bounds.Max(1)-m.From[1]+0.01 {
			return top
		}
		return bottom
	case level(m.From[0], m.To[0]):
		if m.From[0]-p.bounds.Min(0) <= p.bounds.Max(0)-m.From[0]+0.01 {
			return left
		}
		return right
	}
	return slant
}

// dimensions places all measures: on each side the short ones nearest to the drawing, each as near as those before
// it allow.
func (p *plan) dimensions() []dimension {
	dims := make([]dimension, len(p.opts.Measures))
	for i, m := range p.opts.Measures {
		dims[i] = p.dimension(m)
	}
	slices.SortStableFunc(dims, func(a, b dimension) int {
		return cmp.Or(cmp.Compare(a.side, b.side), cmp.Compare(math.Round(a.b-a.a), math.Round(b.b-b.a)))
	})
	var taken []label
	for i := range dims {
		if dims[i].side == slant {
			continue
		}
		for slices.ContainsFunc(taken, p.stretch(dims[i]).meets) {
			dims[i].level++
		}
		taken = append(taken, p.stretch(dims[i]))
	}
	return dims
}

// stretch is the rectangle that a dimension line takes with its text.
func (p *plan) stretch(dim dimension) label {
	at, half := p.lineAt(dim), 0.9*smallSize*p.u
	if dim.side == top || dim.side == bottom {
		return label{dim.Text, dim.lo, at - half, dim.hi, at + half}
	}
	return label{dim.Text, at - half, dim.lo, at + half, dim.hi}
}

func (p *plan) dimension(m Measure) dimension {
	dim := dimension{Measure: m, side: p.sideOf(m)}
	fx, fy := p.at(m.From[0], m.From[1])
	tx, ty := p.at(m.To[0], m.To[1])
	mid := 0.0 // the middle of the drawing along the side
	switch dim.side {
	case top, bottom:
		dim.a, dim.b = min(fx, tx), max(fx, tx)
		mid, _ = p.at((p.bounds.Min(0)+p.bounds.Max(0))/2, 0)
	case left, right:
		dim.a, dim.b = min(fy, ty), max(fy, ty)
		_, mid = p.at(0, (p.bounds.Min(1)+p.bounds.Max(1))/2)
	case slant:
		dim.b = math.Hypot(tx-fx, ty-fy)
	}
	u := p.u
	text := textWidth(regular(), m.Text, smallSize*u)
	dim.lo, dim.hi, dim.textAt = dim.a-0.3*u, dim.b+0.3*u, (dim.a+dim.b)/2
	room := dim.b - dim.a - 0.6*u
	if text <= room-2*arrowLength*u {
		return dim
	}
	dim.outside = true
	dim.lo, dim.hi = dim.a-2*arrowLength*u, dim.b+2*arrowLength*u
	switch {
	case text <= room:
	case dim.textAt <= mid:
		dim.textAt = dim.hi + 0.5*u + text/2
		dim.hi += text + u
	default:
		dim.textAt = dim.lo - 0.5*u - text/2
		dim.lo -= text + u
	}
	return dim
}

// bands is the room in pixels that the measures take on each side of the sheet.
func (p *plan) bands() (out [4]float64) {
	need := func(s side, px float64) { out[s] = max(out[s], math.Ceil(px-0.01)) }
	inset := [4]float64{p.bounds.Min(1), p.d.Height - p.bounds.Max(1), p.bounds.Min(0), p.d.Width - p.bounds.Max(0)}
	for _, dim := range p.dims {
		switch dim.side {
		case slant:
			continue
		case top, bottom: // text may stand out to the left and right
			need(left, p.x0-dim.lo)
			need(right, dim.hi-p.x0-p.k*p.d.Width)
		case left, right:
			need(top, p.y0-dim.lo)
			need(bottom, dim.hi-p.y0-p.k*p.d.Height)
		}
		need(dim.side, (levelFirst+levelStep*float64(dim.level)+smallSize)*p.u-inset[dim.side]*p.k)
	}
	return out
}

const arrowLength, arrowWidth = 1.5, 0.5 // in units of u
