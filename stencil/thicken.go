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
