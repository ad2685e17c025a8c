package export

import (
	"bytes"
	"fmt"
	"strconv"

	"codeberg.org/go-pdf/fpdf"
)

// A pattern is a drawing on its way to printed pages. Lengths are in mm, y down.
type pattern struct {
	d             *Drawing
	opts          PDFOptions
	pdf           *fpdf.Fpdf
	width, height float64 // of a page as it lies
	tiles         tiling
	pages         [][2]int // column and row of each
	foot          foot
}

// newPattern decides how pages lie and what goes on each.
func newPattern(d *Drawing, o PDFOptions) (*pattern, error) {
	upright, err := laid(d, o, o.PageWidth, o.PageHeight)
	turned, err2 := laid(d, o, o.PageHeight, o.PageWidth)
	p := upright
	if err != nil || err2 == nil && len(turned.pages) < len(upright.pages) {
		p, err = turned, err2
	}
	return p, err
}

// laid lays the pattern out on pages of the given size.
func laid(d *Drawing, o PDFOptions, width, height float64) (*pattern, error) {
	p := &pattern{d: d, opts: o, width: width, height: height, pdf: newDocument(width, height, o.Title)}
	fault := func(format string, args ...any) error { return &PageError{width, height, fmt.Sprintf(format, args...)} }
	for _, several := range []bool{false, true} {
		p.foot = p.newFoot(width-2*o.Border, several)
		wide, high := width-2*o.Border, height-2*o.Border-p.foot.height
		if least := o.Overlap + 40; wide < least || high < least {
			return nil, fault("has room for %.0f x %.0f mm of the drawing, it needs %.0f x %.0f", max(wide, 0), max(high, 0), least, least)
		}
		p.tiles = tiled(d.Width, d.Height, wide, high, o.Overlap)
		if p.tiles.columns*p.tiles.rows == 1 {
			break
		}
	}
	if n := float64(p.tiles.columns) * float64(p.tiles.rows); n > maxPages {
		return nil, fault("is too small, the drawing would take %.0f of them", n)
	}
	for j := range p.tiles.rows {
		for i := range p.tiles.columns {
			x, y := p.tiles.at(i, j)
			if d.touches(x, y, x+p.tiles.wide, y+p.tiles.high) {
				p.pages = append(p.pages, [2]int{i, j})
			}
		}
	}
	return p, p.pdf.Error()
}

func (p *pattern) draw() {
	lines := p.strokes()
	for n, tile := range p.pages {
		p.pdf.AddPageFormat("P", fpdf.SizeType{Wd: p.width, Ht: p.height})
		p.drawTile(tile[0], tile[1], lines)
		p.foot.draw(p, n)
	}
}

// strokes is the content of all layers, in mm on the sheet.
func (p *pattern) strokes() []byte {
	var out, buf = []byte{}, []point{}
	for _, g := range p.d.groups() {
		out = append(out, styleOperators(g.Role)...)
		if p.opts.Curves > 0 {
			for _, bends := range g.bends(p.opts.Curves, curves) {
				out = appendPDFBends(out, bends)
			}
			continue
		}
		for _, s := range g.Shapes {
			for path := range paths(s) {
				some := false
				for line := range path.lines(buf) {
					out = appendPDFLine(out, line, path.closed)
					buf, some = line, true
				}
				if some {
					out = append(out, "S\n"...)
				}
			}
		}
	}
	return out
}

// appendPDFBends strokes one path of lines with curves.
func appendPDFBends(out []byte, bends []bend) []byte {
	if len(bends) == 0 {
		return out
	}
	op := func(name string, spots ...spot) {
		for _, s := range spots {
			q := s.point()
			out = append(appendFixed(out, q.x, 3, 0), ' ')
			out = append(appendFixed(out, q.y, 3, 0), ' ')
		}
		out = append(out, name+"\n"...)
	}
	for _, b := range bends {
		op("m", b.start)
		for _, s := range b.segments {
			if s.curved {
				op("c", s.c1, s.c2, s.end)
			} else {
				op("l", s.end)
			}
		}
		if b.closed {
			op("h")
		}
	}
	op("S")
	return out
}

