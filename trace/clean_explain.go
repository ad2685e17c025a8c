package trace

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"slices"
	"strings"

	"golang.org/x/image/draw"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

// Sizes of the picture that Explain draws, in pixels.
const (
	explainWidth = 1956
	tallestPanel = 900
	panelGap     = 24
	captionSize  = 22
	lineSize     = 17
	lineStep     = 24
)

var (
	explainPaper = color.RGBA{250, 249, 246, 255}
	explainText  = color.RGBA{40, 40, 40, 255}
	explainFound = color.RGBA{208, 74, 2, 255} // what was found: a strong orange
	explainGone  = color.RGBA{0, 96, 190, 255} // what was dropped: a strong blue
	explainWarn  = color.RGBA{176, 0, 32, 255} // what to look at
)

// Explain draws what Clean understood, for people to look at: the picture it
// was given with the sheet or the drawing's frame on it, the light at the level
// between ink and paper at each place, and what is ink then, with what was
// dropped ringed; below them the steps and the warnings. source is the picture
// that was cleaned, result what came out. The drawing is at most about 2000 pixels
// wide, or as wide as its lines.
func (rep *Report) Explain(source, result *Picture) *image.RGBA {
	captions := []string{"The part that was kept"}
	if rep.photo {
		captions[0] = "The sheet that was found"
	}
	pictures := []*image.Gray{source.Gray}
	if rep.tone != nil {
		levels, darkest := rep.levelMap()
		captions = append(captions, fmt.Sprintf("The light on it: %.0f to 100 %%", 100*darkest))
		pictures = append(pictures, levels)
		captions = append(captions, "What is cut away: black")
		pictures = append(pictures, inkOf(result.Gray))
	} else {
		captions = append(captions, "What came out")
		pictures = append(pictures, result.Gray)
	}
	lines := rep.lines()
	top := panelGap + captionSize + panelGap/2
	bold, regular := fontFace(gobold.TTF, captionSize), fontFace(goregular.TTF, lineSize)
	frames := sideBySide(pictures, top)
	bottom, width := top, 0
	for _, f := range frames {
		bottom, width = f.Max.Y+panelGap, f.Max.X
	}
	for _, l := range lines {
		width = max(width, panelGap+font.MeasureString(regular, l).Ceil())
	}
	out := image.NewRGBA(image.Rect(0, 0, width+panelGap, bottom+len(lines)*lineStep+panelGap))
	draw.Draw(out, out.Rect, image.NewUniform(explainPaper), image.Point{}, draw.Src)
	places := make([]placing, len(pictures))
	for i, g := range pictures {
		write(out, bold, captions[i], frames[i].Min.X, top-panelGap/2, explainText)
		places[i] = fit(out, g, frames[i])
	}

	seen := places[0]
	corners := rep.Sheet
	if !rep.photo {
		w, h := float64(rep.view.w), float64(rep.view.h)
		for i, c := range [4]vec2{{0, 0}, {w, 0}, {w, h}, {0, h}} {
			corners[i][0], corners[i][1] = rep.Source(c.x, c.y)
		}
	}
	for i, a := range corners {
		b := corners[(i+1)%4]
		stroke(out, seen.at(a[0], a[1]), seen.at(b[0], b[1]), 3, explainFound)
		circle(out, seen.at(a[0], a[1]), 9, 3, explainFound)
	}

	came := places[len(places)-1]
	for _, boxes := range [][]image.Rectangle{rep.specks.dust, rep.specks.holes} {
		for _, b := range boxes {
			c := came.at(float64(b.Min.X+b.Max.X)/2, float64(b.Min.Y+b.Max.Y)/2)
			circle(out, c, max(7, came.scale*float64(max(b.Dx(), b.Dy()))/2+4), 1.5, explainGone)
		}
	}
	for i, l := range lines {
		c := explainText
		if i >= len(rep.Steps) {
			c = explainWarn
		}
		write(out, regular, l, panelGap, bottom+(i+1)*lineStep-lineStep/4, c)
	}
	return out
}

// sideBySide gives the pictures a row, as high as its width allows.
func sideBySide(pictures []*image.Gray, top int) (frames []image.Rectangle) {
	long := 0.0 // of a row that is one high
	for _, g := range pictures {
		long += float64(g.Rect.Dx()) / float64(g.Rect.Dy())
	}
	high := min(float64(explainWidth-(len(pictures)+1)*panelGap)/long, tallestPanel)
	x := float64(panelGap)
	for _, g := range pictures {
		end := x + max(1, high*float64(g.Rect.Dx())/float64(g.Rect.Dy()))
		frames = append(frames, image.Rect(int(math.Round(x)), top, int(math.Round(end)), top+int(max(1, math.Round(high)))))
		x = end + panelGap
	}
	return frames
}

// inkOf is a levelled picture with all but the edges of its ink black or white:
// what is too pale to be ink is not shown.
func inkOf(g *image.Gray) *image.Gray {
	ink := image.NewGray(image.Rect(0, 0, g.Rect.Dx(), g.Rect.Dy()))
	for y := range ink.Rect.Dy() {
		dst := ink.Pix[y*ink.Stride:][:ink.Rect.Dx()]
		for x, v := range g.Pix[y*g.Stride:][:len(dst)] {
			dst[x] = uint8(min(max(4*(int(v)-inkBelow)+inkBelow, 0), 255))
		}
	}
	return ink
}

