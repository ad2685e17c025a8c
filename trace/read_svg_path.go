package trace

import (
	"math"
	"strconv"
	"strings"
)

// numbers reads the numbers of a list, separated as SVG allows.
func numbers(s string) (out []float64) {
	for p := (pathScanner{s: s}); ; {
		v, ok := p.number()
		if !ok {
			return out
		}
		out = append(out, v)
	}
}

// svgTransform reads a transform list (SVG 1.1, 7.6).
func svgTransform(s string) affine {
	m := affine{a: 1, d: 1}
	for {
		name, rest, ok := strings.Cut(s, "(")
		if !ok {
			return m
		}
		args, after, _ := strings.Cut(rest, ")")
		s = after
		v := append(numbers(args), 0, 0, 0, 0, 0, 0)
		n := len(v) - 6
		rad := v[0] * math.Pi / 180
		switch strings.Trim(name, " \t\r\n,") {
		case "matrix":
			m = m.after(affine{v[0], v[1], v[2], v[3], v[4], v[5]})
		case "translate":
			m = m.after(affine{1, 0, 0, 1, v[0], v[1]})
		case "scale":
			if n == 1 {
				v[1] = v[0]
			}
			m = m.after(affine{v[0], 0, 0, v[1], 0, 0})
		case "rotate":
			sin, cos := math.Sincos(rad)
			m = m.after(affine{1, 0, 0, 1, v[1], v[2]}).after(affine{cos, sin, -sin, cos, 0, 0}).after(affine{1, 0, 0, 1, -v[1], -v[2]})
		case "skewX":
			m = m.after(affine{1, 0, math.Tan(rad), 1, 0, 0})
		case "skewY":
			m = m.after(affine{1, math.Tan(rad), 0, 1, 0, 0})
		}
	}
}

type pathScanner struct {
	s string
	i int
}

func (p *pathScanner) space() {
	for p.i < len(p.s) && strings.IndexByte(" \t\r\n\f,", p.s[p.i]) >= 0 {
		p.i++
	}
}

// command reads a letter.
func (p *pathScanner) command() (byte, bool) {
	p.space()
	if p.i < len(p.s) && p.s[p.i]|32 >= 'a' && p.s[p.i]|32 <= 'z' {
		p.i++
		return p.s[p.i-1], true
	}
	return 0, false
}

// flag reads a digit 0 or 1, which needs no separator after it.
func (p *pathScanner) flag() (bool, bool) {
	p.space()
	if p.i < len(p.s) && (p.s[p.i] == '0' || p.s[p.i] == '1') {
		p.i++
		return p.s[p.i-1] == '1', true
	}
	return false, false
}

func (p *pathScanner) number() (float64, bool) {
	p.space()
	start := p.i
	digits := func() (n int) {
		for ; p.i < len(p.s) && p.s[p.i] >= '0' && p.s[p.i] <= '9'; p.i++ {
			n++
		}
		return n
	}
	one := func(set string) bool {
		if p.i < len(p.s) && strings.IndexByte(set, p.s[p.i]) >= 0 {
			p.i++
			return true
		}
		return false
	}
	one("+-")
	n := digits()
	if one(".") {
		n += digits()
	}
	if n == 0 {
		p.i = start
		return 0, false
	}
	if mark := p.i; one("eE") {
		one("+-")
		if digits() == 0 {
			p.i = mark
		}
	}
	v, err := strconv.ParseFloat(p.s[start:p.i], 64)
	return v, err == nil && !math.IsInf(v, 0)
}

// svgPath reads path data (SVG 1.1, 8.3) into rings of points in pixels. Data
// that goes wrong counts up to there, as the standard asks (F.2).
func svgPath(data string, m affine) (rings [][]vec2) {
	b := svgPen{m: m}
	p := pathScanner{s: data}
	var c byte
	var at, start, ctrl vec2 // ctrl: the last control point, mirrored by S and T
	var last byte
	for {
		if next, ok := p.command(); ok {
			c = next
			if c|32 == 'z' {
				b.close()
				at, last = start, c
				continue
			}
		} else if c == 0 || c|32 == 'z' {
			break
		}
		var v [7]float64
		if !p.args(c|32, &v) {
			break
		}
		from := vec2{}
		if c >= 'a' {
			from = at
		}
		pt := func(i int) vec2 { return from.add(vec2{v[i], v[i+1]}) }
		mirror := at
		switch c | 32 {
		case 'm':
			at = pt(0)
			start = at
			b.move(at)
		case 'l':
			at = pt(0)
			b.line(at)
		case 'h':
			at.x = from.x + v[0]
			b.line(at)
		case 'v':
			at.y = from.y + v[0]
			b.line(at)
		case 'c':
			b.cube(at, pt(0), pt(2), pt(4))
			ctrl, at = pt(2), pt(4)
		case 's':
			if last == 'c' || last == 's' {
				mirror = at.mul(2).sub(ctrl)
			}
			b.cube(at, mirror, pt(0), pt(2))
			ctrl, at = pt(0), pt(2)
		case 'q', 't':
			q, e := pt(0), pt(2)
			if c|32 == 't' {
				if last == 'q' || last == 't' {
					mirror = at.mul(2).sub(ctrl)
				}
				q, e = mirror, pt(0)
			}
			b.cube(at, at.add(q.sub(at).mul(2.0/3)), e.add(q.sub(e).mul(2.0/3)), e)
			ctrl, at = q, e
		case 'a':
			e := pt(5)
			b.arc(at, e, v[0], v[1], v[2]*math.Pi/180, v[3] != 0, v[4] != 0)
			at = e
		}
		last = c | 32
		if c == 'm' || c == 'M' { // more pairs are lines
			c--
		}
	}
	b.close()
	return b.rings
}

// args reads what a command takes.
func (p *pathScanner) args(c byte, v *[7]float64) bool {
	n := map[byte]int{'m': 2, 'l': 2, 'h': 1, 'v': 1, 'c': 6, 's': 4, 'q': 4, 't': 2, 'a': 7}[c]
	for i := range n {
		if c == 'a' && (i == 3 || i == 4) {
			f, ok := p.flag()
			if !ok {
				return false
			}
			if v[i] = 0; f {
				v[i] = 1
			}
			continue
		}
		var ok bool
		if v[i], ok = p.number(); !ok {
			return false
		}
	}
	return n > 0
}
