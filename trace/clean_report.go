package trace

import (
	"fmt"
	"image"
)

// A Report says what Clean understood of a picture, and what it did and why.
type Report struct {
	Steps    []Step
	Warnings []string // what a person should look at before cutting

	Tilt       float64       // degrees clockwise that a scan was turned back by
	Sheet      [4][2]float64 // corners of the photographed sheet in pixels of the photo, from its top left clockwise
	Confidence float64       // smallest share of one of the sheet's edges that was seen, 0 to 1
	Distortion float64       // of the lens: k1 for a radius of half the photo's diagonal
	Dust       int           // parts of ink dropped
	Pinholes   int           // holes in ink filled
	Dropped    float64       // area of both, mm²

	photo  bool
	mm     float64 // a pixel of the result
	view   view    // of the source, as the result shows it
	tone   *tone
	specks specks
}

// A Step is one thing that Clean did, or did not need to do, and why.
type Step struct {
	Name string
	Ran  bool
	Why  string
}

// String gives the step as one line for a person.
func (s Step) String() string {
	if s.Ran {
		return s.Name + ": " + s.Why
	}
	return s.Name + ": not done, " + s.Why
}

// Source is the point of the picture given to Clean, in its pixels, that the
// point (x, y) of the result, in its pixels, shows.
func (rep *Report) Source(x, y float64) (sx, sy float64) {
	p := rep.view.at(x, y)
	return p.x, p.y
}

func (rep *Report) step(name string, ran bool, why string, args ...any) {
	rep.Steps = append(rep.Steps, Step{name, ran, fmt.Sprintf(why, args...)})
}

// count says how many of something there are.
func count(n int, one, many string) string {
	if n == 1 {
		many = one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func (rep *Report) warn(why string, args ...any) {
	rep.Warnings = append(rep.Warnings, fmt.Sprintf(why, args...))
}

// levels reports the light and the ink.
func (rep *Report) levels() {
	t := rep.tone
	if t.adaptive {
		rep.step("adaptive threshold", true, "paper was told from ink by what lies round it")
	} else {
		rep.step("adaptive threshold", false, "one level against a smooth estimate of the paper tells ink from paper")
	}
	rep.step("level the light", true, "the brightest paper has %.1f times the light of the darkest, ink has %.0f %% of the paper's", t.spread, 100*t.solid)
	if t.solid > 0.4 {
		rep.warn("the ink is pale: it has %.0f %% of the light of the paper, so its edge is uncertain", 100*t.solid)
	}
	if t.spread > 6 {
		rep.warn("the light is very uneven: the brightest paper has %.0f times the light of the darkest", t.spread)
	}
}

// clearRim turns the rim of a photographed sheet to paper, and says when ink
// goes on into it.
func (rep *Report) clearRim(g *image.Gray) {
	n := int(sheetRim/rep.mm) + 1
	w, h := g.Rect.Dx(), g.Rect.Dy()
	inner := g.Rect.Inset(n)
	if inner.Empty() {
		return
	}
	crosses := 0
	for y := range h {
		row := g.Pix[y*g.Stride:][:w]
		if y < inner.Min.Y || y >= inner.Max.Y {
			fillRow(row)
			continue
		}
		fillRow(row[:inner.Min.X])
		fillRow(row[inner.Max.X:])
	}
	for x := inner.Min.X; x < inner.Max.X; x++ {
		crosses += isInk(g, x, inner.Min.Y) + isInk(g, x, inner.Max.Y-1)
	}
	for y := inner.Min.Y; y < inner.Max.Y; y++ {
		crosses += isInk(g, inner.Min.X, y) + isInk(g, inner.Max.X-1, y)
	}
	if float64(crosses)*rep.mm > 0.5 {
		rep.warn("ink reaches the edge of the sheet over %.1f mm: it is cut off %d mm from the edge", float64(crosses)*rep.mm, sheetRim)
	}
}

// checkBorder says when much of a scan's border is dark: that may be what lay
// behind the sheet. shares are those of tone.shares.
func (rep *Report) checkBorder(shares *field) {
	w, h := shares.w, shares.h
	dark := 0
	for i, v := range shares.v {
		if x, y := i%w, i/w; (x == 0 || y == 0 || x == w-1 || y == h-1) && v < 0.5 {
			dark++
		}
	}
	if share := float64(dark) / float64(2*(w+h)); share > 0.2 {
		rep.warn("%.0f %% of the picture's border is dark: if that is not ink but what lay behind the sheet, crop it off or give the sheet's size as for a photo", 100*share)
	}
}

func fillRow(row []uint8) {
	for x := range row {
		row[x] = 255
	}
}

func isInk(g *image.Gray, x, y int) int {
	if g.Pix[y*g.Stride+x] < inkBelow {
		return 1
	}
	return 0
}
