package proof

import (
	"bytes"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/kerfleaf/export"
)

// binaryDXF begins the binary form of the format.
const binaryDXF = "AutoCAD Binary DXF"

// ReadDXF reads the lines of an ASCII drawing exchange file of any release: LINE, LWPOLYLINE, POLYLINE of two dimensions
// with bulges, ARC, CIRCLE, ELLIPSE, SPLINE, and those within blocks that INSERT places. Curves become straight lines within
// [Flatness]. Lengths are in the unit of $INSUNITS, else of a comment "1 unit = 1 mm" (or in) as export writes it, else millimetres.
//
// A line has the role that its layer is named after (CUT, SCORE_MOUNTAIN, SCORE_VALLEY, PERFORATION, NOTE); all others are cuts. Lines of
// layers that are off or frozen, and of paper space, are left out; texts, points and dimensions are named in the notes. Any other
// entity is an error, as a cut would be missing. y is turned round: the drawing's top left corner is that of the sheet,
// $EXTMIN to $EXTMAX, in files of our own, else of the rectangle around all lines.
//
// Errors: a [*FileError], and those of r.
func ReadDXF(r io.Reader) (*File, error) {
	data, err := readAll(r, "DXF")
	if err != nil {
		return nil, err
	}
	if bytes.HasPrefix(data, []byte(binaryDXF)) {
		return nil, &FileError{Format: "DXF", Problem: "the file is in the binary form; save it as ASCII"}
	}
	d := &dxfReader{hidden: map[string]bool{}, blocks: map[string]*block{}, skipped: map[string]int{}}
	groups, err := d.groups(data)
	if err != nil {
		return nil, err
	}
	if err := d.sections(groups); err != nil {
		return nil, err
	}
	return d.file(), nil
}

// group is a pair of lines of the file: what the value is, and the value.
type group struct {
	code  int
	value string
	line  int
}

// number is the value as a number.
func (g group) number() (float64, error) {
	v, err := strconv.ParseFloat(g.value, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, &FileError{"DXF", g.line, fmt.Sprintf("%.40q (group %d) is not a number", g.value, g.code)}
	}
	return v, nil
}

// integer is the value as a whole number; writers put a decimal point into some.
func (g group) integer() (int, error) {
	v, err := g.number()
	if err == nil && (v != math.Trunc(v) || math.Abs(v) > 1<<40) {
		err = &FileError{"DXF", g.line, fmt.Sprintf("%.40q (group %d) is not a whole number", g.value, g.code)}
	}
	return int(v), err
}

// dxfReader holds what the sections before the entities say.
type dxfReader struct {
	unit    string // "" if the file does not say
	own     bool   // a comment of ours tells the unit
	header  map[string][]group
	hidden  map[string]bool // layers
	blocks  map[string]*block
	out     sink
	used    int
	skipped map[string]int
	mm      float64 // of a unit
}

// groups cuts the file into groups and takes comments out.
func (d *dxfReader) groups(data []byte) ([]group, error) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	var out []group
	line := 0
	next := func() (string, bool) {
		if len(data) == 0 {
			return "", false
		}
		line++
		text, rest, _ := bytes.Cut(data, []byte{'\n'})
		data = rest
		return strings.TrimSpace(string(text)), true
	}
	for {
		code, ok := next()
		if !ok {
			return nil, &FileError{"DXF", line, "the file ends before its EOF"}
		}
		if code == "" && len(bytes.TrimSpace(data)) == 0 {
			return nil, &FileError{"DXF", line, "the file ends before its EOF"}
		}
		n, err := strconv.Atoi(code)
		if err != nil {
			return nil, &FileError{"DXF", line, fmt.Sprintf("%.40q is not the number of a group", code)}
		}
		value, ok := next()
		switch {
		case !ok:
			return nil, &FileError{"DXF", line, "the file ends within a group"}
		case n == 999:
			if unit, ok := strings.CutPrefix(value, "1 unit = 1 "); ok && len(out) == 0 && (unit == "mm" || unit == "in") {
				d.unit, d.own = unit, true
			}
		case n == 0 && value == "EOF":
			return out, nil
		default:
			out = append(out, group{n, value, line})
		}
	}
}

// sections reads the sections that matter.
func (d *dxfReader) sections(all []group) error {
	var entities []group
	for len(all) > 0 {
		if all[0].code != 0 || all[0].value != "SECTION" || len(all) < 2 || all[1].code != 2 {
			return &FileError{"DXF", all[0].line, fmt.Sprintf("%.40q stands where a section should begin", all[0].value)}
		}
		end := slices.IndexFunc(all, func(g group) bool { return g.code == 0 && g.value == "ENDSEC" })
		if end < 2 {
			return &FileError{"DXF", all[0].line, "the section does not end"}
		}
		name, body := all[1].value, all[2:end]
		all = all[end+1:]
		switch name {
		case "HEADER":
			d.readHeader(body)
		case "TABLES":
			d.readLayers(body)
		case "BLOCKS":
			if err := d.readBlocks(body); err != nil {
				return err
			}
		case "ENTITIES":
			entities = append(entities, body...)
		}
	}
	if err := d.findUnit(); err != nil {
		return err
	}
	list, err := records(entities)
	if err != nil {
		return err
	}
	return d.draw(list, frame{m: scaling(d.mm, d.mm)})
}

