package words

import (
	"math"

	"example.org/kerfleaf/internal/ring"
)

// A letter is a base with its accents: some glyphs of a line, in font units.
type letter struct {
	glyphs []placed
	box    ring.Box
	// gap is how far the letter could move to the left until it met the letter
	// before it; infinite if it never would or should not.
	gap float64
}

// letters measures the gaps between the letters of each line that has any.
func (s *setter) letters(lines []line) ([][]letter, error) {
	out := make([][]letter, len(lines))
	for i, l := range lines {
		var before [][]float64
		for start, end := 0, 0; start < len(l.glyphs); start = end {
			for end < len(l.glyphs) && l.glyphs[end].cluster == l.glyphs[start].cluster {
				end++
			}
			here := letter{glyphs: l.glyphs[start:end], box: ring.EmptyBox(), gap: math.Inf(1)}
			rings, err := s.rings(here.glyphs)
			if err != nil {
				return nil, err
			}
			for _, r := range rings {
				here.box = here.box.Join(boxOf(r))
			}
			if start > 0 && l.glyphs[start].word == l.glyphs[start-1].word {
				last := out[i][len(out[i])-1].box
				gap := min(rowGap(before, rings, 1), rowGap(rings, before, -1))
				if last.MaxX-(here.box.MinX-gap) <= maxTuck*float64(s.font.Upem()) {
					here.gap = gap
				}
			}
			out[i] = append(out[i], here)
			before = rings
		}
	}
	return out, nil
}

// maxTuck is how far, in parts of the em, a letter may slip under or over the
// one before it to meet it: an "o" must not vanish under the arm of a "T".
const maxTuck = 0.15

// rings returns the outlines of glyphs where they stand, fine enough to measure
// gaps by: to a 1024th of the em.
func (s *setter) rings(glyphs []placed) ([][]float64, error) {
	var out [][]float64
	for _, g := range glyphs {
		area, err := s.filled(g.id, flatness(float64(s.font.Upem())/1024, 1))
		if err != nil {
			return nil, err
		}
		for _, r := range ring.Rings(area) {
			moved := make([]float64, len(r))
			for i := 0; i < len(r); i += 2 {
				moved[i], moved[i+1] = r[i]+g.x, r[i+1]+g.y
			}
			out = append(out, moved)
		}
	}
	return out, nil
}

// rowGap is the smallest distance from a vertex of one letter to an edge of the
// other at the same height, counted to the right for sign 1, to the left for -1.
func rowGap(vertices, edges [][]float64, sign float64) float64 {
	gap := math.Inf(1)
	for _, v := range vertices {
		for i := 0; i < len(v); i += 2 {
			x, y := v[i], v[i+1]
			for _, e := range edges {
				for j := 0; j+3 < len(e); j += 2 {
					ay, by := e[j+1], e[j+3]
					switch {
					case min(ay, by) > y || max(ay, by) < y:
					case ay == by:
						gap = min(gap, sign*(e[j]-x), sign*(e[j+2]-x))
					default:
						gap = min(gap, sign*(e[j]+(e[j+2]-e[j])*(y-ay)/(by-ay)-x))
					}
				}
			}
		}
	}
	return gap
}

// tighten sets lines whose letters have moved to the left until each overlaps
// the one before it by a given length in font units.
func tighten(letters [][]letter, overlap float64) []line {
	out := make([]line, len(letters))
	for i, l := range letters {
		out[i].ink = ring.EmptyBox()
		shift := 0.0
		for _, here := range l {
			if move := here.gap + overlap; move > 0 && !math.IsInf(move, 1) {
				shift -= move
			}
			for _, g := range here.glyphs {
				g.x += shift
				out[i].glyphs = append(out[i].glyphs, g)
			}
			out[i].ink = out[i].ink.Join(moved(here.box, shift, 0))
		}
	}
	return out
}
