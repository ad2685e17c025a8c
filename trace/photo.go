package trace

import (
	"fmt"
	"image"
	"math"
)

// A sheet is what a photo shows of a sheet of paper.
type sheet struct {
	w, h    float64     // mm
	photo   image.Point // size of the photo
	corners [4]vec2     // from its top left clockwise, pixels, as without a lens
	turned  bool        // its top side is h long
}

const (
	leastSeen   = 0.5  // share of each edge that must be found between pixels
	finalMisfit = 0.02 // see misfitOf
	mostBeyond  = 0.5  // see paperBeyond
)

var sideNames = [4]string{"top", "right", "bottom", "left"}

// find looks for the sheet: roughly by straight lines, then along each edge
// between pixels, until one of the likeliest quads holds.
func (s *sheet) find(g *image.Gray, c *field, useLens Choice, rep *Report) error {
	m := edgesOf(c)
	quads, why := findQuads(m, s.w, s.h)
	if len(quads) == 0 {
		return &SheetError{Width: s.w, Height: s.h, Why: why}
	}
	var first *SheetError
	for i := range quads {
		why := s.settle(g, &quads[i], m.step, useLens, rep)
		if why == "" {
			return nil
		}
		if first == nil {
			first = &SheetError{Width: s.w, Height: s.h, Why: why}
			for k, q := range quads[i].corner {
				first.Best[k] = [2]float64{q.x * m.step, q.y * m.step}
			}
		}
	}
	return first
}

// settle finds the edges of a quad between pixels. What bend they have is the
// lens's. The corners are where the fitted edges meet; none is picked from
// pixels. It returns what speaks against the quad, if anything.
func (s *sheet) settle(g *image.Gray, k *quad, step float64, useLens Choice, rep *Report) (why string) {
	for i, share := range k.beyond {
		if share > mostBeyond {
			return fmt.Sprintf("there is paper again beyond its %s edge, which may be a frame's", sideNames[i])
		}
	}
	var edges [4]*sheetEdge
	middle := k.middle().mul(step)
	for i := range edges {
		edges[i] = edgePoints(g, k.corner[i].mul(step), k.corner[(i+1)%4].mul(step), middle, 4*step)
	}
	l, bend := seeLens(g.Rect, edges, useLens)
	var lines [4]edgeLine
	seen := 1.0
	for i, e := range edges {
		line, kept, _ := fitLine(l.straightened(e.points), e.normal)
		share := float64(len(kept)) / float64(max(e.tried, 1))
		if share < leastSeen {
			return fmt.Sprintf("only %.0f %% of its %s edge could be seen", 100*share, sideNames[i])
		}
		seen = min(seen, share)
		lines[i] = line
	}
	for i := range lines {
		q, ok := meet(&lines[(i+3)%4], &lines[i])
		if !ok {
			return "two of its edges are almost parallel"
		}
		s.corners[i] = q
	}
	var misfit float64
	misfit, s.turned = misfitOf(s.corners, l.centre, s.w, s.h)
	if misfit > finalMisfit {
		return fmt.Sprintf("four edges enclose a shape that is no view of such a sheet, off by %.1f %%", 100*misfit)
	}
	rep.view.lens, rep.Distortion, rep.Confidence = *l, l.k1, seen
	rep.step("find the sheet", true, "four edges, of which at least %.0f %% was seen each, fit a sheet of %g x %g mm within %.1f %%", 100*seen, s.w, s.h, 100*misfit)
	rep.step("undo the lens", l.k1 != 0, "%s", bend)
	return ""
}

// given takes corners from the user.
func (s *sheet) given(corners [4][2]float64, rep *Report) {
	for i, q := range corners {
		s.corners[i] = vec2{q[0], q[1]}
	}
	_, s.turned = misfitOf(s.corners, vec2{float64(s.photo.X) / 2, float64(s.photo.Y) / 2}, s.w, s.h)
	rep.Confidence = 1
	rep.step("find the sheet", false, "its corners were given")
}

// flatten sets the view to the sheet as seen from straight above, with about as
// many pixels as the photo has of it.
func (s *sheet) flatten(rep *Report) error {
	w, h := s.w, s.h
	if s.turned {
		w, h = h, w
	}
	seen := area(s.corners)
	if photo := float64(s.photo.X) * float64(s.photo.Y); !(seen <= 2*photo) {
		return &SheetError{Width: s.w, Height: s.h, Why: fmt.Sprintf("its corners lie far outside the photo of %d x %d pixels", s.photo.X, s.photo.Y)}
	}
	pw := math.Round(w / math.Sqrt(w*h/seen))
	rep.mm = w / pw
	ph := math.Round(h / rep.mm)
	m := homographyFrom(sheetCorners(w/rep.mm, h/rep.mm), s.corners)
	if m == nil || !(pw >= 2 && ph >= 2 && pw*ph <= 3*float64(s.photo.X)*float64(s.photo.Y)) || m.inverse() == nil {
		return &SheetError{Width: s.w, Height: s.h, Why: "its corners enclose no view of such a sheet"}
	}
	rep.view.w, rep.view.h, rep.view.toSource = int(pw), int(ph), *m
	for i, q := range s.corners {
		b := rep.view.lens.bent(q)
		rep.Sheet[i] = [2]float64{b.x, b.y}
	}
	rep.step("flatten", true, "the sheet seen from straight above, %d x %d pixels of %.4f mm", int(pw), int(ph), rep.mm)
	return nil
}

// shows tells which coarse cells lie on the view, rim view pixels within it.
func (v *view) shows(c *field, rim float64) []bool {
	back := v.toSource.inverse()
	in := make([]bool, len(c.v))
	eachBand(c.h, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range c.w {
				q := back.at(v.lens.straight(vec2{(float64(x) + 0.5) * c.step, (float64(y) + 0.5) * c.step}))
				in[y*c.w+x] = q.x > rim && q.y > rim && q.x < float64(v.w)-rim && q.y < float64(v.h)-rim
			}
		}
	})
	return in
}
