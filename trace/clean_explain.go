package trace

import (
	"fmt"
	"image"
	"image/color"
	"math"
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
	panelWidth  = 620
	panelHeight = 840
	panelGap    = 24
	captionSize = 22
	lineSize    = 17
	lineStep    = 24
)

var (
	explainPaper = color.RGBA{250, 249, 246, 255}
	explainText  = color.RGBA{40, 40, 40, 255}
	explainFound = color.RGBA{208, 74, 2, 255} // what was found: a strong orange
	explainGone  = color.RGBA{0, 96, 190, 255} // what was dropped: a strong blue
	explainWarn  = color.RGBA{176, 0, 32, 255} // what to look at
)

// Explain draws what Clean understood, for people to look at: the picture it
// was given with the sheet or the drawing's frame on it, the level between ink
// and paper at each place if it was sought, and the result with what was dropped
// ringed; below them the steps and the warnings. source is the picture that was cleaned,
// result what came out. The drawing is 1300 to 2000 pixels wide, or what its lines take.
func (rep *Report) Explain(source, result *Picture) *image.RGBA {
	type panel struct {
		caption string
		picture *image.Gray
	}
	panels := []panel{{"The part that was kept", source.Gray}}
	if rep.photo {
		panels[0].caption = "The sheet that was found"
	}
	if rep.tone != nil {
		panels = append(panels, panel{"Where ink ends: how bright", rep.levelMap(source.Gray.Rect)})
	}
	panels = append(panels, panel{"What came out", result.Gray})
	lines := rep.lines()
	top := panelGap + captionSize + panelGap/2
	bottom := top // below the highest picture
	for _, p := range panels {
		bottom = max(bottom, top+drawnSize(p.picture).Y+panelGap)
	}
	bold, regular := fontFace(gobold.TTF, captionSize), fontFace(goregular.TTF, lineSize)
	width := len(panels) * (panelWidth + panelGap)
	for _, l := range lines {
		width = max(width, panelGap+font.MeasureString(regular, l).Ceil())
	}
	out := image.NewRGBA(image.Rect(0, 0, width+panelGap, bottom+len(lines)*lineStep+panelGap))
	draw.Draw(out, out.Rect, image.NewUniform(explainPaper), image.Point{}, draw.Src)
	placed := make([]placing, len(panels))
	for i, p := range panels {
		x := panelGap + i*(panelWidth+panelGap)
		write(out, bold, p.caption, x, top-panelGap/2, explainText)
		placed[i] = fit(out, p.picture, image.Pt(x, top))
	}

	seen := placed[0]
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

	came := placed[len(placed)-1]
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

// levelMap shows the light half-way between ink and paper, as bright as it is
// against the brightest, with a line at every tenth.
func (rep *Report) levelMap(r image.Rectangle) *image.Gray {
	long := max(r.Dx(), r.Dy())
	w, h := max(1, r.Dx()*panelHeight/long), max(1, r.Dy()*panelHeight/long)
	sx, sy := float64(r.Dx())/float64(w), float64(r.Dy())/float64(h)
	f := newField(w, h, 1)
	var brightest float32
	for y := range h {
		for x := range w {
			px, py := (float64(x)+0.5)*sx, (float64(y)+0.5)*sy
			v := rep.tone.paper.at(px, py) * (1 + rep.tone.ink.at(px, py)) / 2
			f.v[y*w+x] = v
			brightest = max(brightest, v)
		}
	}
	level := f.softened(8).v
	g := image.NewGray(image.Rect(0, 0, w, h))
	tenth := func(x, y int) int { return int(level[min(y, h-1)*w+min(x, w-1)] / brightest * 10) }
	for y := range h {
		for x := range w {
			v := float64(level[y*w+x] / brightest)
			if tenth(x, y) != tenth(x+1, y) || tenth(x, y) != tenth(x, y+1) {
				v *= 0.4
			}
			g.Pix[y*w+x] = uint8(255 * math.Pow(max(v, 0), 1/2.2))
		}
	}
	return g
}

// A placing tells where a picture was put.
type placing struct {
	origin vec2
	scale  float64
}

func (p placing) at(x, y float64) vec2 { return p.origin.add(vec2{x, y}.mul(p.scale)) }

// drawnSize is the size of g drawn as large as fits into a panel.
func drawnSize(g *image.Gray) image.Point {
	w, h := float64(g.Rect.Dx()), float64(g.Rect.Dy())
	s := min(panelWidth/w, panelHeight/h)
	return image.Pt(max(1, int(s*w)), max(1, int(s*h)))
}

// fit draws g as large as fits into a panel.
func fit(out *image.RGBA, g *image.Gray, at image.Point) placing {
	size := drawnSize(g)
	box := image.Rectangle{at, at.Add(size)}
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
	return placing{vec2{float64(at.X), float64(at.Y)}, float64(size.X) / float64(g.Rect.Dx())}
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
