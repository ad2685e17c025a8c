package stencil

import "math"

// tongue is a long strip of paper that hangs on one end only.
type tongue struct {
	passage
	off   int32
	reach float64
}

const (
	// flap is how many times longer than wide a strip is that bends of itself.
	flap = 2
	// hair is how many times longer than wide a narrow strip is that catches and
	// tears; a point with sides 6° apart is as slender.
	hair = 10
	// whisker is the shortest hair that counts, in mm.
	whisker = 3
)

// tongues finds strips that hang on one end and reach farther than sag, or that are
// narrower than thin and at least ten times as long. Of strips that hang on one
// another only the whole one counts.
func (s *survey) tongues(thin, sag float64) []tongue {
	byTriangle := map[int32][]passage{}
	for _, w := range s.ways {
		if off := s.off(w); off >= 0 && w.width > hold {
			byTriangle[off] = append(byTriangle[off], w)
		}
	}
	told := make([]bool, s.Triangles())
	var out []tongue
	for _, t := range s.hang.order {
		if up := s.hang.up[t]; up >= 0 && told[s.Twin[up]/3] {
			told[t] = true
			continue
		}
		for _, w := range byTriangle[t] {
			reach := s.reach(t, s.middle(w))
			long := reach > sag && reach >= flap*w.width
			slender := w.width < thin && reach >= math.Max(hair*w.width, whisker) &&
				s.hang.below[t].wide < waist*w.width
			if long || slender {
				out = append(out, tongue{w, t, reach})
				told[t] = true
				break
			}
		}
	}
	return out
}
