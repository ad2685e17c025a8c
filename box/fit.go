package box

import (
	"fmt"
	"math"
	"strconv"

	"example.org/kerfleaf/internal/length"
)

// Grain is the direction in which most of the paper's fibres lie. Paper folds
// cleanly along it and grows across it.
type Grain int

const (
	Unknown     Grain = iota
	AlongWidth        // fibres run along x
	AlongHeight       // fibres run along y
)

// DampGrowth is the share by which paper may grow across its grain between dry
// and damp air (20 to 75 % relative humidity): the 0.70 % that the
// specification of punched-card stock allows at worst. Along the grain it is
// 0.25 %.
const DampGrowth = 0.0070

// Extent is a width and a height in mm.
type Extent struct{ Width, Height float64 }

// Measures are the numbers that a maker marks out and checks, in mm.
type Measures struct {
	FrontFace, FrontBlank Extent // score to score, and the paper to cut it from
	BaseFace, BaseBlank   Extent
	Less                  Extent // what the base's face is less than the front's
	Gap                   Extent // room on either side of the folded base, across the width and across the height
}

// Measures returns the sizes of both trays and how they will fit. It fails like
// [Spec.Front].
func (s Spec) Measures() (*Measures, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	f, b := s.front(), s.base()
	m := &Measures{
		FrontFace:  Extent{f.w, f.h},
		FrontBlank: f.blank(),
		BaseFace:   Extent{b.w, b.h},
		BaseBlank:  b.blank(),
		Less:       Extent{f.w - b.w, f.h - b.h},
	}
	clear, outside := f.inside(), b.outside()
	m.Gap = Extent{(clear.Width - outside.Width) / 2, (clear.Height - outside.Height) / 2}
	return m, nil
}

// SlidesIn says in words how tight the fit is: the narrower of the two gaps, to
// a tenth of a millimetre, rounded down.
func (m *Measures) SlidesIn() string {
	g := math.Floor(min(m.Gap.Width, m.Gap.Height)*10+1e-6) / 10
	return "the base slides in with " + strconv.FormatFloat(g, 'f', 1, 64) + " mm a side"
}

// String lists the measures in inches and millimetres, a line for each tray and
// one for the fit.
func (m *Measures) String() string {
	return fmt.Sprintf("front: face %s, blank %s\nbase:  face %s, blank %s\n%s",
		m.FrontFace, m.FrontBlank, m.BaseFace, m.BaseBlank, m.SlidesIn())
}

// String gives both sides in inches and millimetres, or one of them and
// "square".
func (e Extent) String() string {
	if math.Abs(e.Width-e.Height) < 1e-6 {
		return length.Format(e.Width) + " square"
	}
	return length.Format(e.Width) + " x " + length.Format(e.Height)
}

// tray is what front and base have in common: the rectangle of the scores, the
// walls, the paper and the tabs.
type tray struct {
	w, h, depth, t float64
	tall           bool // tabs hang on the top and bottom walls, not on the left and right ones
	tab            Tab
	tabLength      float64
}

// front gives the front's measures. Tabs hang on the shorter walls, so that
// they are glued inside the longer ones, where they have most room.
func (s Spec) front() tray {
	return s.tray(s.Width+2*s.Margin, s.Height+2*s.Margin, s.Depth, s.FrontThickness, length.Up)
}

func (s Spec) base() tray {
	f, less := s.front(), s.less()
	depth := s.BaseDepth
	if depth == 0 {
		depth = s.Depth
	}
	return s.tray(f.w-less.Width, f.h-less.Height, depth, s.BaseThickness, length.Down)
}

func (s Spec) tray(w, h, depth, t float64, r length.Rounding) tray {
	mark := func(v float64) float64 {
		if s.Ruler == 0 {
			return v
		}
		return length.ToMark(v, s.Ruler, r)
	}
	tr := tray{w: mark(w), h: mark(h), depth: mark(depth), t: t, tall: s.Width < s.Height, tab: s.Tab}
	tr.tabLength = s.TabLength
	if tr.tabLength == 0 {
		tr.tabLength = tr.usualTab()
	}
	return tr
}

// less is what the package comment calls F - F', and the room for damp.
func (s Spec) less() Extent {
	g := s.Gap
	if g == 0 {
		g = DefaultGap
	}
	d := 2*g + 3*s.FrontThickness + s.BaseThickness
	e := Extent{d, d}
	if s.Damp && (s.FrontGrain != s.BaseGrain || s.FrontGrain == Unknown) {
		f := s.front()
		e.Width += DampGrowth * f.w
		e.Height += DampGrowth * f.h
	}
	return e
}

func (t tray) blank() Extent { return Extent{t.w + 2*t.depth, t.h + 2*t.depth} }

// inside is the clear room between opposite walls, less the tabs on two of
// them; outside is what the folded tray takes up.
func (t tray) inside() Extent {
	e := Extent{t.w - t.t, t.h - t.t}
	if t.tall {
		e.Width -= 2 * t.t
	} else {
		e.Height -= 2 * t.t
	}
	return e
}

func (t tray) outside() Extent { return Extent{t.w + t.t, t.h + t.t} }
