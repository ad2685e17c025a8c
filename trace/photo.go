package trace

import (
	"fmt"
	"image"
	"math"
	"strings"
)

// A sheet is what a photo shows of a sheet of paper.
type sheet struct {
	w, h    float64     // mm
	photo   image.Point // size of the photo
	corners [4]vec2     // from its top left clockwise, pixels, as without a lens
	turned  bool        // its top side is h long
}

const (
	leastSeen       = 0.5   // share of each edge that must be found between pixels
	clearlySeen     = 0.7   // share below which it is worth a look
	mostFinalMisfit = 0.02  // see misfitOf
	goodMisfit      = 0.004 // what a sheet whose edges are clear fits within
)

var sideNames = [4]string{"top", "right", "bottom", "left"}

// find looks for the sheet: roughly by straight lines, then along each edge
// between pixels. Of the likeliest quads that hold it takes the one that fits
// best.
func (s *sheet) find(g *image.Gray, c *field, useLens Choice, rep *Report) error {
	m := edgesOf(c)
	quads, why := findQuads(m, s.w, s.h)
	if len(quads) == 0 {
		return &SheetError{Width: s.w, Height: s.h, Why: why}
	}
	var first *SheetError
	var best, other *fitted // the other lies elsewhere
	for _, k := range quads {
		if best != nil && (k.score < rival*best.quad.score || best.seen > wellSeen && cornersApart(k.corner, best.cells(m.step)) < sameCells) {
			continue
		}
		f, why := s.settle(g, k, m.step, useLens)
		if why != "" {
			if first == nil {
				first = &SheetError{Width: s.w, Height: s.h, Why: why, Best: k.photoCorners(m.step)}
			}
			continue
		}
		if best == nil || f.quality > best.quality {
			best, f = f, best
		}
		if f != nil && cornersApart(f.corners, best.corners) > m.step && (other == nil || f.quality > other.quality) {
			other = f
		}
	}
	if best == nil {
		return first
	}
	s.corners, s.turned = best.corners, best.turned
	best.report(rep, s)
	if other != nil && other.quality > doubtful*best.quality {
		rep.warn("another outline could be the sheet too: look whether the right one was found")
	}
	return nil
}

const (
	rival     = 0.5  // of the best score, from which a quad is worth comparing
	wellSeen  = 0.85 // share from which the edges of a quad will not be seen better by one close to it,
	sameCells = 4    // which is within so many cells of the edge map
	doubtful  = 0.7  // of the best quality, from which another outline is as likely
)

// A fitted quad has its edges found between pixels.
type fitted struct {
	quad    *quad
	corners [4]vec2 // pixels, as without a lens
	turned  bool
	lens    lens
	bend    string  // what was seen of the lens
	seen    float64 // smallest share of an edge
	misfit  float64
	quality float64
}

// cells are the corners in cells of the edge map.
func (f *fitted) cells(step float64) (c [4]vec2) {
	for i, q := range f.corners {
		c[i] = f.lens.bent(q).mul(1 / step)
	}
	return c
}

// settle finds the edges of a quad between pixels. What bend they have is the
// lens's. The corners are where the fitted edges meet; none is picked from
// pixels. It says what speaks against the quad, if anything.
func (s *sheet) settle(g *image.Gray, k *quad, step float64, useLens Choice) (f *fitted, why string) {
	var edges [4]*sheetEdge
	middle := k.middle().mul(step)
	for i := range edges {
		edges[i] = sideEdge(g, k.corner[i].mul(step), k.corner[(i+1)%4].mul(step), middle, 4*step)
	}
	l, bend := seeLens(g.Rect, edges, useLens)
	f = &fitted{quad: k, lens: *l, bend: bend, seen: 1, quality: k.score}
	var lines [4]edgeLine
	for i, e := range edges {
		line, kept, _ := fitLine(l.straightened(e.points), e.normal)
		share := float64(len(kept)) / float64(max(e.tried, 1))
		if share < leastSeen {
			return nil, fmt.Sprintf("only %.0f %% of its %s edge could be seen", 100*share, sideNames[i])
		}
		f.seen = min(f.seen, share)
		f.quality *= share
		lines[i] = line
	}
	if faint := k.around.faint(); f.seen < clearlySeen && len(faint) >= 3 {
		return nil, fmt.Sprintf("what looks like it is hardly lighter or darker than what lies beside it, and only %.0f %% of an edge could be seen", 100*f.seen)
	}
	for i := range lines {
		q, ok := meet(&lines[(i+3)%4], &lines[i])
		if !ok {
			return nil, "two of its edges are almost parallel"
		}
		f.corners[i] = q
	}
	f.misfit, f.turned = misfitOf(f.corners, l.centre, s.w, s.h)
	if f.misfit > mostFinalMisfit {
		return nil, fmt.Sprintf("four edges enclose a shape that is no view of such a sheet, off by %.1f %%", 100*f.misfit)
	}
	f.quality /= 1 + (f.misfit/goodMisfit)*(f.misfit/goodMisfit)
	return f, ""
}

// photoCorners are the corners in pixels of the photo.
func (k *quad) photoCorners(step float64) (c [4][2]float64) {
	for i, q := range k.corner {
		c[i] = [2]float64{q.x * step, q.y * step}
	}
	return c
}

// report says what was found, and warns where the sheet may lie otherwise.
func (f *fitted) report(rep *Report, s *sheet) {
	rep.view.lens, rep.Distortion, rep.Confidence = f.lens, f.lens.k1, f.seen
	rep.step("find the sheet", true, "four edges, each seen along at least %.0f %%, fit a sheet of %g x %g mm within %.2f %%", 100*f.seen, s.w, s.h, 100*f.misfit)
	rep.step("undo the lens", f.lens.k1 != 0, "%s", f.bend)
	if f.seen < clearlySeen {
		rep.warn("only %.0f %% of an edge of the sheet could be seen: look whether the outline lies on the sheet", 100*f.seen)
	}
	if faint := f.quad.around.faint(); len(faint) > 0 {
		rep.warn("what lies beside the sheet is almost as light as it is (%s): look whether the outline lies on its edge there", strings.Join(faint, ", "))
	}
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
