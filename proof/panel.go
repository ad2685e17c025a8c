package proof

import (
	"fmt"
	"math"
	"slices"

	"example.org/kerfleaf/export"
	"example.org/kerfleaf/internal/region"
	"example.org/kerfleaf/internal/ring"
	"github.com/twpayne/go-geom"
)

// A FoldError says why the lines of a drawing do not fold up to a tray.
type FoldError struct{ Problem string }

func (e *FoldError) Error() string { return "proof: " + e.Problem }

// hairline is how wide, in mm, lines are drawn to part the panels from each other.
const hairline = 0.04

// net is a part with its panels, which hang together by hinges.
type net struct {
	panels []*geom.Polygon
	hinges []hinge
}

// hinge is a stretch of a score, from p to q, with the panels on its left and on its right as y points down: on the side that (dy, -dx)
// points to, and the other.
type hinge struct {
	p, q        [2]float64
	left, right int
	valley      bool
}

// shortest is the length in mm below which a fold holds nothing; the ends that reach adds hold nothing either.
const shortest = 1

// fold is a straight score, with all its dashes or marks.
type fold struct {
	p, q   [2]float64
	valley bool
}

// newNet cuts the largest part of a tray's drawing along its slits and scores into panels.
func newNet(t Tray) (*net, error) {
	r, err := newRun(t.Drawing, t.Kerf, &Options{Reading: Outlines})
	if err != nil {
		return nil, err
	}
	if !(t.Thickness >= 0 && t.Thickness <= largest) {
		return nil, &InputError{fmt.Sprintf("a thickness of %g mm makes no sense", t.Thickness)}
	}
	r.doubled()
	r.closed, r.open, r.scores = assemble(r.tracks)
	if r.crossings() {
		return nil, &FoldError{r.result.Claims[len(r.result.Claims)-1].Text}
	}
	outline, err := r.outline()
	if err != nil {
		return nil, err
	}
	folds, err := straight(r.scores)
	if err != nil {
		return nil, err
	}
	further := 0.5 + 3*t.Kerf
	folds = reach(folds, append(points(r.open), ring.Rings(outline)...), further)
	lines := slices.Clone(r.open)
	for _, f := range folds {
		lines = append(lines, track{pts: []float64{f.p[0], f.p[1], f.q[0], f.q[1]}})
	}
	parted, err := bands(lines, hairline/2)
	if err != nil {
		return nil, err
	}
	pieces, err := region.Difference(outline, parted)
	if err != nil {
		return nil, fmt.Errorf("proof: %w", err)
	}
	n := &net{}
	for i := range pieces.NumPolygons() {
		n.panels = append(n.panels, pieces.Polygon(i))
	}
	if len(n.panels) == 0 {
		return nil, &FoldError{"nothing remains of the outline when the kerf and the lines are gone"}
	}
	in := newInside(pieces)
	for _, f := range folds {
		n.hang(f, folds, r.open, in, further+shortest)
	}
	return n, nil
}

// outline is the largest part without its openings, as it is when the kerf is gone.
func (r *run) outline() (*geom.MultiPolygon, error) {
	var best []float64
	for _, t := range r.closed {
		if best == nil || math.Abs(ring.Area(t.pts)) > math.Abs(ring.Area(best)) {
			best = t.pts
		}
	}
	if best == nil {
		return nil, &FoldError{"no closed cut is there to be the outline of a tray"}
	}
	return grow(ring.Nest([][]float64{best}), -r.kerf/2)
}

