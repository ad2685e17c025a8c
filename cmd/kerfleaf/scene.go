package main

import (
	"image"
	"image/color"
	"image/draw"
	"math"

	"github.com/fogleman/gg"
)

// The demo's drawing: a heron by the reeds on the evening of the lantern
// supper. Dark is cut away, so the sky is the opening and everything that
// stands in it is paper, joined to the edge. Measures are millimetres.
const (
	sceneWidth  = 101.6 // 4 in
	sceneHeight = 127.0 // 5 in
	sceneDPI    = 300
	sceneEdge   = 6.35 // paper left round the opening
)

type pt struct{ x, y float64 }

// scene draws paper and ink in millimetres on a picture.
type scene struct {
	dc *gg.Context
}

// drawScene returns the picture at sceneDPI.
func drawScene() *image.Gray {
	const perMM = sceneDPI / 25.4
	w, h := int(math.Round(sceneWidth*perMM)), int(math.Round(sceneHeight*perMM))
	s := scene{gg.NewContext(w, h)}
	s.dc.Scale(perMM, perMM)
	s.paper()
	s.dc.Clear()
	s.sky()
	s.shore()
	s.boat()
	s.moon()
	s.lantern(24.5, 26.5)
	s.reeds()
	s.heron()
	s.moths()
	s.water()
	gray := image.NewGray(image.Rect(0, 0, w, h))
	draw.Draw(gray, gray.Bounds(), s.dc.Image(), image.Point{}, draw.Src)
	return gray
}

func (s scene) paper() { s.dc.SetColor(color.White) }
func (s scene) ink()   { s.dc.SetColor(color.Black) }

// sky is the opening: straight sides under an arch.
func (s scene) sky() {
	s.ink()
	const l, r, b, spring = sceneEdge, sceneWidth - sceneEdge, sceneHeight - sceneEdge, 44.0
	s.dc.MoveTo(l, b)
	s.dc.LineTo(l, spring)
	s.dc.CubicTo(l, 22, 25, sceneEdge, sceneWidth/2, sceneEdge)
	s.dc.CubicTo(sceneWidth-25, sceneEdge, r, 22, r, spring)
	s.dc.LineTo(r, b)
	s.dc.ClosePath()
	s.dc.Fill()
}

// shore is the far bank, from one side to the other, with a wood on it.
func (s scene) shore() {
	s.paper()
	s.blob(pt{3, 88}, pt{12, 86.6}, pt{24, 87.4}, pt{38, 86.8}, pt{54, 87.3}, pt{70, 86.5}, pt{86, 87.4}, pt{99, 86.5},
		pt{99, 90.4}, pt{84, 90.2}, pt{66, 89.6}, pt{48, 90.0}, pt{30, 89.4}, pt{14, 90}, pt{3, 91.5})
}

// boat lies at anchor before the far bank.
func (s scene) boat() {
	s.paper()
	s.poly(pt{61, 83.6}, pt{84, 83.2}, pt{80.6, 88.4}, pt{64.2, 88.4}) // hull
	s.taper(1.5, 1.1, pt{72.6, 87}, pt{72.9, 70}, pt{73, 55.5})        // mast
	s.poly(pt{74.9, 58.5}, pt{75.6, 80.6}, pt{86, 80.6})               // main sail
	s.poly(pt{71, 60.5}, pt{70.4, 80.6}, pt{62.2, 80.6})               // fore sail
	s.taper(1.3, 1.3, pt{61.6, 80.5}, pt{74, 81.1}, pt{87, 80.4})      // foot of the sails
	s.taper(1.4, 1.4, pt{66, 81}, pt{65.6, 84.5})
	s.taper(1.4, 1.4, pt{81, 81}, pt{80.6, 84.5})
	s.taper(1.3, 1.3, pt{71, 66}, pt{75.4, 66}) // the sails bend to the mast
	s.taper(1.3, 1.3, pt{71, 74}, pt{75.4, 74})
	s.ink()
	s.lens(1.1, pt{65.6, 85.6}, pt{80, 85.4})
}

