package proof

import (
	"fmt"
	"math"

	"example.org/kerfleaf/box"
	"example.org/kerfleaf/export"
	"github.com/twpayne/go-geom"
)

// Tray is a drawing of one tray's net, the paper it is made of and the tool that cuts it; lengths in mm.
type Tray struct {
	Drawing   *export.Drawing
	Thickness float64 // of the paper
	Kerf      float64 // width that the tool removes
}

// Fit tells how a base sits in a front, both folded up; lengths in mm.
type Fit struct {
	Claims []Claim // places are on the flat drawing of the tray that the text names
	// Width and Height are the room on either side of the base across the width and the height of the front's face, when it stands in the middle.
	// Below 0 the base is too large.
	Width, Height float64
	Turned        bool // the base goes in a quarter turned from how it is drawn
}

// OK reports whether all claims are true.
func (f *Fit) OK() bool { return (&Result{Claims: f.Claims}).OK() }

// Slide folds both trays up from their drawings, in thought and in the thickness of their papers, and puts the base into the front: the largest
// closed cut of each is its outline, scores (and rows of perforations) are the middle of its folds, all of them right angles. The panel with most
// folds is the face. Tabs lie inside of the walls that they meet. Openings and valleys are allowed, curved folds are not.
//
// It fails with an [*InputError], or with a [*FoldError] where the lines do not fold up to four walls around a face.
func Slide(front, base Tray) (*Fit, error) {
	f, err := newTray("front", front)
	if err != nil {
		return nil, err
	}
	b, err := newTray("base", base)
	if err != nil {
		return nil, err
	}
	fit := &Fit{Claims: append(f.claims, b.claims...)}
	w, h := f.inner(0)-b.outer(0), f.inner(1)-b.outer(1)
	wt, ht := f.inner(0)-b.outer(1), f.inner(1)-b.outer(0)
	if min(wt, ht) > min(w, h) && min(w, h) < 0 {
		fit.Turned, w, h = true, wt, ht
	}
	fit.Width, fit.Height = w/2, h/2
	text := fmt.Sprintf("the base slides into the front with %.2f mm on either side across the width and %.2f across the height", fit.Width, fit.Height)
	claim := Claim{Text: text, OK: true}
	switch least := min(fit.Width, fit.Height); {
	case least < 0:
		claim = Claim{Text: fmt.Sprintf("the base does not go into the front: it is %.2f mm too large", -2*least)}
	case least < box.MinGap:
		claim = Claim{Text: text + ", so it jams"}
	}
	fit.Claims = append(fit.Claims, claim)
	return fit, nil
}

// tray is a folded net, measured from the middle of its face.
type tray struct {
	walls  [2][2]float64 // how far the middle of each wall's paper is out, along each axis: to the low and the high side
	tabs   [2][2]bool    // whether tabs lie inside of it
	t      float64
	claims []Claim
}

func (t *tray) outer(axis int) float64 { return t.walls[axis][0] + t.walls[axis][1] + t.t }

func (t *tray) inner(axis int) float64 {
	in := t.walls[axis][0] + t.walls[axis][1] - t.t
	for _, tabs := range t.tabs[axis] {
		if tabs {
			in -= t.t
		}
	}
	return in
}

