package stencil

import (
	"fmt"
	"math"
	"slices"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/region"
	"example.org/kerfleaf/stencil/internal/mesh"
)

// passes is how often Thicken looks again: where webs meet, some are seen only when
// others have grown.
const passes = 6

// spare is how much wider, in mm, webs are made than asked for, as the strips have
// corners and their middle is found to within some of this.
const spare = 0.01

// Thicken brings every web between cut areas up to minWeb mm, less a thousandth, by
// growing paper where it is thinner: a strip of that width along the middle of the
// web, which goes over smoothly into the old edges where the web is wide enough by
// itself. All else stays as it was, and so does the number of cut areas.
//
// Growth that would close a cut area, take half of it or pinch it in two is left out
// on that side;
// what is still too thin is returned as faults, each a ThinWeb, the worst first. The
// result is valid; the cut areas given are not changed.
func Thicken(cut *geom.MultiPolygon, minWeb float64) (*geom.MultiPolygon, []Fault, error) {
	if !(minWeb > hold) || math.IsInf(minWeb, 0) {
		return nil, nil, fmt.Errorf("stencil: web %.3f mm wide, need more than %.2f", minWeb, hold)
	}
	out := geom.NewMultiPolygon(geom.XY)
	if cut != nil {
		out = cut.Clone()
	}
	for k := 0; ; k++ {
		p, err := newPlane(out, nil)
		if err != nil {
			return nil, nil, err
		}
		p.divide(minWeb)
		s := p.survey()
		webs := s.webs(minWeb - short)
		if len(webs) == 0 {
			return out, nil, nil
		}
		changed := false
		if k < passes {
			strips, err := s.strips(webs, minWeb+spare)
			if err != nil {
				return nil, nil, err
			}
			if out, changed, err = grow(out, strips); err != nil {
				return nil, nil, err
			}
		}
		if changed {
			continue
		}
		faults := s.thinWebs(Options{MinWeb: minWeb, Caution: minWeb})
		rank(faults)
		return out, faults, nil
	}
}

// strips are the strips of paper along webs that bring them to the given width.
func (s *survey) strips(webs []web, width float64) ([]*geom.MultiPolygon, error) {
	t := newTree(s.shores(s.pieces))
	var out []*geom.MultiPolygon
	for _, w := range webs {
		for _, spine := range w.spines {
			line := s.lead(t, spine, width)
			strip := geom.NewMultiPolygon(geom.XY)
			if ring := t.ribbon(line, width/2); simple(ring) {
				if err := strip.Push(polygon(ring)); err != nil {
					return nil, fmt.Errorf("stencil: %w", err)
				}
			} else {
				var flat []float64
				for _, p := range line {
					flat = append(flat, p.x, p.y)
				}
				var err error
				if strip, err = region.Along(flat, width/2); err != nil {
					return nil, fmt.Errorf("stencil: %w", err)
				}
			}
			out = append(out, strip)
		}
	}
	return out, nil
}

// ample is how many times the width asked for the paper has where a strip ends, so
// that its edges come out of the paper's own at a small angle.
const ample = 1.3

// lead is the line along the middle of a spine, led on at both ends to where the
// paper is amply wide, in even steps of an eighth of the width.
func (s *survey) lead(t *tree, spine []passage, width float64) []xy {
	var line []xy
	for _, w := range spine {
		line = append(line, t.centre(s.middle(w), w.width))
	}
	seen := map[int32]bool{}
	for _, w := range spine {
		seen[w.h] = true
	}
	on := func(w passage, at xy) []xy {
		var out []xy
		for len(out) < 32 && t.room(at, width) < ample*width/2 {
			next := passage{h: -1}
			for _, n := range s.beyond(w) {
				if !seen[n.h] && n.width >= w.width && (next.h < 0 || n.width > next.width) {
					next = n
				}
			}
			if next.h < 0 {
				break
			}
			seen[next.h] = true
			to := t.centre(s.middle(next), next.width)
			if t.room(to, width) >= ample*width/2 {
				to = t.fits(at, to, ample*width/2)
			}
			if to != at {
				out = append(out, to)
			}
			w, at = next, to
		}
		return out
	}
	line = append(line, on(spine[len(spine)-1], line[len(line)-1])...)
	slices.Reverse(line)
	line = append(line, on(spine[0], line[len(line)-1])...)
	line = resample(line, width/8)
	for i := 1; i < len(line)-1; i++ {
		line[i] = t.centre(line[i], ample*width)
	}
	for range 4 {
		for i, last := 1, line[0]; i < len(line)-1; i++ {
			here := line[i]
			line[i] = middle(here, middle(last, line[i+1]))
			last = here
		}
	}
	return line
}

