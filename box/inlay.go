package box

import "github.com/twpayne/go-geom"

const (
	// leastTrim and inlayRoom make inlays smaller than the base's face: by 1 mm
	// at least (1 to 1.5 mm is common practice, no source), and by half a
	// millimetre more than the walls and tabs take.
	leastTrim, inlayRoom = 1.0, 0.5
	// reveal is how far the frame's opening stands back from the window on
	// either side, so that it does not show.
	reveal = 0.5
	// minBar is the narrowest bar of a frame that can be glued: our choice.
	minBar = 2.0
)

// Liner returns the rectangle of decorated paper that lies on the floor of the
// base, its top-left corner the origin. It clears walls and tabs whichever way it
// is turned. It fails like [Spec.Front].
func (s Spec) Liner() (*geom.Polygon, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	e := s.inlay()
	if short := min(e.Width, e.Height); short <= 0 {
		return nil, &Error{Measure: "liner", Got: short, Reason: "no room is left on the floor of the base"}
	}
	return polygon(frame(0, 0, e.Width, e.Height)), nil
}

// Spacer returns a frame that goes behind the front's face, within the walls of
// the base, and holds the cut-out off what lies behind it: as large as the
// liner, with an opening that the margin hides. Its top-left corner is the
// origin. It fails like [Spec.Front], and with an *[Error] where the margin is too
// narrow to hide a bar.
func (s Spec) Spacer() (*geom.Polygon, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	e := s.inlay()
	w, h := s.Width+2*reveal, s.Height+2*reveal
	x, y := (e.Width-w)/2, (e.Height-h)/2
	if bar := min(x, y); bar < max(minBar, s.MinWeb) {
		return nil, &Error{Measure: "spacer bar", Got: bar, Limit: max(minBar, s.MinWeb), Reason: "the margin does not hide a wider one; widen the margin"}
	}
	hole := frame(x, y, x+w, y+h)
	hole[1], hole[3] = hole[3], hole[1] // holes run the other way round
	return polygon(frame(0, 0, e.Width, e.Height), hole), nil
}

// inlay is the largest rectangle that lies flat in the base with ease.
func (s Spec) inlay() Extent {
	b := s.base()
	trim := max(leastTrim, 3*b.t+inlayRoom)
	return Extent{b.w - trim, b.h - trim}
}

func frame(x0, y0, x1, y1 float64) []point {
	return []point{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}
}