// appendPDFLine adds a line to the current path.
func appendPDFLine(out []byte, line []point, closed bool) []byte {
	operator := " m\n"
	for _, q := range line {
		out = appendFixed(out, q.x, 3, 0)
		out = append(out, ' ')
		out = appendFixed(out, q.y, 3, 0)
		out = append(out, operator...)
		operator = " l\n"
	}
	if closed {
		out = append(out, "h\n"...)
	}
	return out
}

// styleOperators set the width and dashes of a role, in mm.
func styleOperators(r Role) string {
	style := lineStyles[r]
	s := millimetres(style.width) + " w ["
	for _, n := range style.dash {
		s += millimetres(n*style.width) + " "
	}
	return s + "] 0 d\n"
}

// inFrame writes operators whose lengths are mm, y down, from the place (x, y) of the page.
func (p *pattern) inFrame(x, y float64, operators []byte) {
	const k = 72 / 25.4
	var b bytes.Buffer
	number := func(v float64) string { return strconv.FormatFloat(v, 'f', 7, 64) + " " }
	b.WriteString("q " + number(k) + "0 0 " + number(-k) + number(x*k) + number((p.height-y)*k) + "cm 0 J 1 j 0 G 0 g\n")
	b.Write(operators)
	b.WriteString("Q")
	p.pdf.RawWriteBuf(&b)
}

// drawTile draws what lies in tile (i, j), in the middle of the page's room, and the crosses on its seams.
func (p *pattern) drawTile(i, j int, lines []byte) {
	t := p.tiles
	x, y := t.at(i, j)
	left := (p.width - t.wide) / 2
	top := p.opts.Border + (p.height-2*p.opts.Border-p.foot.height-t.high)/2
	// A line on the very edge of the sheet keeps its full width, one that goes on is cut off.
	spare := [4]float64{}
	for k, edge := range []bool{i == 0, j == 0, i == t.columns-1, j == t.rows-1} {
		if edge {
			spare[k] = lineStyles[Cut].width
		}
	}
	clip := fmt.Sprintf("%s %s %s %s re W n\n", millimetres(x-spare[0]), millimetres(y-spare[1]),
		millimetres(t.wide+spare[0]+spare[2]), millimetres(t.high+spare[1]+spare[3]))
	content := append([]byte(clip), lines...)
	content = append(content, styleOperators(Note)...)
	for _, c := range t.crosses() {
		content = append(content, cross(c[0], c[1])...)
	}
	content = append(content, p.seams()...)
	p.inFrame(left-x, top-y, content)
}

// seams are dotted lines along which pages may be trimmed.
func (p *pattern) seams() []byte {
	t := p.tiles
	out := []byte("[0.13 1.5] 0 d\n")
	line := func(x0, y0, x1, y1 float64) {
		out = appendPDFLine(out, []point{{micrometres(x0), micrometres(y0)}, {micrometres(x1), micrometres(y1)}}, false)
	}
	for _, x := range seams(t.columns, t.wide, t.stepX) {
		line(x, 0, x, p.d.Height)
	}
	for _, y := range seams(t.rows, t.high, t.stepY) {
		line(0, y, p.d.Width, y)
	}
	return append(out, "S\n"...)
}

// cross is an alignment mark: two lines of 8 mm and a circle of four cubic curves, whose handles are 0.5523 of its
// radius.
func cross(x, y float64) []byte {
	const r, h = 2.5, 2.5 * 0.5522847498
	var b []byte
	op := func(name string, v ...float64) {
		for i := 0; i < len(v); i += 2 {
			b = append(appendFixed(b, micrometres(x+v[i]), 3, 0), ' ')
			b = append(appendFixed(b, micrometres(y+v[i+1]), 3, 0), ' ')
		}
		b = append(b, name+"\n"...)
	}
	op("m", -4, 0)
	op("l", 4, 0)
	op("m", 0, -4)
	op("l", 0, 4)
	op("m", r, 0)
	op("c", r, h, h, r, 0, r)
	op("c", -h, r, -r, h, -r, 0)
	op("c", -r, -h, -h, -r, 0, -r)
	op("c", h, -r, r, -h, r, 0)
	op("S")
	return b
}
