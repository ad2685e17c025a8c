package trace

import (
	"encoding/xml"
	"image/color"
	"math"
	"strconv"
	"strings"

	"golang.org/x/image/colornames"
)

// A svgPen gathers rings in pixels.
type svgPen struct {
	m     affine
	rings [][]vec2
	ring  []vec2
	start vec2
}

func (b *svgPen) move(p vec2) {
	b.close()
	b.start = p
}

func (b *svgPen) line(p vec2) {
	if len(b.ring) == 0 {
		b.ring = append(b.ring, b.m.at(b.start))
	}
	b.ring = append(b.ring, b.m.at(p))
}

func (b *svgPen) close() {
	if len(b.ring) > 2 {
		b.rings = append(b.rings, b.ring)
	}
	b.ring = nil
}

// cube adds a cubic curve as lines that stay within 1/100 pixel of it: a chord
// of n equal steps is off by at most the curve's second difference over 8 n².
func (b *svgPen) cube(p0, p1, p2, p3 vec2) {
	q0, q1, q2, q3 := b.m.at(p0), b.m.at(p1), b.m.at(p2), b.m.at(p3)
	bend := 6 * max(q0.sub(q1.mul(2)).add(q2).norm(), q1.sub(q2.mul(2)).add(q3).norm())
	n := int(min(max(math.Ceil(math.Sqrt(bend/8/0.01)), 1), 1000))
	for i := 1; i <= n; i++ {
		f := float64(i) / float64(n)
		g := 1 - f
		b.line(p0.mul(g * g * g).add(p1.mul(3 * g * g * f)).add(p2.mul(3 * g * f * f)).add(p3.mul(f * f * f)))
	}
}

// arc adds an elliptical arc (SVG 1.1, F.6.5: from its ends to its centre).
func (b *svgPen) arc(from, to vec2, rx, ry, tilt float64, large, sweep bool) {
	rx, ry = math.Abs(rx), math.Abs(ry)
	if rx == 0 || ry == 0 || from == to {
		b.line(to)
		return
	}
	s, c := math.Sincos(tilt)
	h := from.sub(to).mul(0.5)
	p := vec2{(c*h.x + s*h.y) / rx, (-s*h.x + c*h.y) / ry} // on the unit circle's scale
	d := p.dot(p)
	if d > 1 {
		rx, ry = rx*math.Sqrt(d), ry*math.Sqrt(d)
		p = p.mul(1 / math.Sqrt(d))
		d = 1
	}
	k := math.Sqrt(max(0, 1/d-1))
	if large == sweep {
		k = -k
	}
	mid := vec2{k * p.y, -k * p.x}
	a0 := math.Atan2(p.y-mid.y, p.x-mid.x)
	a1 := math.Atan2(-p.y-mid.y, -p.x-mid.x)
	if sweep && a1 < a0 {
		a1 += 2 * math.Pi
	} else if !sweep && a1 > a0 {
		a1 -= 2 * math.Pi
	}
	centre := from.add(to).mul(0.5).add(vec2{c*rx*mid.x - s*ry*mid.y, s*rx*mid.x + c*ry*mid.y})
	size := max(rx, ry) * max(math.Hypot(b.m.a, b.m.b), math.Hypot(b.m.c, b.m.d))
	n := int(min(max(math.Ceil(math.Abs(a1-a0)*math.Sqrt(size/8/0.01)), 1), 4000))
	for i := 1; i < n; i++ {
		sin, cos := math.Sincos(a0 + (a1-a0)*float64(i)/float64(n))
		b.line(centre.add(vec2{c*rx*cos - s*ry*sin, s*rx*cos + c*ry*sin}))
	}
	b.line(to)
}

// shape draws one element.
func (d *svgDrawing) shape(e xml.StartElement, s svgState) {
	num := func(name string) float64 {
		mm, _ := svgLength(attr(e, name))
		if v, err := strconv.ParseFloat(attr(e, name), 64); err == nil {
			return v // a user unit; may be negative
		}
		return mm / svgMM[""]
	}
	b := svgPen{m: s.m}
	oval := func(x, y, rx, ry float64) {
		b.move(vec2{x - rx, y})
		b.arc(vec2{x - rx, y}, vec2{x + rx, y}, rx, ry, 0, false, true)
		b.arc(vec2{x + rx, y}, vec2{x - rx, y}, rx, ry, 0, false, true)
	}
	switch e.Name.Local {
	case "path":
		b.rings = svgPath(attr(e, "d"), s.m)
	case "circle":
		oval(num("cx"), num("cy"), num("r"), num("r"))
	case "ellipse":
		oval(num("cx"), num("cy"), num("rx"), num("ry"))
	case "polygon", "polyline":
		v := numbers(attr(e, "points"))
		for i := 0; i+1 < len(v); i += 2 {
			if i == 0 {
				b.move(vec2{v[0], v[1]})
			} else {
				b.line(vec2{v[i], v[i+1]})
			}
		}
	case "rect":
		x, y, w, h, rx, ry := num("x"), num("y"), num("width"), num("height"), num("rx"), num("ry")
		if attr(e, "rx") == "" {
			rx = ry
		}
		if attr(e, "ry") == "" {
			ry = rx
		}
		rx, ry = min(rx, w/2), min(ry, h/2)
		b.move(vec2{x + rx, y})
		for i, c := range [4]vec2{{x + w, y}, {x + w, y + h}, {x, y + h}, {x, y}} {
			in := [4]vec2{{-rx, 0}, {0, -ry}, {rx, 0}, {0, ry}}[i]
			out := [4]vec2{{0, ry}, {-rx, 0}, {0, -ry}, {rx, 0}}[i]
			b.line(c.add(in))
			b.arc(c.add(in), c.add(out), rx, ry, 0, false, true)
		}
	}
	b.close()
	tone, ok := svgTone(s.fill)
	if s.fill == "none" || s.fill == "transparent" {
		d.left["shapes without a fill"]++
		return
	}
	if s.stroked {
		d.left["strokes of filled shapes"]++
	}
	if !ok {
		d.left["fills that are no plain colour, taken as black, but"]++
	}
	d.fill(b.rings, s.evenOdd, tone, s.alpha)
}

// svgTone is the grey of a fill; black where it is not a plain colour.
func svgTone(fill string) (tone uint8, ok bool) {
	f := strings.ToLower(fill)
	if f == "" || f == "currentcolor" {
		return 0, true
	}
	if c, ok := colornames.Map[f]; ok {
		return grayOver(c), true
	}
	if hex, isHex := strings.CutPrefix(f, "#"); isHex {
		if len(hex) == 3 {
			hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
		}
		v, err := strconv.ParseUint(hex, 16, 32)
		return grayOver(color.RGBA{uint8(v >> 16), uint8(v >> 8), uint8(v), 255}), err == nil && len(hex) == 6
	}
	if list, isRGB := strings.CutPrefix(f, "rgb("); isRGB {
		v := numbers(strings.ReplaceAll(list, "%", " "))
		if len(v) == 3 {
			if strings.Contains(list, "%") {
				v[0], v[1], v[2] = v[0]*2.55, v[1]*2.55, v[2]*2.55
			}
			at := func(x float64) uint8 { return uint8(min(max(x, 0), 255) + 0.5) }
			return grayOver(color.RGBA{at(v[0]), at(v[1]), at(v[2]), 255}), true
		}
	}
	return 0, false
}