// readHeader keeps the groups of each variable.
func (d *dxfReader) readHeader(body []group) {
	d.header = map[string][]group{}
	name := ""
	for _, g := range body {
		if g.code == 9 {
			name = g.value
		} else if name != "" {
			d.header[name] = append(d.header[name], g)
		}
	}
}

// readLayers finds the layers that are not to be seen: frozen (1 in group 70) or off (a negative colour).
func (d *dxfReader) readLayers(body []group) {
	for _, r := range split(body) {
		if r.name != "LAYER" {
			continue
		}
		layer, hidden := "", false
		for _, g := range r.groups {
			switch n, _ := strconv.Atoi(g.value); {
			case g.code == 2:
				layer = g.value
			case g.code == 70 && n&1 == 1, g.code == 62 && n < 0:
				hidden = true
			}
		}
		d.hidden[layer] = hidden
	}
}

// insUnits are the units of $INSUNITS in mm, with their names: 1, 2, 4, 5 and 6 are inch, foot, millimetre, centimetre and metre in the DXF reference;
// 8, 9, 13 and 14 are microinch, mil, micron and decimetre (from memory).
var insUnits = map[int]struct {
	name string
	mm   float64
}{
	1: {"in", 25.4}, 2: {"ft", 304.8}, 4: {"mm", 1}, 5: {"cm", 10}, 6: {"m", 1000},
	8: {"µin", 25.4e-6}, 9: {"mil", 0.0254}, 13: {"µm", 0.001}, 14: {"dm", 100},
}

// findUnit decides on the unit.
func (d *dxfReader) findUnit() error {
	own := d.unit
	d.unit, d.mm = "", 1
	if v := d.header["$INSUNITS"]; len(v) > 0 {
		n, err := v[0].integer()
		if err != nil {
			return err
		}
		u, ok := insUnits[n]
		if n != 0 && !ok {
			return &FileError{"DXF", v[0].line, fmt.Sprintf("the unit %d of $INSUNITS is not one for paper", n)}
		}
		if ok {
			d.unit, d.mm = u.name, u.mm
		}
	}
	if d.unit == "" && own != "" {
		d.unit = own
		if own == "in" {
			d.mm = 25.4
		}
	}
	return nil
}

// file puts the lines on their sheet.
func (d *dxfReader) file() *File {
	f := &File{Format: "DXF", Unit: d.unit, Drawing: &export.Drawing{Layers: d.out.layers}}
	if d.unit == "" {
		f.Notes = append(f.Notes, "the file states no unit of length: 1 unit was taken for 1 mm")
	}
	for _, name := range slices.Sorted(maps.Keys(d.skipped)) {
		f.Notes = append(f.Notes, fmt.Sprintf("passed over: %s (%d)", name, d.skipped[name]))
	}
	b := d.out.bounds
	if b == nil {
		return f
	}
	x0, y1 := b.Min(0), b.Max(1)
	f.Drawing.Width, f.Drawing.Height = tidy(b.Max(0)-x0), tidy(y1-b.Min(1))
	if low, high, ok := d.sheet(); ok {
		x0, y1 = low[0], high[1]
		f.Drawing.Width, f.Drawing.Height = tidy(high[0]-x0), tidy(y1-low[1])
	} else {
		f.Notes = append(f.Notes, "the file states no sheet: it was taken to end where its lines do")
	}
	for _, l := range f.Drawing.Layers {
		for _, s := range l.Shapes {
			flat := s.FlatCoords()
			for i := 0; i < len(flat); i += 2 {
				flat[i], flat[i+1] = flat[i]-x0, y1-flat[i+1]
			}
		}
	}
	return f
}

// sheet is the rectangle $EXTMIN to $EXTMAX of a file of our own, in mm. Of others it only says where lines were once.
func (d *dxfReader) sheet() (low, high [2]float64, ok bool) {
	if !d.own {
		return low, high, false
	}
	for i, name := range []string{"$EXTMIN", "$EXTMAX"} {
		for _, g := range d.header[name] {
			v, err := g.number()
			if err != nil || !finite(v*d.mm) {
				return low, high, false
			}
			if p := [2]*[2]float64{&low, &high}[i]; g.code == 10 || g.code == 20 {
				p[g.code/10-1] = v * d.mm
			}
		}
	}
	return low, high, low[0] < high[0] && low[1] < high[1]
}
