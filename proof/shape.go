package proof

import (
	"errors"
	"math"
)

// attributes reads the lengths of a shape; err keeps the first error.
type attributes struct {
	e   *element
	p   place
	err error
}

// length is the attribute in the units of the shape; 0 if it is not there. whole is what a percentage is of.
func (a *attributes) length(name string, whole float64) float64 {
	text := a.e.property(name)
	if text == "" {
		return 0
	}
	v, _, err := length(text, whole)
	if a.err == nil {
		a.err = err
	}
	return v
}

// shape reads one of the basic shapes (SVG 1.1, 9).
func (s *svgReader) shape(e *element, p place) error {
	a := &attributes{e: e, p: p}
	w, h := p.width, p.height
	diagonal := math.Hypot(w, h) / math.Sqrt2
	o := &outline{m: p.m}
	closed := true
	var err error
	switch e.name {
	case "rect":
		err = o.rect(a)
	case "circle":
		r := a.length("r", diagonal)
		err = o.oval(a.length("cx", w), a.length("cy", h), r, r)
	case "ellipse":
		rx, ry := a.radii(w, h)
		err = o.oval(a.length("cx", w), a.length("cy", h), rx, ry)
	case "line":
		o.to(a.length("x1", w), a.length("y1", h))
		o.to(a.length("x2", w), a.length("y2", h))
		closed = false
	default:
		var v []float64
		if v, err = numbers(e.attr["points"]); err == nil && len(v)%2 == 1 {
			err = errors.New("its points have an odd number of coordinates")
		}
		for i := 0; i+1 < len(v); i += 2 {
			o.to(v[i], v[i+1])
		}
		closed = e.name == "polygon"
	}
	if err = errors.Join(a.err, err); err != nil {
		return err
	}
	return s.out.add(p.role, o.flat, closed)
}

// radii are rx and ry, of which one stands for the other where that is missing (SVG 2, 7.4).
func (a *attributes) radii(w, h float64) (rx, ry float64) {
	given := func(name string) bool { v := a.e.property(name); return v != "" && v != "auto" }
	if given("rx") {
		rx = a.length("rx", w)
	}
	if given("ry") {
		ry = a.length("ry", h)
	} else {
		ry = rx
	}
	if !given("rx") {
		rx = ry
	}
	return rx, ry
}

// oval is an ellipse that begins at its greatest x, as SVG 1.1 (9.3) says; one without extent is not drawn.
func (o *outline) oval(cx, cy, rx, ry float64) error {
	if rx < 0 || ry < 0 {
		return errors.New("its radius is negative")
	}
	if rx == 0 || ry == 0 {
		return nil
	}
	o.to(cx+rx, cy)
	return o.ellipse(cx, cy, rx, 0, 0, ry, 0, 2*math.Pi)
}

// rect is a rectangle, clockwise as seen from its top left, with corners round if rx and ry say so.
func (o *outline) rect(a *attributes) error {
	x, y := a.length("x", a.p.width), a.length("y", a.p.height)
	w, h := a.length("width", a.p.width), a.length("height", a.p.height)
	rx, ry := a.radii(a.p.width, a.p.height)
	switch {
	case w < 0 || h < 0 || rx < 0 || ry < 0:
		return errors.New("a side or radius is negative")
	case w == 0 || h == 0:
		return nil
	}
	rx, ry = min(rx, w/2), min(ry, h/2)
	if rx == 0 || ry == 0 {
		o.to(x, y)
		o.to(x+w, y)
		o.to(x+w, y+h)
		o.to(x, y+h)
		return nil
	}
	// Each corner: its centre, and where the arc into it begins and ends.
	for i, c := range [4][2]float64{{x + w - rx, y + ry}, {x + w - rx, y + h - ry}, {x + rx, y + h - ry}, {x + rx, y + ry}} {
		s0, c0 := sincos(float64(i)*90 - 90)
		s1, c1 := sincos(float64(i) * 90)
		o.to(c[0]+rx*c0, c[1]+ry*s0)
		if err := o.ellipse(c[0], c[1], rx, 0, 0, ry, float64(i)*math.Pi/2-math.Pi/2, math.Pi/2); err != nil {
			return err
		}
		o.to(c[0]+rx*c1, c[1]+ry*s1)
	}
	return nil
}
