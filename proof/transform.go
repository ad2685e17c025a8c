package proof

import (
	"fmt"
	"math"
	"strings"
)

// transform reads a transform attribute (SVG 1.1, 7.6).
func transform(text string) (matrix, error) {
	m := identity
	rest := strings.TrimSpace(text)
	for rest != "" {
		name, after, ok := strings.Cut(rest, "(")
		inner, next, closed := strings.Cut(after, ")")
		if !ok || !closed {
			return m, fmt.Errorf("the transform %.60q has no pair of brackets", text)
		}
		args, err := numbers(inner)
		if err != nil {
			return m, fmt.Errorf("the transform %.60q: %w", text, err)
		}
		t, ok := oneTransform(strings.TrimSpace(name), args)
		if !ok {
			return m, fmt.Errorf("the transform %.60q is not understood", text)
		}
		m = m.mul(t)
		rest = strings.TrimLeft(next, " \t\r\n\f,")
	}
	return m, nil
}

func oneTransform(name string, a []float64) (m matrix, ok bool) {
	n := len(a)
	switch {
	case name == "matrix" && n == 6:
		return matrix{a[0], a[1], a[2], a[3], a[4], a[5]}, true
	case name == "translate" && n == 1:
		return translation(a[0], 0), true
	case name == "translate" && n == 2:
		return translation(a[0], a[1]), true
	case name == "scale" && n == 1:
		return scaling(a[0], a[0]), true
	case name == "scale" && n == 2:
		return scaling(a[0], a[1]), true
	case name == "rotate" && n == 1:
		return rotation(a[0]), true
	case name == "rotate" && n == 3:
		return translation(a[1], a[2]).mul(rotation(a[0])).mul(translation(-a[1], -a[2])), true
	case name == "skewX" && n == 1:
		return matrix{1, 0, math.Tan(a[0] * math.Pi / 180), 1, 0, 0}, true
	case name == "skewY" && n == 1:
		return matrix{1, math.Tan(a[0] * math.Pi / 180), 0, 1, 0, 0}, true
	}
	return m, false
}

// viewport is the map from the units within an svg or symbol element, of width by height px, to its place (SVG 1.1, 7.8).
// box is its viewBox; without one, units are px.
func viewport(width, height float64, box []float64, ratio string) (matrix, error) {
	if box == nil {
		return identity, nil
	}
	sx, sy := width/box[2], height/box[3]
	words := strings.Fields(ratio)
	if len(words) > 0 && words[0] == "defer" {
		words = words[1:]
	}
	align := "xMidYMid"
	if len(words) > 0 {
		align = words[0]
	}
	if align == "none" {
		return scaling(sx, sy).mul(translation(-box[0], -box[1])), nil
	}
	s := min(sx, sy)
	if len(words) > 1 && words[1] == "slice" {
		s = max(sx, sy)
	}
	share := map[string]float64{"Min": 0, "Mid": 0.5, "Max": 1}
	if len(align) != 8 || align[0] != 'x' || align[4] != 'Y' {
		return identity, fmt.Errorf("preserveAspectRatio %.40q is not understood", ratio)
	}
	fx, okX := share[align[1:4]]
	fy, okY := share[align[5:]]
	if !okX || !okY {
		return identity, fmt.Errorf("preserveAspectRatio %.40q is not understood", ratio)
	}
	return translation(fx*(width-s*box[2]), fy*(height-s*box[3])).mul(scaling(s, s)).mul(translation(-box[0], -box[1])), nil
}

// viewBox reads the attribute of that name; nil if there is none.
func viewBox(text string) ([]float64, error) {
	if strings.TrimSpace(text) == "" {
		return nil, nil
	}
	box, err := numbers(text)
	if err != nil || len(box) != 4 || !(box[2] > 0 && box[3] > 0) {
		return nil, fmt.Errorf("the viewBox %.60q is not four numbers, the last two above 0", text)
	}
	return box, nil
}
