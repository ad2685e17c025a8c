package export

import (
	"bufio"
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"
)

// A readLine is a line as a reader of a written file sees it: its points, y down, and whether it is closed. path
// numbers the SVG path element it came from.
type readLine struct {
	layer  string
	path   int
	rule   string
	closed bool
	points [][2]float64
	bulges []float64
}

// area is the shoelace formula, positive for rings that wind from the x axis to the y axis.
func (l readLine) area() float64 {
	sum := 0.0
	for i, a := range l.points {
		b := l.points[(i+1)%len(l.points)]
		sum += a[0]*b[1] - b[0]*a[1]
	}
	return sum / 2
}

// readSVG reads the documents that SVG writes by the path grammar of SVG 1.1 (8.3.9), as far as M, L, C and Z in
// absolute coordinates go, and maps user units to mm by width, height and viewBox (SVG 1.1, 7.7).
func readSVG(t testing.TB, doc []byte) (width, height float64, lines []readLine) {
	t.Helper()
	dec := xml.NewDecoder(bytes.NewReader(doc))
	var group []string
	scale, path := 0.0, 0
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			return width, height, lines
		}
		if err != nil {
			t.Fatalf("reading the SVG: %v", err)
		}
		switch el := tok.(type) {
		case xml.StartElement:
			attr := map[string]string{}
			for _, a := range el.Attr {
				attr[a.Name.Local] = a.Value
			}
			if attr["transform"] != "" || attr["stroke-dasharray"] != "" {
				t.Fatalf("element %s is transformed or dashed", el.Name.Local)
			}
			switch el.Name.Local {
			case "svg":
				width, height, scale = svgSize(t, attr)
			case "g":
				group = append(group, attr["id"])
			case "path":
				path++
				for _, l := range readPath(t, attr["d"]) {
					for i := range l.points {
						l.points[i][0] *= scale
						l.points[i][1] *= scale
					}
					l.layer, l.path, l.rule = group[len(group)-1], path, attr["fill-rule"]
					lines = append(lines, l)
				}
			}
		case xml.EndElement:
			if el.Name.Local == "g" {
				group = group[:len(group)-1]
			}
		}
	}
}

// mmPer is the length in mm of each unit that CSS and SVG 2 know: 1 in = 96 px = 72 pt = 6 pc = 25.4 mm = 101.6 Q.
var mmPer = map[string]float64{"mm": 1, "cm": 10, "in": 25.4, "": 25.4 / 96, "px": 25.4 / 96, "pt": 25.4 / 72, "pc": 25.4 / 6, "Q": 0.25}

// svgSize returns the size in mm and how many mm a user unit is.
func svgSize(t testing.TB, attr map[string]string) (width, height, scale float64) {
	t.Helper()
	length := func(s string) float64 {
		number := strings.TrimRight(s, "abcdefghijklmnopqrstuvwxyzQ")
		per, known := mmPer[s[len(number):]]
		if !known {
			t.Fatalf("length %q", s)
		}
		return mustFloat(t, number) * per
	}
	width, height = length(attr["width"]), length(attr["height"])
	box := strings.Fields(attr["viewBox"])
	if len(box) != 4 || box[0] != "0" || box[1] != "0" {
		t.Fatalf("viewBox %q", attr["viewBox"])
	}
	return width, height, math.Min(width/mustFloat(t, box[2]), height/mustFloat(t, box[3]))
}

// readPath reads path data; a cubic curve counts as 32 chords, by de Casteljau's construction.
func readPath(t testing.TB, d string) (lines []readLine) {
	t.Helper()
	for len(d) > 0 {
		command := d[0]
		d = d[1:]
		end := strings.IndexAny(d, "MLCZ")
		if end < 0 {
			end = len(d)
		}
		var numbers []float64
		for _, f := range strings.Fields(d[:end]) {
			if i := strings.IndexByte(f, '.'); i >= 0 && len(f)-i-1 > 3 {
				t.Fatalf("%s has more than three decimals", f)
			}
			numbers = append(numbers, mustFloat(t, f))
		}
		d = d[end:]
		want := map[byte]int{'M': 2, 'L': 2, 'C': 6, 'Z': 0}
		if n, known := want[command]; !known || len(numbers) != n {
			t.Fatalf("command %q with numbers %v", command, numbers)
		}
		if command == 'M' {
			lines = append(lines, readLine{})
		}
		if len(lines) == 0 || lines[len(lines)-1].closed {
			t.Fatalf("command %q without a M before it", command)
		}
		l := &lines[len(lines)-1]
		if command == 'Z' {
			l.closed = true
		}
		if command == 'C' {
			p := [4][2]float64{l.points[len(l.points)-1]}
			for i := range 3 {
				p[i+1] = [2]float64{numbers[2*i], numbers[2*i+1]}
			}
			l.points = append(l.points, casteljau(p)...)
			continue
		}
		for i := 0; i < len(numbers); i += 2 {
			l.points = append(l.points, [2]float64{numbers[i], numbers[i+1]})
		}
	}
	return lines
}