// lines are the steps, then the warnings.
func (rep *Report) lines() (lines []string) {
	for _, s := range rep.Steps {
		lines = append(lines, strings.ToUpper(s.Name[:1])+s.String()[1:])
	}
	for _, w := range rep.Warnings {
		lines = append(lines, "Look at this: "+w)
	}
	return lines
}

// levelMap shows the light half-way between ink and paper all over the result,
// white where it is most, with a line at every tenth of that. darkest is the
// least as a share of the most.
func (rep *Report) levelMap() (g *image.Gray, darkest float64) {
	long := max(rep.view.w, rep.view.h)
	w, h := max(1, rep.view.w*tallestPanel/long), max(1, rep.view.h*tallestPanel/long)
	f := newField(w, h, 1)
	for y := range h {
		for x := range w {
			p := rep.view.at((float64(x)+0.5)*float64(rep.view.w)/float64(w), (float64(y)+0.5)*float64(rep.view.h)/float64(h))
			f.v[y*w+x] = rep.tone.paper.at(p.x, p.y) * (1 + rep.tone.ink.at(p.x, p.y)) / 2
		}
	}
	level := f.softened(60).v
	least, most := slices.Min(level), slices.Max(level)
	low := min(least, most/2) // dark grey, or an even light would look uneven
	g = image.NewGray(image.Rect(0, 0, w, h))
	tenth := func(x, y int) int { return int(level[min(y, h-1)*w+min(x, w-1)] / most * 10) }
	for y := range h {
		for x := range w {
			v := 60 + 195*(level[y*w+x]-low)/max(most-low, 1e-4)
			if tenth(x, y) != tenth(x+1, y) || tenth(x, y) != tenth(x, y+1) {
				v *= 0.6
			}
			g.Pix[y*w+x] = uint8(min(max(v, 0), 255))
		}
	}
	return g, float64(least / most)
}

// A placing tells where a picture was put.
type placing struct {
	origin vec2
	scale  float64
}

func (p placing) at(x, y float64) vec2 { return p.origin.add(vec2{x, y}.mul(p.scale)) }

// fit draws g as large as fits into the frame, at its top left.
func fit(out *image.RGBA, g *image.Gray, frame image.Rectangle) placing {
	s := min(float64(frame.Dx())/float64(g.Rect.Dx()), float64(frame.Dy())/float64(g.Rect.Dy()))
	w, h := max(1, int(s*float64(g.Rect.Dx()))), max(1, int(s*float64(g.Rect.Dy())))
	box := image.Rectangle{frame.Min, frame.Min.Add(image.Pt(w, h))}
	draw.BiLinear.Scale(out, box, g, g.Rect, draw.Src, nil)
	edge := box.Inset(-1)
	for x := edge.Min.X; x < edge.Max.X; x++ {
		out.Set(x, edge.Min.Y, explainText)
		out.Set(x, edge.Max.Y-1, explainText)
	}
	for y := edge.Min.Y; y < edge.Max.Y; y++ {
		out.Set(edge.Min.X, y, explainText)
		out.Set(edge.Max.X-1, y, explainText)
	}
	return placing{vec2{float64(box.Min.X), float64(box.Min.Y)}, s}
}

func fontFace(ttf []byte, size float64) font.Face {
	f, err := opentype.Parse(ttf)
	if err != nil {
		panic(fmt.Sprintf("trace: built-in font: %v", err)) // it is part of the program
	}
	c, err := opentype.NewFace(f, &opentype.FaceOptions{Size: size, DPI: 72})
	if err != nil {
		panic(fmt.Sprintf("trace: built-in font: %v", err))
	}
	return c
}

func write(out *image.RGBA, f font.Face, text string, x, y int, c color.Color) {
	d := font.Drawer{Dst: out, Src: image.NewUniform(c), Face: f, Dot: fixed.P(x, y)}
	d.DrawString(text)
}

// stroke draws a line of a width.
func stroke(out *image.RGBA, a, b vec2, width float64, c color.Color) {
	d := b.sub(a)
	if d.norm() == 0 {
		return
	}
	n := vec2{-d.y, d.x}.mul(width / 2 / d.norm())
	fill(out, c, []vec2{a.add(n), b.add(n), b.sub(n), a.sub(n)})
}

// circle draws a circle's outline.
func circle(out *image.RGBA, at vec2, radius, width float64, c color.Color) {
	const n = 32
	var outer, inner []vec2
	for i := range n {
		s, k := math.Sincos(2 * math.Pi * float64(i) / n)
		outer = append(outer, at.add(vec2{k, s}.mul(radius+width/2)))
		inner = append(inner, at.add(vec2{k, -s}.mul(radius-width/2)))
	}
	fill(out, c, outer, inner)
}

// fill fills rings by the nonzero rule.
func fill(out *image.RGBA, c color.Color, rings ...[]vec2) {
	box := image.Rectangle{}
	for _, p := range rings[0] {
		box = box.Union(image.Rect(int(p.x)-1, int(p.y)-1, int(p.x)+2, int(p.y)+2))
	}
	box = box.Intersect(out.Rect)
	if box.Empty() {
		return
	}
	z := vector.NewRasterizer(box.Dx(), box.Dy())
	for _, r := range rings {
		for i, p := range r {
			x, y := float32(p.x-float64(box.Min.X)), float32(p.y-float64(box.Min.Y))
			if i == 0 {
				z.MoveTo(x, y)
			} else {
				z.LineTo(x, y)
			}
		}
		z.ClosePath()
	}
	z.Draw(out, box, image.NewUniform(c), image.Point{})
}
