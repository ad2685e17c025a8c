package export

import (
	"encoding/xml"
	"io"
	"strings"
)

// SVGOptions are the choices of [SVG]; nil stands for the defaults.
type SVGOptions struct {
	Title string // the document's title, for people; default none
}

// SVG writes d as an SVG document of the sheet's size. The document's width and height are in mm and its viewBox
// holds the same numbers, so that one user unit is one millimetre and no reader has to guess a resolution
// (SVG 1.1, 7.7). The lines of each role form one group whose id is the role's name. A polygon
// is one path of all its rings, holes first, filled by the even-odd rule were it filled; outer
// rings wind from the x axis to the y axis and holes the other way, so that the nonzero rule gives the same area.
// Commands are absolute M, L and Z with at most three decimals; nothing is transformed, nothing is dashed.
//
// Errors: [ErrEmpty], [*SizeError], [*OutsideError], [*ShapeError], before a byte is written, and those of w.
func SVG(w io.Writer, d *Drawing, opts *SVGOptions) error {
	if err := d.check(); err != nil {
		return err
	}
	if opts == nil {
		opts = &SVGOptions{}
	}
	p := newPen(w)
	width, height := millimetres(d.Width), millimetres(d.Height)
	p.text(xml.Header + `<svg xmlns="http://www.w3.org/2000/svg" width="` + width + `mm" height="` + height +
		`mm" viewBox="0 0 ` + width + " " + height + "\">\n")
	if opts.Title != "" {
		p.text("<title>" + escape(opts.Title) + "</title>\n")
	}
	var buf []point
	for _, g := range d.groups() {
		p.text(`<g id="` + g.Role.String() + `" fill="none" stroke="#000" stroke-width="` + millimetres(lineStyles[g.Role].width) + "\">\n")
		for _, s := range g.Shapes {
			for path := range paths(s) {
				buf = p.svgPath(path, buf)
			}
		}
		p.text("</g>\n")
	}
	p.text("</svg>\n")
	return p.flush()
}

// svgPath writes one path element, or nothing if every line of the path has shrunk to a point.
func (p *pen) svgPath(path path, buf []point) []point {
	first := true
	for line := range path.lines(buf) {
		buf = line
		switch {
		case !first:
			p.text("\n")
		case path.closed:
			p.text(`<path fill-rule="evenodd" d="`)
		default:
			p.text(`<path d="`)
		}
		first = false
		command := byte('M')
		for _, q := range line {
			p.buf = append(p.buf, command)
			p.buf = appendFixed(p.buf, q.x, 3, 0)
			p.buf = append(p.buf, ' ')
			p.buf = appendFixed(p.buf, q.y, 3, 0)
			if len(p.buf) >= penSize {
				p.flush()
			}
			command = 'L'
		}
		if path.closed {
			p.text("Z")
		}
	}
	if !first {
		p.text("\"/>\n")
	}
	return buf
}

// millimetres formats a length in at most three decimals.
func millimetres(mm float64) string { return string(appendFixed(nil, micrometres(mm), 3, 0)) }

// escape makes s fit to stand between XML tags.
func escape(s string) string {
	var b strings.Builder
	if err := xml.EscapeText(&b, []byte(s)); err != nil {
		panic(err) // a strings.Builder takes every write
	}
	return b.String()
}