// beyond are the passages that passage w leads into.
func (s *survey) beyond(w passage) []passage {
	var out []passage
	for _, h := range [2]int32{w.h, mesh.Prev(w.h)} {
		g := s.Twin[h]
		for _, k := range [2]int32{g, mesh.Next(g)} {
			if s.open(k) && s.open(mesh.Prev(k)) {
				out = append(out, s.measure(k))
			}
		}
	}
	return out
}

// grow takes the strips out of the cut areas, each area on its own, and reports
// whether that changed anything.
func grow(cut *geom.MultiPolygon, strips []*geom.MultiPolygon) (*geom.MultiPolygon, bool, error) {
	var sides []edge // an edge for every strip: the diagonal of its bounds
	for i, s := range strips {
		b := s.Bounds()
		sides = append(sides, edge{a: xy{b.Min(0), b.Min(1)}, b: xy{b.Max(0), b.Max(1)}, piece: int32(i)})
	}
	t := newTree(sides)
	out := geom.NewMultiPolygon(geom.XY)
	changed := false
	for i := range cut.NumPolygons() {
		area := geom.NewMultiPolygon(geom.XY)
		if err := area.Push(cut.Polygon(i)); err != nil {
			return nil, false, fmt.Errorf("stencil: %w", err)
		}
		b := area.Bounds()
		var near []*geom.MultiPolygon
		t.near(box{xy{b.Min(0), b.Min(1)}, xy{b.Max(0), b.Max(1)}}, 0, nil, func(k int32, within float64) float64 {
			if boxOf(sides[k].a, sides[k].b).gap(box{xy{b.Min(0), b.Min(1)}, xy{b.Max(0), b.Max(1)}}) == 0 {
				near = append(near, strips[k])
			}
			return within
		})
		less, err := carve(area, near)
		if err != nil {
			return nil, false, err
		}
		changed = changed || area.Area()-less.Area() > short*short
		for j := range less.NumPolygons() {
			if err := out.Push(less.Polygon(j)); err != nil {
				return nil, false, fmt.Errorf("stencil: %w", err)
			}
		}
	}
	return out, changed, nil
}

// carve takes those strips out of one cut area that leave it in one piece. It halves
// the list until it has found those that do not.
func carve(area *geom.MultiPolygon, strips []*geom.MultiPolygon) (*geom.MultiPolygon, error) {
	if len(strips) == 0 {
		return area, nil
	}
	var ps []*geom.Polygon
	for _, s := range strips {
		for i := range s.NumPolygons() {
			ps = append(ps, s.Polygon(i))
		}
	}
	union, err := region.UnionAll(ps)
	if err != nil {
		return nil, fmt.Errorf("stencil: %w", err)
	}
	less, err := region.Difference(area, union)
	if err != nil {
		return nil, fmt.Errorf("stencil: %w", err)
	}
	if less, err = withoutCrumbs(less); err != nil {
		return nil, err
	}
	if less.NumPolygons() == 1 && less.Area() > area.Area()/2 {
		return less, nil
	}
	if len(strips) == 1 {
		return area, nil
	}
	half := len(strips) / 2
	if less, err = carve(area, strips[:half]); err != nil {
		return nil, err
	}
	return carve(less, strips[half:])
}

// withoutCrumbs drops areas that are next to nothing.
func withoutCrumbs(mp *geom.MultiPolygon) (*geom.MultiPolygon, error) {
	const crumb = 1e-3 // mm²
	out := geom.NewMultiPolygon(geom.XY)
	for i := range mp.NumPolygons() {
		if p := mp.Polygon(i); p.Area() > crumb {
			if err := out.Push(p); err != nil {
				return nil, fmt.Errorf("stencil: %w", err)
			}
		}
	}
	return out, nil
}
