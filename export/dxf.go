package export

import (
	"fmt"
	"io"
	"math"
	"strconv"
)

// Unit is a unit of length.
type Unit int

// The units in which coordinates can be written.
const (
	Millimetre Unit = iota
	Inch            // 25.4 mm
)

// String returns "mm" or "in".
func (u Unit) String() string {
	switch u {
	case Millimetre:
		return "mm"
	case Inch:
		return "in"
	}
	return "unknown unit"
}

// DXFOptions are the choices of [DXF]; nil stands for the defaults.
type DXFOptions struct {
	Unit Unit // of all coordinates; default Millimetre

	// Curves, if not 0, lets arcs (bulges) take the place of runs of short edges, as [SVGOptions] says of its curves.
	// Default 0, straight lines only, which every reader takes.
	Curves float64
}

// DXF writes d as an ASCII drawing exchange file of release 12 (AC1009), the oldest and most widely read form. The
// origin is the sheet's bottom left corner and y points up, so rings wind the other way in numbers, though not on the
// sheet. Every line is a POLYLINE on the layer of its role (CUT, SCORE_MOUNTAIN, SCORE_VALLEY, PERFORATION, NOTE);
// rings carry the closed flag and do not repeat their first vertex; holes come before the ring around them. All layers
// have colour 7 and the line type CONTINUOUS. Coordinates have three decimals in millimetres, six in inches. The format
// itself carries no unit: a comment (group 999), $INSUNITS and $MEASUREMENT state it.
//
// Errors: [ErrEmpty], [*SizeError], [*OutsideError], [*ShapeError], before a byte is written, and those of w.
func DXF(w io.Writer, d *Drawing, opts *DXFOptions) error {
	if err := d.check(); err != nil {
		return err
	}
	if opts == nil {
		opts = &DXFOptions{}
	}
	if opts.Unit != Millimetre && opts.Unit != Inch {
		return fmt.Errorf("export: the unit %d is unknown", int(opts.Unit))
	}
	if err := checkCurves(opts.Curves); err != nil {
		return err
	}
	p := newPen(w)
	sheet := point{micrometres(d.Width), micrometres(d.Height)}
	groups := d.groups()
	p.dxfHeader(sheet, opts.Unit)
	p.dxfTables(groups)
	p.text("  0\nSECTION\n  2\nENTITIES\n")
	var buf []point
	for _, g := range groups {
		e := polyline{layer: "  8\n" + roles[g.Role].layer + "\n", height: sheet.y, unit: opts.Unit}
		if opts.Curves > 0 {
			for _, bends := range g.bends(opts.Curves, arcs) {
				for _, b := range bends {
					p.dxfBend(b, &e)
				}
			}
			continue
		}
		for _, s := range g.Shapes {
			for path := range paths(s) {
				for line := range path.lines(buf) {
					p.dxfPolyline(line, path.closed, &e)
					buf = line
				}
			}
		}
	}
	p.text("  0\nENDSEC\n  0\nEOF\n")
	return p.flush()
}

// dxfHeader writes the unit and the sheet. Values of $INSUNITS (1 inch, 4 millimetre) and $MEASUREMENT (0 English, 1
// metric) are those of the DXF reference; release 12 knows neither, but readers of later releases heed them.
func (p *pen) dxfHeader(sheet point, u Unit) {
	insunits, measurement := 4, 1
	if u == Inch {
		insunits, measurement = 1, 0
	}
	p.text("999\n1 unit = 1 " + u.String() + "\n")
	p.text("  0\nSECTION\n  2\nHEADER\n")
	p.text("  9\n$ACADVER\n  1\nAC1009\n")
	p.text("  9\n$INSUNITS\n 70\n" + strconv.Itoa(insunits) + "\n")
	p.text("  9\n$MEASUREMENT\n 70\n" + strconv.Itoa(measurement) + "\n")
	p.text("  9\n$EXTMIN\n")
	p.dxfPoint(point{}, u)
	p.text(" 30\n0.0\n  9\n$EXTMAX\n")
	p.dxfPoint(sheet, u)
	p.text(" 30\n0.0\n  0\nENDSEC\n")
}

// dxfTables writes the line type and the layers that the entities name.
func (p *pen) dxfTables(groups []Layer) {
	p.text("  0\nSECTION\n  2\nTABLES\n")
	p.text("  0\nTABLE\n  2\nLTYPE\n 70\n1\n")
	p.text("  0\nLTYPE\n  2\nCONTINUOUS\n 70\n0\n  3\nSolid line\n 72\n65\n 73\n0\n 40\n0.0\n  0\nENDTAB\n")
	p.text("  0\nTABLE\n  2\nLAYER\n 70\n" + strconv.Itoa(len(groups)+1) + "\n")
	p.dxfLayer("0")
	for _, g := range groups {
		p.dxfLayer(roles[g.Role].layer)
	}
	p.text("  0\nENDTAB\n  0\nENDSEC\n")
}

func (p *pen) dxfLayer(name string) {
	p.text("  0\nLAYER\n  2\n" + name + "\n 70\n0\n 62\n7\n  6\nCONTINUOUS\n")
}

// polyline is what the polylines of one layer have in common: the group that names the layer, the sheet's height in
// micrometres and the unit.
type polyline struct {
	layer  string
	height int64
	unit   Unit
}

func (p *pen) dxfPolyline(line []point, closed bool, e *polyline) {
	p.dxfStart(closed, e)
	for _, q := range line {
		p.dxfVertex(q, e)
	}
	p.text("  0\nSEQEND\n" + e.layer)
}

// dxfBend writes a line with arcs: a vertex carries the bulge of the arc that starts at it, positive for one that turns
// anticlockwise with y up, which is what our bulges call negative.
func (p *pen) dxfBend(b bend, e *polyline) {
	p.dxfStart(b.closed, e)
	at := b.start.point()
	for _, s := range b.segments {
		p.dxfVertex(at, e)
		if s.bulge != 0 {
			p.text(" 42\n" + string(appendFixed(nil, int64(math.Round(-1e6*s.bulge)), 6, 1)) + "\n")
		}
		at = s.end.point()
	}
	if !b.closed {
		p.dxfVertex(at, e)
	}
	p.text("  0\nSEQEND\n" + e.layer)
}

// dxfStart begins a polyline.
func (p *pen) dxfStart(closed bool, e *polyline) {
	flags := "0"
	if closed {
		flags = "1"
	}
	p.text("  0\nPOLYLINE\n" + e.layer + " 66\n1\n 70\n" + flags + "\n 10\n0.0\n 20\n0.0\n 30\n0.0\n")
}

func (p *pen) dxfVertex(q point, e *polyline) {
	p.text("  0\nVERTEX\n")
	p.text(e.layer)
	p.dxfPoint(point{q.x, e.height - q.y}, e.unit)
}

func (p *pen) dxfPoint(q point, u Unit) {
	p.buf = append(p.buf, " 10\n"...)
	p.buf = appendDXF(p.buf, q.x, u)
	p.buf = append(p.buf, "\n 20\n"...)
	p.buf = appendDXF(p.buf, q.y, u)
	p.buf = append(p.buf, '\n')
}

// appendDXF appends a length of whole micrometres, which is not negative, in the unit, always with a decimal point.
func appendDXF(dst []byte, um int64, u Unit) []byte {
	if u == Inch {
		// One micrometre is 5000/127 millionths of an inch.
		return appendFixed(dst, (um*5000+63)/127, 6, 1)
	}
	return appendFixed(dst, um, 3, 1)
}
