package export

import (
	"fmt"

	"github.com/twpayne/go-geom"
)

// A foot stands below the drawing on every page: what the page is, bars that prove its size, and a legend, set in rows.
// Lengths are in mm.
type foot struct {
	items  []footItem
	height float64
}

// A footItem takes width in a row; draw is given its left end and the middle of the row. Items marked first are
// on the first page only, but leave their room on all.
type footItem struct {
	width, x, y float64
	text        string
	bold, first bool
	sample      []byte  // operators, in a frame with the item's left end as origin
	sampleWidth float64 // before the text
}

const (
	footRow  = 7.5 // height of a row, mm
	footType = 8.5 // size of the type, pt
	footGap  = 6.0 // between items, mm
)

// newFoot sets the foot in rows of at most the given width, for one page or several.
func (p *pattern) newFoot(width float64, several bool) foot {
	var f foot
	add := func(it footItem) {
		p.setFont(it.bold)
		it.width = it.sampleWidth + p.pdf.GetStringWidth(it.text)
		if it.sampleWidth > 0 {
			it.width += 1.5
		}
		f.items = append(f.items, it)
	}
	// The longest that the page's own line will be; see draw.
	add(footItem{text: p.opts.Title + "  page 000 of 000, row 00, column 00", bold: true})
	add(footItem{sample: ruler(50, 1, []int{10, 5, 1}), sampleWidth: 50, text: "50 mm"})
	add(footItem{sample: ruler(50.8, 25.4/16, []int{16, 8, 4, 2, 1}), sampleWidth: 50.8, text: "2 in"})
	scored := false
	for role := range lineStyles {
		r := Role(role)
		if p.d.count(r, true)+p.d.count(r, false) == 0 {
			continue
		}
		scored = scored || r == Mountain || r == Valley
		line := geom.NewLineStringFlat(geom.XY, []float64{0, 0, 14, 0})
		var sample []byte
		for path := range paths(line) {
			for l := range path.lines(nil) {
				sample = append(appendPDFLine([]byte(styleOperators(r)), l, false), "S\n"...)
			}
		}
		add(footItem{sample: sample, sampleWidth: 14, text: lineStyles[r].means})
	}
	if scored {
		add(footItem{text: "outer face up"})
	}
	switch p.opts.Grain {
	case AlongWidth:
		add(footItem{sample: doubleArrow(12, 0), sampleWidth: 12, text: "grain"})
	case AlongHeight:
		add(footItem{sample: doubleArrow(0, 6), sampleWidth: 2, text: "grain"})
	}
	add(footItem{text: "Print at 100 %: the bars must measure 50 mm and 2 in."})
	if several {
		add(footItem{text: "Lay each cross on its twin, trim along the dots, tape."})
	}
	for _, s := range p.opts.Notes {
		add(footItem{text: s, first: true})
	}
	x, y := 0.0, footRow/2+2
	for i := range f.items {
		it := &f.items[i]
		if x > 0 && (x+it.width > width || i == 1) {
			x, y = 0, y+footRow
		}
		it.x, it.y = x, y
		x += it.width + footGap
	}
	f.height = y + footRow/2
	return f
}

func (p *pattern) setFont(bold bool) {
	if bold {
		p.pdf.SetFont("medium", "", footType)
	} else {
		p.pdf.SetFont("regular", "", footType)
	}
}

// draw draws the foot of page n.
func (f foot) draw(p *pattern, n int) {
	tile := p.pages[n]
	left, top := p.opts.Border, p.height-p.opts.Border-f.height
	several := len(p.pages) > 1
	for i, it := range f.items {
		text := it.text
		switch {
		case i == 0 && several:
			text = fmt.Sprintf("%s  page %d of %d, row %d, column %d", p.opts.Title, n+1, len(p.pages), tile[1]+1, tile[0]+1)
		case i == 0:
			text = p.opts.Title
		case it.first && n > 0:
			continue
		}
		x, y := left+it.x, top+it.y
		if it.sample != nil {
			p.inFrame(x, y, it.sample)
			x += it.sampleWidth + 1.5
		}
		p.setFont(it.bold)
		p.pdf.SetTextColor(0, 0, 0)
		p.pdf.Text(x, y+footType*0.35*25.4/72, text)
	}
}

// ruler is a bar of the given length with a mark every step; marks that stand every[0] steps apart are the longest, and
// so on.
func ruler(length, step float64, every []int) []byte {
	out := []byte("0.25 w [] 0 d\n")
	line := func(x0, y0, x1, y1 float64) {
		out = appendPDFLine(out, []point{{micrometres(x0), micrometres(y0)}, {micrometres(x1), micrometres(y1)}}, false)
	}
	line(0, 2, length, 2)
	for i := 0; float64(i)*step <= length+step/2; i++ {
		for rank, n := range every {
			if i%n == 0 {
				x := float64(i) * step
				line(x, 2, x, 2-4*(1-float64(rank)/float64(len(every)+1)))
				break
			}
		}
	}
	return append(out, "S\n"...)
}

// doubleArrow is a line of the given extent with a head at either end: from (0, 0) along x, or in the middle of the row
// along y.
func doubleArrow(dx, dy float64) []byte {
	out := []byte("0.25 w [] 0 d\n")
	line := func(v ...float64) {
		var pts []point
		for i := 0; i < len(v); i += 2 {
			pts = append(pts, point{micrometres(v[i]), micrometres(v[i+1])})
		}
		out = appendPDFLine(out, pts, false)
	}
	if dx > 0 {
		line(0, 0, dx, 0)
		line(1.5, -0.8, 0, 0, 1.5, 0.8)
		line(dx-1.5, -0.8, dx, 0, dx-1.5, 0.8)
	} else {
		line(1, -dy/2, 1, dy/2)
		line(0.2, 1.5-dy/2, 1, -dy/2, 1.8, 1.5-dy/2)
		line(0.2, dy/2-1.5, 1, dy/2, 1.8, dy/2-1.5)
	}
	return append(out, "S\n"...)
}