// moon is a crescent in two strips of cloud that reach the side.
func (s scene) moon() {
	s.paper()
	s.disc(75.6, 34.4, 12)
	s.ink()
	s.disc(70.2, 31.4, 10.6)
	s.paper()
	s.taper(2.8, 2, pt{97, 41.6}, pt{91, 40}, pt{85, 41.2}, pt{79, 40.6})
	s.taper(2.6, 2, pt{97, 30.4}, pt{92, 29}, pt{88, 30.2}, pt{84, 29.8})
}

// lantern hangs from the arch; its panes are openings.
func (s scene) lantern(x, y float64) {
	s.paper()
	s.taper(1.7, 1.5, pt{x, 4}, pt{x, y})
	s.poly(pt{x - 2.2, y - 0.6}, pt{x + 2.2, y - 0.6}, pt{x + 6.6, y + 4}, pt{x - 6.6, y + 4})
	s.poly(pt{x - 5.6, y + 3.6}, pt{x + 5.6, y + 3.6}, pt{x + 4.4, y + 19}, pt{x - 4.4, y + 19})
	s.poly(pt{x - 5.6, y + 18.6}, pt{x + 5.6, y + 18.6}, pt{x + 4.6, y + 21.2}, pt{x - 4.6, y + 21.2})
	s.taper(1.6, 1, pt{x, y + 21}, pt{x, y + 24.6})
	s.ink()
	s.poly(pt{x - 4.1, y + 5.4}, pt{x - 0.8, y + 5.4}, pt{x - 0.8, y + 17.4}, pt{x - 3.3, y + 17.4})
	s.poly(pt{x + 4.1, y + 5.4}, pt{x + 0.8, y + 5.4}, pt{x + 0.8, y + 17.4}, pt{x + 3.3, y + 17.4})
	s.lens(1, pt{x - 3.4, y + 2.6}, pt{x + 3.4, y + 2.6})
}

// reeds stand in the water on both sides of the heron.
func (s scene) reeds() {
	s.paper()
	stem := func(head float64, c ...pt) {
		s.taper(2.2, 1.2, c...)
		a, b := c[len(c)-2], c[len(c)-1]
		l := math.Hypot(b.x-a.x, b.y-a.y)
		ux, uy := (b.x-a.x)/l, (b.y-a.y)/l
		if head > 0 {
			s.taper(3.4, 3.2, b, pt{b.x + ux*head, b.y + uy*head})
			s.taper(1, 0.4, pt{b.x + ux*(head-1), b.y + uy*(head-1)}, pt{b.x + ux*(head+5), b.y + uy*(head+5)})
		}
	}
	stem(10, pt{13.6, 114}, pt{13.8, 94}, pt{12.6, 76}, pt{12, 72})
	stem(9, pt{23, 114}, pt{22.6, 98}, pt{23, 80}, pt{23.4, 76})
	stem(9, pt{90.6, 114}, pt{91, 96}, pt{89.6, 74}, pt{89.3, 70})
	leaf := func(c ...pt) { s.taper(3, 0.5, c...) }
	leaf(pt{9.4, 114}, pt{9, 96}, pt{7.2, 82}, pt{4.6, 74})
	s.taper(2.6, 1.3, pt{18.2, 114}, pt{17.8, 92}, pt{17.4, 74}, pt{19, 61}) // a leaf that a moth sits on
	leaf(pt{27.6, 114}, pt{28, 100}, pt{31, 86}, pt{33.6, 74})
	leaf(pt{85.6, 114}, pt{85, 104}, pt{81.4, 97}, pt{77.4, 93.6})
	leaf(pt{78, 114}, pt{77, 106}, pt{73.6, 99}, pt{70, 96})
}