// casteljau halves a curve five times and returns the ends of the pieces.
func casteljau(p [4][2]float64) (out [][2]float64) {
	var halve func(p [4][2]float64, depth int)
	halve = func(p [4][2]float64, depth int) {
		if depth == 0 {
			out = append(out, p[3])
			return
		}
		mid := func(a, b [2]float64) [2]float64 { return [2]float64{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2} }
		a, b, c := mid(p[0], p[1]), mid(p[1], p[2]), mid(p[2], p[3])
		d, e := mid(a, b), mid(b, c)
		f := mid(d, e)
		halve([4][2]float64{p[0], a, d, f}, depth-1)
		halve([4][2]float64{f, e, c, p[3]}, depth-1)
	}
	halve(p, 5)
	return out
}

// A dxfPair is a group code and its value.
type dxfPair struct {
	code  int
	value string
}

func readPairs(t testing.TB, file []byte) (pairs []dxfPair) {
	t.Helper()
	sc := bufio.NewScanner(bytes.NewReader(file))
	for sc.Scan() {
		code, err := strconv.Atoi(strings.TrimSpace(sc.Text()))
		if err != nil || !sc.Scan() {
			t.Fatalf("group %d: code %q: %v", len(pairs), sc.Text(), err)
		}
		pairs = append(pairs, dxfPair{code, sc.Text()})
	}
	return pairs
}

// readDXF reads the entities of a release 12 file by the DXF reference, turning y down again, and the unit and the
// size from the header. It checks that every layer and line type used is in its table.
func readDXF(t testing.TB, file []byte) (insunits string, width, height float64, lines []readLine) {
	t.Helper()
	pairs := readPairs(t, file)
	if last := pairs[len(pairs)-1]; last != (dxfPair{0, "EOF"}) {
		t.Fatalf("the file ends with %v", last)
	}
	var section, variable, entity string
	tables := map[string]bool{} // "LAYER CUT"
	var cur *readLine
	for i, p := range pairs {
		if p.code == 0 {
			entity = p.value
			switch entity {
			case "POLYLINE":
				lines = append(lines, readLine{})
				cur = &lines[len(lines)-1]
			case "VERTEX":
				cur.points = append(cur.points, [2]float64{math.NaN(), math.NaN()})
				cur.bulges = append(cur.bulges, 0)
			}
			continue
		}
		switch {
		case p.code == 2 && entity == "SECTION":
			section = p.value
		case p.code == 9:
			variable = p.value
		case section == "HEADER" && variable == "$ACADVER" && p.value != "AC1009":
			t.Fatalf("version %s", p.value)
		case section == "HEADER" && variable == "$INSUNITS":
			insunits = p.value
		case section == "HEADER" && variable == "$EXTMAX" && p.code == 10:
			width = mustFloat(t, p.value)
		case section == "HEADER" && variable == "$EXTMAX" && p.code == 20:
			height = mustFloat(t, p.value)
		case section == "TABLES" && p.code == 2 && entity != "TABLE":
			tables[entity+" "+p.value] = true
		case section == "TABLES" && p.code == 6 && !tables["LTYPE "+p.value]:
			t.Fatalf("line type %s is in no table", p.value)
		case section == "ENTITIES" && p.code == 8:
			if !tables["LAYER "+p.value] {
				t.Fatalf("layer %s is in no table", p.value)
			}
			if entity == "POLYLINE" {
				cur.layer = p.value
			} else if cur.layer != p.value {
				t.Fatalf("group %d: a %s on layer %s of a polyline on %s", i, entity, p.value, cur.layer)
			}
		case section == "ENTITIES" && entity == "POLYLINE" && p.code == 70:
			cur.closed = p.value == "1"
		case entity == "VERTEX" && p.code == 10:
			cur.points[len(cur.points)-1][0] = mustFloat(t, p.value)
		case entity == "VERTEX" && p.code == 20:
			cur.points[len(cur.points)-1][1] = height - mustFloat(t, p.value)
		case entity == "VERTEX" && p.code == 42:
			cur.bulges[len(cur.bulges)-1] = mustFloat(t, p.value)
		}
	}
	return insunits, width, height, lines
}

func mustFloat(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// show prints lines for comparison, a line each, in hundredths of a micrometre.
func show(lines []readLine) string {
	var b strings.Builder
	for _, l := range lines {
		fmt.Fprintf(&b, "%s closed=%v", strings.ToLower(strings.ReplaceAll(l.layer, "_", "-")), l.closed)
		for _, p := range l.points {
			fmt.Fprintf(&b, " %.5f,%.5f", p[0]+0, p[1]+0)
		}
		b.WriteByte('\n')
	}
	return strings.ReplaceAll(b.String(), "-0.00000", "0.00000")
}
