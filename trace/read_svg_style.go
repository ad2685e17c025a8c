package trace

import (
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"
)

// A svgState is what a group hands down.
type svgState struct {
	m       affine // to pixels
	fill    string
	evenOdd bool
	alpha   float64
	hidden  bool
	stroked bool
	clipped bool // by this element itself
}

// with gives the state inside an element. A style sheet's classes outrank
// attributes, and the style attribute both.
func (s svgState) with(e xml.StartElement, classes map[string]string) svgState {
	set := map[string]string{}
	for _, a := range e.Attr {
		if a.Name.Space == "" {
			set[a.Name.Local] = strings.TrimSpace(a.Value)
		}
	}
	rules := ""
	for _, c := range strings.Fields(set["class"]) {
		rules += classes[c] + ";"
	}
	for _, rule := range strings.Split(rules+set["style"], ";") {
		if name, value, ok := strings.Cut(rule, ":"); ok {
			set[strings.TrimSpace(name)] = strings.TrimSpace(value)
		}
	}
	if v := set["fill"]; v != "" && v != "inherit" {
		s.fill = v
	}
	if v := set["fill-rule"]; v != "" && v != "inherit" {
		s.evenOdd = v == "evenodd"
	}
	for _, name := range []string{"opacity", "fill-opacity"} {
		if v, err := strconv.ParseFloat(set[name], 64); err == nil {
			s.alpha *= min(max(v, 0), 1)
		}
	}
	if t := set["transform"]; t != "" {
		s.m = s.m.after(svgTransform(t))
	}
	if v := set["stroke"]; v != "" && v != "inherit" {
		s.stroked = v != "none"
	}
	s.clipped = false
	for _, name := range []string{"clip-path", "mask"} {
		s.clipped = s.clipped || set[name] != "" && set[name] != "none"
	}
	s.hidden = s.hidden || set["display"] == "none" || set["visibility"] == "hidden"
	return s
}

// style reads a style sheet whose selectors are classes, as drawing programs
// write it.
func (d *svgDrawing) style() error {
	var text strings.Builder
	for {
		t, err := d.dec.Token()
		if err != nil {
			return d.damaged(err)
		}
		switch e := t.(type) {
		case xml.CharData:
			text.Write(e)
			continue
		case xml.StartElement:
			if err := d.dec.Skip(); err != nil {
				return d.damaged(err)
			}
			continue
		case xml.EndElement:
		default:
			continue
		}
		break
	}
	rest := text.String()
	for {
		selectors, after, ok := strings.Cut(rest, "{")
		if !ok {
			return nil
		}
		rules, next, _ := strings.Cut(after, "}")
		rest = next
		for _, sel := range strings.Split(selectors, ",") {
			name, ok := strings.CutPrefix(strings.TrimSpace(sel), ".")
			if !ok || strings.ContainsAny(name, " .>:[#*+~/\n\t") {
				return fmt.Errorf("%w: this SVG has a style sheet with more than classes (%.40q): save it with presentation attributes, or as PNG", ErrUnsupported, strings.TrimSpace(sel))
			}
			d.classes[name] += rules + ";"
		}
	}
}