// heron stands on one leg and a half, looking out over the water.
func (s scene) heron() {
	s.paper()
	// legs
	s.taper(2.2, 1.8, pt{46.5, 84}, pt{47.2, 93}, pt{46.4, 97}, pt{46.8, 114})
	s.taper(2.2, 1.7, pt{51.4, 82}, pt{54.6, 90}, pt{53.2, 97}, pt{55, 114})
	// body with tail
	s.blob(pt{60.5, 63.5}, pt{61.4, 70}, pt{58, 78}, pt{51, 84}, pt{43, 87}, pt{33.5, 91.6}, pt{28.6, 93.6}, pt{32, 87}, pt{37, 79}, pt{43, 69.6}, pt{50, 63}, pt{56, 61})
	s.poly(pt{41, 86.5}, pt{46.4, 84}, pt{46.6, 88}, pt{41, 88}) // no sliver between leg and tail
	// neck and head
	s.taper(8.6, 3.6, pt{55.5, 68}, pt{60.2, 61}, pt{58, 53}, pt{50.4, 46.4}, pt{48.6, 39}, pt{52.4, 33.4}, pt{56, 32.6})
	s.blob(pt{50.6, 33}, pt{53.6, 29.9}, pt{58, 29.8}, pt{61.4, 31.6}, pt{60.6, 34.2}, pt{56, 35.6}, pt{52.4, 36})
	s.poly(pt{59, 30.4}, pt{77.4, 35.2}, pt{59, 34.9}) // bill
	s.taper(2, 0.7, pt{54.6, 31.4}, pt{48.4, 32.4}, pt{43.4, 36}, pt{40.8, 39.6})
	// openings in the plumage
	s.ink()
	s.disc(57.4, 32.4, 0.85)
	s.sickle(1.7, pt{54.4, 66.4}, pt{46.4, 72}, pt{38.2, 84})
	s.sickle(1.8, pt{56.4, 70.2}, pt{50.4, 75.4}, pt{38.8, 86.2})
	s.sickle(1.5, pt{57, 74.8}, pt{52, 79.2}, pt{45, 84})
	s.sickle(1.1, pt{58.9, 61.6}, pt{57.4, 55.4}, pt{52.6, 49.8})
}

// moths come to the lantern; each touches something that holds it.
func (s scene) moths() {
	moth := func(x, y, a, k float64) {
		s.dc.Push()
		s.dc.Translate(x, y)
		s.dc.Rotate(a)
		s.dc.Scale(k, k)
		s.paper()
		for _, m := range []float64{-1, 1} {
			s.blob(pt{0, 1.6}, pt{m * 2.2, -1.8}, pt{m * 5.4, -3.4}, pt{m * 6, -1}, pt{m * 4.4, 1.4}, pt{m * 3.6, 3.8}, pt{m * 1.6, 3.6})
			s.ink()
			s.disc(m*3.4, -0.35, 0.75)
			s.paper()
		}
		s.taper(1.7, 1.1, pt{0, -2.6}, pt{0, 4.4})
		s.dc.Pop()
	}
	s.paper()
	s.taper(1.6, 1.6, pt{28, 46.6}, pt{34, 47.4}) // the moth's feet on the lantern
	moth(36.8, 48, 0.4, 1.25)
	moth(19.2, 58.2, -0.3, 1.15)
}

// water fills the foot of the picture; ripples are openings in it.
func (s scene) water() {
	s.paper()
	s.blob(pt{2, 106.4}, pt{14, 105.4}, pt{28, 106.8}, pt{46, 105.2}, pt{62, 106.6}, pt{80, 105.2}, pt{100, 106.2}, pt{104, 130}, pt{-2, 130})
	s.ink()
	for _, r := range []struct {
		w    float64
		a, b pt
	}{
		{1.5, pt{10, 109.6}, pt{34, 109.9}}, {1.5, pt{60, 109.5}, pt{91, 109.3}}, {1.3, pt{38.5, 110.6}, pt{55.5, 110.6}},
		{1.6, pt{13, 113.6}, pt{50, 114}}, {1.6, pt{56, 113.4}, pt{86, 113.2}},
		{1.5, pt{22, 117.6}, pt{44, 117.7}}, {1.5, pt{50, 117.4}, pt{80, 117.2}}, {1.2, pt{36, 120.03}, pt{66, 120.03}},
	} {
		s.lens(r.w, r.a, r.b)
	}
}

