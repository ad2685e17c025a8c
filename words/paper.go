package words

import (
	"fmt"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/region"
	"example.org/kerfleaf/internal/ring"
	"example.org/kerfleaf/stencil"
)

// Letters says what becomes of the letters.
type Letters int

const (
	// Cut removes the letters. The centres of "o" or "A" are islands then, which
	// stencil.Bridge ties.
	Cut Letters = iota
	// Paper keeps the letters and cuts away the background around them, up to a
	// rectangular frame.
	Paper
)

// Hold says what holds letters of paper. Whatever it does not reach, such as a
// dot or an accent, is tied by a strap across the shortest gap, so the paper
// that is left is one piece.
type Hold int

const (
	// Bar lets each line stand on a bar that runs from one side of the frame to
	// the other.
	Bar Hold = iota
	// Touch moves the letters of each word together until they overlap, and lets
	// the widest line touch the frame on the left and right.
	Touch
	// Frame lets the tallest and the lowest letters run into the frame above and
	// below: the choice for one line of capitals.
	Frame
)

// overlap is the part of a web by which letters reach into a bar, the frame or
// each other.
const overlap = 0.25

// reach is how far, in parts of the height of capitals, a letter may fall short
// of the tallest or lowest one and still run into the frame: flat letters
// against round ones, capitals against ascenders.
const reach = 0.12

// A setting says how large letters of paper and the opening around them are in
// mm, at a scale.
type setting struct {
	page    *page
	scale   float64
	pad     ring.Box // from the ink outward to the opening, negative for inward
	opening ring.Box // beginning at (0, 0)
}

// background returns what is to be cut away around letters of paper, in mm, the
// opening of the frame beginning at (0, 0).
func (s *setter) background(lines []line, size Size, o *Options) (*geom.MultiPolygon, error) {
	var letters [][]letter
	if o.Hold == Touch {
		var err error
		if letters, err = s.letters(lines); err != nil {
			return nil, err
		}
	}
	capHeight := s.capHeight()
	at := func(scale float64) setting {
		set := setting{scale: scale}
		ls, in := lines, overlap*o.Web
		if o.Hold == Touch {
			ls = tighten(letters, in/scale)
		}
		set.page = stack(ls, o.Align, o.Leading*s.pitch())
		pad := o.Padding
		if pad == 0 {
			pad = 0.4 * capHeight * scale
		}
		set.pad = ring.Box{MinX: pad, MinY: pad, MaxX: pad, MaxY: pad}
		switch o.Hold {
		case Touch:
			set.pad.MinX, set.pad.MaxX = -in, -in
		case Frame:
			above, below := s.shortfall(set.page, reach*capHeight)
			set.pad.MinY, set.pad.MaxY = -in-above*scale, -in-below*scale
		}
		ink := set.page.ink
		set.opening.MaxX = (ink.MaxX-ink.MinX)*scale + set.pad.MinX + set.pad.MaxX
		set.opening.MaxY = (ink.MaxY-ink.MinY)*scale + set.pad.MinY + set.pad.MaxY
		return set
	}
	set := at(largest(func(scale float64) bool {
		b := at(scale).opening
		return (size.Cap == 0 || scale*capHeight <= size.Cap) &&
			(size.Width == 0 || b.MaxX <= size.Width) && (size.Height == 0 || b.MaxY <= size.Height)
	}))
	if letter := set.scale * capHeight; o.Web > letter/2 || set.opening.MaxX <= 0 || set.opening.MaxY <= 0 {
		return nil, fmt.Errorf("words: web %g mm in letters with capitals of %.3g mm, need at most half of it", o.Web, letter)
	}
	return s.around(set, o)
}

// shortfall is how far those glyphs that reach nearly as high, or as low, as the
// page's ink fall short of it, in font units.
func (s *setter) shortfall(p *page, limit float64) (above, below float64) {
	for _, g := range p.glyphs {
		b := s.boxes[g.id] // known since the line was set
		if d := b.MinY + g.y - p.ink.MinY; d <= limit {
			above = max(above, d)
		}
		if d := p.ink.MaxY - b.MaxY - g.y; d <= limit {
			below = max(below, d)
		}
	}
	return above, below
}

// largest returns the largest scale that fits, within the precision of numbers.
func largest(fits func(scale float64) bool) float64 {
	low, high := 0.0, 1.0
	for fits(high) {
		low, high = high, 2*high
	}
	for range 200 {
		middle := low + (high-low)/2
		if middle == low || middle == high {
			break
		}
		if fits(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return low
}

// around takes the letters, and what holds them, out of the opening.
func (s *setter) around(set setting, o *Options) (*geom.MultiPolygon, error) {
	letters, err := s.cut(set.page, set.scale, o.Tolerance)
	if err != nil {
		return nil, err
	}
	flat := letters.FlatCoords() // ours alone
	for i := range flat {
		flat[i] += [2]float64{set.pad.MinX, set.pad.MinY}[i%2]
	}
	background, err := region.UnionAll([]*geom.Polygon{rectangle(set.opening)})
	if err != nil {
		return nil, fmt.Errorf("words: %w", err)
	}
	if o.Hold == Bar {
		var bars []*geom.Polygon
		for _, baseline := range set.page.baselines {
			y := (baseline-set.page.ink.MinY)*set.scale + set.pad.MinY - overlap*o.Web
			bars = append(bars, rectangle(ring.Box{MinX: -1, MinY: y, MaxX: set.opening.MaxX + 1, MaxY: y + o.Web}))
		}
		union, err := region.UnionAll(bars)
		if err != nil {
			return nil, fmt.Errorf("words: %w", err)
		}
		if background, err = region.Difference(background, union); err != nil {
			return nil, fmt.Errorf("words: %w", err)
		}
	}
	if background, err = region.Difference(background, letters); err != nil {
		return nil, fmt.Errorf("words: %w", err)
	}
	held, _, err := stencil.Bridge(background, &stencil.BridgeOptions{Width: o.Web})
	if err != nil {
		return nil, fmt.Errorf("words: %w", err)
	}
	return fromTop(held), nil
}

func rectangle(b ring.Box) *geom.Polygon {
	return geom.NewPolygonFlat(geom.XY, []float64{
		b.MinX, b.MinY, b.MaxX, b.MinY, b.MaxX, b.MaxY, b.MinX, b.MaxY, b.MinX, b.MinY}, []int{10})
}