// newTray folds a net and measures its walls.
func newTray(name string, in Tray) (*tray, error) {
	n, err := newNet(in)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	face, all := n.fold()
	b := n.panels[face].Bounds()
	centre := vector{(b.Min(0) + b.Max(0)) / 2, (b.Min(1) + b.Max(1)) / 2}
	t := &tray{t: in.Thickness}
	var walls [2][2]*spread
	down := 0.0
	tabs := 0
	var faults []Claim
	for _, p := range all[1:] {
		axis, side, out, ok := p.wall(centre)
		at := middle(n.panels[p.panel])
		if !ok {
			faults = append(faults, Claim{Text: fmt.Sprintf("%s: the panel at %s does not stand level or upright along the face", name, spot(at)), At: at})
			continue
		}
		s := p.spread(n.panels[p.panel], axis)
		if p.depth == 1 {
			if walls[axis][side] != nil {
				continue // a wall of several panels, which lie in one plane
			}
			walls[axis][side], t.walls[axis][side] = s, out
			if down != 0 && (s.z[0]+s.z[1] < 0) != (down < 0) {
				faults = append(faults, Claim{Text: fmt.Sprintf("%s: the wall at %s folds the other way", name, spot(at)), At: at})
			}
			down = s.z[0] + s.z[1]
			continue
		}
		tabs++
		w := walls[axis][side]
		switch {
		case w == nil || math.Abs(out-t.walls[axis][side]) > in.Thickness+hairline:
			faults = append(faults, Claim{Text: fmt.Sprintf("%s: the tab at %s meets no wall", name, spot(at)), At: at})
		case !w.holds(s, in.Thickness+hairline):
			faults = append(faults, Claim{Text: fmt.Sprintf("%s: the tab at %s reaches beyond the wall that it is glued to", name, spot(at)), At: at})
		default:
			t.tabs[axis][side] = true
			for _, o := range w.tabs {
				if o.meets(s, hairline) {
					faults = append(faults, Claim{Text: fmt.Sprintf("%s: the tab at %s lies on another", name, spot(at)), At: at})
				}
			}
			w.tabs = append(w.tabs, s)
		}
	}
	for _, h := range n.hinges {
		// Two panels on one hinge must still lie there side by side.
		a, b := find(all, h.left), find(all, h.right)
		if d := a.at(h.p[0], h.p[1]).add(b.at(h.p[0], h.p[1]), -1); math.Sqrt(d.dot(d)) > hairline {
			at := geom.Coord{(h.p[0] + h.q[0]) / 2, (h.p[1] + h.q[1]) / 2}
			faults = append(faults, Claim{Text: fmt.Sprintf("%s: the fold at %s cannot close: a cut is missing at its end", name, spot(at)), At: at})
		}
	}
	for _, axis := range walls {
		if axis[0] == nil || axis[1] == nil {
			return nil, fmt.Errorf("%s: %w", name, &FoldError{"the scores do not fold up to four walls around a face"})
		}
	}
	text := fmt.Sprintf("%s: folds up to four walls, %.2f x %.2f mm outside", name, t.outer(0), t.outer(1))
	if tabs > 0 {
		text += fmt.Sprintf(", with %d tabs inside them", tabs)
	}
	if len(faults) == 0 {
		faults = []Claim{{Text: text, OK: true}}
	}
	t.claims = faults
	return t, nil
}

// wall tells along which axis of the face, on which side and how far out a folded panel stands.
func (p folded) wall(centre vector) (axis, side int, out float64, ok bool) {
	if math.Abs(p.w[0]) < math.Abs(p.w[1]) {
		axis = 1
	}
	if math.Abs(math.Abs(p.w[axis])-1) > 1e-3 {
		return 0, 0, 0, false
	}
	if out = p.o.add(centre, -1).dot(p.w) * p.w[axis]; out > 0 {
		side = 1
	}
	return axis, side, math.Abs(out), true
}

// spread is what a standing panel covers: along the wall and in depth.
type spread struct {
	along, z [2]float64
	tabs     []*spread
}

func (p folded) spread(panel *geom.Polygon, axis int) *spread {
	inf := math.Inf(1)
	s := &spread{along: [2]float64{inf, -inf}, z: [2]float64{inf, -inf}}
	flat := panel.LinearRing(0).FlatCoords()
	for i := 0; i < len(flat); i += 2 {
		v := p.at(flat[i], flat[i+1])
		s.along = [2]float64{min(s.along[0], v[1-axis]), max(s.along[1], v[1-axis])}
		s.z = [2]float64{min(s.z[0], v[2]), max(s.z[1], v[2])}
	}
	return s
}

func (s *spread) holds(o *spread, slack float64) bool {
	return s.along[0] <= o.along[0]+slack && s.along[1] >= o.along[1]-slack && s.z[0] <= o.z[0]+slack && s.z[1] >= o.z[1]-slack
}

func (s *spread) meets(o *spread, slack float64) bool {
	return s.along[0] < o.along[1]-slack && o.along[0] < s.along[1]-slack && s.z[0] < o.z[1]-slack && o.z[0] < s.z[1]-slack
}