func (s scene) disc(x, y, r float64) {
	s.dc.DrawCircle(x, y, r)
	s.dc.Fill()
}

func (s scene) poly(c ...pt) {
	for i, p := range c {
		if i == 0 {
			s.dc.MoveTo(p.x, p.y)
		} else {
			s.dc.LineTo(p.x, p.y)
		}
	}
	s.dc.ClosePath()
	s.dc.Fill()
}

// blob fills the closed smooth curve through the points.
func (s scene) blob(c ...pt) { s.poly(spline(c, true)...) }

// taper fills a stroke along the smooth curve through the points, w0 wide at
// its start and w1 at its end, both ends round.
func (s scene) taper(w0, w1 float64, c ...pt) {
	line := spline(c, false)
	n := len(line)
	left, right := make([]pt, n), make([]pt, n)
	for i, p := range line {
		a, b := line[max(i-1, 0)], line[min(i+1, n-1)]
		l := math.Hypot(b.x-a.x, b.y-a.y)
		w := (w0 + (w1-w0)*float64(i)/float64(n-1)) / 2
		nx, ny := -(b.y-a.y)/l*w, (b.x-a.x)/l*w
		left[i], right[n-1-i] = pt{p.x + nx, p.y + ny}, pt{p.x - nx, p.y - ny}
	}
	s.poly(append(left, right...)...)
	s.disc(line[0].x, line[0].y, w0/2)
	s.disc(line[n-1].x, line[n-1].y, w1/2)
}

// lens fills an opening pointed at both ends, w wide in the middle.
func (s scene) lens(w float64, a, b pt) {
	s.sickle(w, a, pt{(a.x + b.x) / 2, (a.y + b.y) / 2}, b)
}

// sickle fills a bent lens through three points.
func (s scene) sickle(w float64, c ...pt) {
	line := spline(c, false)
	n := len(line)
	left, right := make([]pt, n), make([]pt, n)
	for i, p := range line {
		a, b := line[max(i-1, 0)], line[min(i+1, n-1)]
		l := math.Hypot(b.x-a.x, b.y-a.y)
		t := w / 2 * math.Sin(math.Pi*float64(i)/float64(n-1))
		nx, ny := -(b.y-a.y)/l*t, (b.x-a.x)/l*t
		left[i], right[n-1-i] = pt{p.x + nx, p.y + ny}, pt{p.x - nx, p.y - ny}
	}
	s.poly(append(left, right...)...)
}

// spline samples the uniform Catmull-Rom curve through the points.
func spline(c []pt, closed bool) []pt {
	const steps = 24
	at := func(i int) pt {
		if closed {
			return c[(i+len(c))%len(c)]
		}
		return c[min(max(i, 0), len(c)-1)]
	}
	spans := len(c) - 1
	if closed {
		spans = len(c)
	}
	var out []pt
	for i := range spans {
		p0, p1, p2, p3 := at(i-1), at(i), at(i+1), at(i+2)
		for k := range steps {
			t := float64(k) / steps
			f := func(a, b, c, d float64) float64 {
				return 0.5 * (2*b + (c-a)*t + (2*a-5*b+4*c-d)*t*t + (3*b-a-3*c+d)*t*t*t)
			}
			out = append(out, pt{f(p0.x, p1.x, p2.x, p3.x), f(p0.y, p1.y, p2.y, p3.y)})
		}
	}
	if !closed {
		out = append(out, c[len(c)-1])
	}
	return out
}
