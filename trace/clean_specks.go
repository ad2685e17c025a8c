package trace

import (
	"image"
	"math"
)

// inkBelow is where ink begins in a levelled picture: values under it are ink.
const inkBelow = 128

// A run is a stretch of equal pixels in a row: from x0 to before x1. It is a
// node of a union-find forest (Tarjan 1975) whose roots are the first runs, in
// scan order, of the connected parts. Ink hangs together at corners, paper does
// not.
type run struct {
	y, x0, x1 int32
	parent    int32
	ink       bool
}

// A part is one connected piece of ink or paper.
type part struct {
	pixels           int
	upright, lateral int // pixel sides that face the other kind, by direction
	box              image.Rectangle
	small            bool
}

// specks are the small parts that were changed, by their bounds.
type specks struct {
	dust, holes []image.Rectangle // ink dropped, holes in ink filled
	thin        int               // how much of the dust was only too thin
	changed     int               // pixels
	ink         image.Rectangle   // bounds of the ink that stays
}

func (s *specks) shift(by image.Point) {
	for i := range s.dust {
		s.dust[i] = s.dust[i].Add(by)
	}
	for i := range s.holes {
		s.holes[i] = s.holes[i].Add(by)
	}
	s.ink = s.ink.Add(by)
}

// dropSpecks turns parts of less than minPixels, and ink thinner than minWidth
// pixels on average, into what surrounds them, in place.
func dropSpecks(g *image.Gray, minPixels, minWidth float64) (s specks) {
	runs, parts := partsOf(g, inkBelow)
	for i := range parts {
		p := &parts[i]
		if p.pixels == 0 {
			continue
		}
		p.small = p.isSpeck(runs[i].ink, minPixels, minWidth, g.Rect)
		switch {
		case p.small && runs[i].ink:
			s.dust = append(s.dust, p.box)
			if float64(p.pixels) >= minPixels {
				s.thin++
			}
		case p.small:
			s.holes = append(s.holes, p.box)
		case runs[i].ink:
			s.ink = s.ink.Union(p.box)
		}
	}
	for i := range runs {
		r := &runs[i]
		if !parts[r.parent].small {
			continue
		}
		stays := settled(runs, parts, r.parent)
		if stays == r.ink {
			continue
		}
		fill := uint8(255)
		if stays {
			fill = 0
		}
		row := g.Pix[int(r.y)*g.Stride:][r.x0:r.x1]
		for x := range row {
			row[x] = fill
		}
		s.changed += len(row)
	}
	return s
}

// width is the mean width in pixels of a part that is a stroke: twice its area
// over the length of its outline. That length is taken from the sides by
// Pythagoras, which is right for a straight stroke at any angle and a tenth
// short for a round one.
func (p *part) width() float64 {
	return 2 * float64(p.pixels) / math.Hypot(float64(p.upright), float64(p.lateral))
}

// isSpeck says whether a part is too small, or ink too thin, to be meant. The
// outside is paper without end, so paper that meets the border is not.
func (p *part) isSpeck(ink bool, minPixels, minWidth float64, full image.Rectangle) bool {
	small := float64(p.pixels) < minPixels
	if ink {
		return small || p.width() < minWidth
	}
	return small && p.box.Min.X > 0 && p.box.Min.Y > 0 && p.box.Max.X < full.Dx() && p.box.Max.Y < full.Dy()
}

// countMeant counts the parts of ink and paper that are no specks, when ink is
// what lies under a level.
func countMeant(g *image.Gray, level uint8, minPixels, minWidth float64) (inks, papers int) {
	runs, parts := partsOf(g, level)
	for i := range parts {
		p := &parts[i]
		switch {
		case p.pixels == 0 || p.isSpeck(runs[i].ink, minPixels, minWidth, g.Rect):
		case runs[i].ink:
			inks++
		default:
			papers++
		}
	}
	return inks, papers
}

// settled is what a part ends as: a small one as what surrounds it ends as.
// Left of a part's first run lies what surrounds it.
func settled(runs []run, parts []part, root int32) (ink bool) {
	for parts[root].small {
		if root == 0 || runs[root-1].y != runs[root].y {
			return false // the outside
		}
		root = runs[root-1].parent
	}
	return runs[root].ink
}

// partsOf labels g, ink being what lies under a level: afterwards each run's
// parent is its root, and parts is indexed by root.
func partsOf(g *image.Gray, level uint8) ([]run, []part) {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	// Two bands of runs could be made at once, but this is a tenth of the work.
	var runs []run
	starts := make([]int, 1, h+1)
	for y := range h {
		row := g.Pix[y*g.Stride:][:w]
		for x := 0; x < w; {
			ink, x0 := row[x] < level, x
			for x < w && (row[x] < level) == ink {
				x++
			}
			runs = append(runs, run{y: int32(y), x0: int32(x0), x1: int32(x), parent: int32(len(runs)), ink: ink})
		}
		starts = append(starts, len(runs))
	}
	shared := make([]int32, len(runs)) // pixel sides between a run and equals above it
	for y := 1; y < h; y++ {
		up, upEnd := starts[y-1], starts[y]
		for i := starts[y]; i < starts[y+1]; i++ {
			r := &runs[i]
			for up < upEnd && runs[up].x1 < r.x0 {
				up++
			}
			for k := up; k < upEnd && runs[k].x0 <= r.x1; k++ {
				if runs[k].ink != r.ink {
					continue
				}
				if n := min(runs[k].x1, r.x1) - max(runs[k].x0, r.x0); n > 0 || r.ink {
					shared[i] += n
					unite(runs, int32(i), int32(k))
				}
			}
		}
	}
	parts := make([]part, len(runs))
	for i := range runs {
		r := &runs[i]
		r.parent = root(runs, int32(i))
		p := &parts[r.parent]
		n := int(r.x1 - r.x0)
		p.pixels += n
		p.upright += 2
		p.lateral += 2*n - 2*int(shared[i])
		p.box = p.box.Union(image.Rect(int(r.x0), int(r.y), int(r.x1), int(r.y)+1))
	}
	return runs, parts
}

func root(runs []run, i int32) int32 {
	for runs[i].parent != i {
		runs[i].parent = runs[runs[i].parent].parent
		i = runs[i].parent
	}
	return i
}

// unite joins two parts under the earlier root.
func unite(runs []run, a, b int32) {
	a, b = root(runs, a), root(runs, b)
	runs[max(a, b)].parent = min(a, b)
}