// straight puts the dashes and marks that lie on one line together.
func straight(scores []track) ([]fold, error) {
	const tooMany = 4000
	type piece struct {
		fold
		ux, uy, off float64 // direction and distance of its line
	}
	var pieces []piece
	for _, t := range scores {
		for i := 0; i+3 < len(t.pts); i += 2 {
			dx, dy := t.pts[i+2]-t.pts[i], t.pts[i+3]-t.pts[i+1]
			l := math.Hypot(dx, dy)
			if dx < 0 || dx == 0 && dy < 0 {
				l = -l
			}
			p := piece{ux: dx / l, uy: dy / l}
			p.p, p.q = [2]float64{t.pts[i], t.pts[i+1]}, [2]float64{t.pts[i+2], t.pts[i+3]}
			p.valley = t.role == export.Valley
			p.off = p.ux*p.p[1] - p.uy*p.p[0]
			pieces = append(pieces, p)
		}
	}
	if len(pieces) == 0 {
		return nil, &FoldError{"there are no scores to fold on"}
	}
	if len(pieces) > tooMany {
		return nil, &FoldError{fmt.Sprintf("more than %d scores are none of a tray", tooMany)}
	}
	var out []fold
	used := make([]bool, len(pieces))
	for i, a := range pieces {
		if used[i] {
			continue
		}
		along := func(p [2]float64) float64 { return a.ux*p[0] + a.uy*p[1] }
		f := a.fold
		for j := i; j < len(pieces); j++ {
			b := pieces[j]
			if used[j] || b.valley != a.valley || math.Abs(a.ux*b.uy-a.uy*b.ux) > 1e-3 || math.Abs(a.ux*b.p[1]-a.uy*b.p[0]-a.off) > 2*grid {
				continue
			}
			used[j] = true
			for _, p := range [][2]float64{b.p, b.q} {
				if along(p) < min(along(f.p), along(f.q)) || along(p) > max(along(f.p), along(f.q)) {
					if (along(p) < along(f.p)) == (along(f.p) < along(f.q)) {
						f.p = p
					} else {
						f.q = p
					}
				}
			}
		}
		out = append(out, f)
	}
	return out, nil
}

// short is how far, in mm, a score may end before the line that it leads to: dashes begin with paper, and a score that stops short of a snip
// tears less.
const short = 3

// reach prolongs folds to the edges, slits and folds that they end at or short of, and over them by some more: a tool leaves paper in
// the tip of a notch that ends at a fold, which is no panel's and holds nothing.
func reach(folds []fold, lines [][]float64, over float64) []fold {
	for _, f := range folds {
		lines = append(lines, []float64{f.p[0], f.p[1], f.q[0], f.q[1]})
	}
	out := slices.Clone(folds)
	for k := range out {
		f := &out[k]
		for _, end := range []struct{ from, to *[2]float64 }{{&f.p, &f.q}, {&f.q, &f.p}} {
			p := *end.to
			dx, dy := p[0]-end.from[0], p[1]-end.from[1]
			l := math.Hypot(dx, dy)
			ux, uy := dx/l, dy/l
			best := math.Inf(1)
			for _, line := range lines {
				for i := 0; i+3 < len(line); i += 2 {
					s, ok := crossing(p, ux, uy, line[i:i+4])
					if ok && s > -hairline && s < best {
						best = s
					}
				}
			}
			if best <= short {
				*end.to = [2]float64{p[0] + (best+over)*ux, p[1] + (best+over)*uy}
			}
		}
	}
	return out
}

// crossing tells how far from p in the direction u a straight piece crosses that line.
func crossing(p [2]float64, ux, uy float64, piece []float64) (s float64, ok bool) {
	a, b := ux*(piece[1]-p[1])-uy*(piece[0]-p[0]), ux*(piece[3]-p[1])-uy*(piece[2]-p[0])
	if a > grid && b > grid || a < -grid && b < -grid || a == b {
		return 0, false
	}
	t := min(max(a/(a-b), 0), 1)
	return ux*(piece[0]+t*(piece[2]-piece[0])-p[0]) + uy*(piece[1]+t*(piece[3]-piece[1])-p[1]), true
}

// hang finds the panels on both sides of a fold, between all places where other lines meet it.
func (n *net) hang(f fold, folds []fold, slits []track, in *inside, least float64) {
	dx, dy := f.q[0]-f.p[0], f.q[1]-f.p[1]
	l := math.Hypot(dx, dy)
	if l == 0 {
		return
	}
	ux, uy := dx/l, dy/l
	stops := []float64{0, l}
	lines := points(slits)
	for _, g := range folds {
		lines = append(lines, []float64{g.p[0], g.p[1], g.q[0], g.q[1]})
	}
	for _, line := range lines {
		for i := 0; i+3 < len(line); i += 2 {
			if s, ok := crossing(f.p, ux, uy, line[i:i+4]); ok && s > 0 && s < l {
				stops = append(stops, s)
			}
		}
	}
	slices.Sort(stops)
	for i := 1; i < len(stops); i++ {
		if stops[i]-stops[i-1] < least {
			continue
		}
		s := (stops[i] + stops[i-1]) / 2
		x, y := f.p[0]+s*ux, f.p[1]+s*uy
		a, okA := in.polygon(x+hairline*uy, y-hairline*ux)
		b, okB := in.polygon(x-hairline*uy, y+hairline*ux)
		if okA && okB && a != b {
			n.hinges = append(n.hinges, hinge{f.p, f.q, a, b, f.valley})
		}
	}
}
