package export

import (
	"encoding/xml"
	"io"
	"strings"
)

// SVGOptions are the choices of [SVG]; nil stands for the defaults.
type SVGOptions struct {
	Title string // the document's title, for people; default none

	// Curves, if not 0, lets cubic Bézier curves take the place of runs of short edges: they depart from the lines by
	// at most so many mm, and sharp corners and long straight edges stay as they are. Lines that were simplified to a
	// tolerance come out smooth and in few nodes with about the same number here, 0.02 to 0.1 for paper. At least
	// 0.001; default 0, straight lines only.
	Curves float64
}

// SVG writes d as an SVG document of the sheet's size. The document's width and height are in mm and its viewBox holds
// the same numbers, so that one user unit is one millimetre and no reader has to guess a resolution (SVG 1.1, 7.7). The
// lines of each role form one group whose id is the role's name. A polygon is one path of all its rings, holes first,
// filled by the even-odd rule were it filled; outer rings wind from the x axis to the y axis and holes the other way,
// so that the nonzero rule gives the same area. Commands are absolute M, L, Z and with Curves C, numbers have at most
// three decimals; nothing is transformed, nothing is dashed.
//
// Errors: [ErrEmpty], [*SizeError], [*OutsideError], [*ShapeError], before a byte is written, and those of w.
func SVG(w io.Writer, d *Drawing, opts *SVGOptions) error {
	if err := d.check(); err != nil {
		return err
	}
	if opts == nil {
		opts = &SVGOptions{}
	}
	if err := checkCurves(opts.Curves); err != nil {
		return err
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
		if opts.Curves > 0 {
			for _, bends := range g.bends(opts.Curves, curves) {
				p.svgBends(bends)
			}
		} else {
			for _, s := range g.Shapes {
				for path := range paths(s) {
					buf = p.svgPath(path, buf)
				}
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
		p.svgStart(first, path.closed)
		first = false
		command := byte('M')
		for _, q := range line {
			p.svgCommand(command, q)
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

// svgStart begins a path element with its first line, or a further line of it.
func (p *pen) svgStart(first, closed bool) {
	switch {
	case !first:
		p.text("\n")
	case closed:
		p.text(`<path fill-rule="evenodd" d="`)
	default:
		p.text(`<path d="`)
	}
}

// svgCommand writes a path command that takes one point.
func (p *pen) svgCommand(command byte, q point) {
	p.buf = append(p.buf, command)
	p.buf = appendFixed(p.buf, q.x, 3, 0)
	p.buf = append(p.buf, ' ')
	p.buf = appendFixed(p.buf, q.y, 3, 0)
	if len(p.buf) >= penSize {
		p.flush()
	}
}

// svgBends writes one path element of lines with curves.
func (p *pen) svgBends(bends []bend) {
	for i, b := range bends {
		p.svgStart(i == 0, b.closed)
		p.svgCommand('M', b.start.point())
		for k, s := range b.segments {
			switch {
			case s.curved:
				p.svgCommand('C', s.c1.point())
				p.svgCommand(' ', s.c2.point())
				p.svgCommand(' ', s.end.point())
			case !b.closed || k < len(b.segments)-1:
				p.svgCommand('L', s.end.point())
			}
		}
		if b.closed {
			p.text("Z")
		}
	}
	if len(bends) > 0 {
		p.text("\"/>\n")
	}
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
