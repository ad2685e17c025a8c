package proof

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strings"

	"example.org/kerfleaf/export"
)

// ReadSVG reads the lines of an SVG document (SVG 1.1): paths, rectangles, circles, ellipses, lines, polylines, polygons and what
// use elements point to, through groups, transforms and viewports, whatever their fill and stroke. Lengths are those
// of CSS, 96 px to the inch, which is also what a number without unit counts. Curves become straight lines within [Flatness].
//
// A line has the role that its group, itself or the nearest group around it is named after, by id or class (cut,
// score-mountain, score-valley, perforation, note); all others are cuts. Closed are the lines that end with Z and the shapes that
// are closed by nature; coordinates are in mm from the document's top left corner. What is not displayed is left out; texts, pictures and other
// things that no tool can follow are named in the notes. The document's width and height, or else its viewBox in px, are the sheet.
//
// Errors: a [*FileError], and those of r.
func ReadSVG(r io.Reader) (*File, error) {
	data, err := readAll(r, "SVG")
	if err != nil {
		return nil, err
	}
	root, err := parse(data)
	if err != nil {
		return nil, err
	}
	s := &svgReader{ids: map[string]*element{}, skipped: map[string]int{}}
	s.index(root)
	f, err := s.document(root)
	if err != nil {
		return nil, err
	}
	f.Drawing.Layers = s.out.layers
	f.Notes = append(f.Notes, s.notes()...)
	return f, nil
}

// svgReader walks the tree of a document.
type svgReader struct {
	ids     map[string]*element
	out     sink
	skipped map[string]int // names of elements that no tool can follow
	used    int            // elements reached, which use elements may multiply
	styled  bool           // a style sheet was passed over
}

// place is where an element stands: the way from its units to mm, its role, and the size of the viewport in its units.
type place struct {
	m             matrix
	role          export.Role
	width, height float64
	depth         int
}

func (s *svgReader) index(e *element) {
	if id := e.attr["id"]; id != "" && s.ids[id] == nil {
		s.ids[id] = e
	}
	for _, c := range e.children {
		s.index(c)
	}
}

const mmPerPx = 25.4 / 96

// document reads the outermost element.
func (s *svgReader) document(root *element) (*File, error) {
	f := &File{Format: "SVG", Drawing: &export.Drawing{}}
	fault := func(err error) error { return &FileError{"SVG", root.line, err.Error()} }
	box, err := viewBox(root.attr["viewBox"])
	if err != nil {
		return nil, fault(err)
	}
	var size [2]float64
	missing := -1 // the side that is not given
	stated := true
	for i, name := range []string{"width", "height"} {
		text := strings.TrimSpace(root.attr[name])
		if text == "" || text == "auto" || strings.HasSuffix(text, "%") {
			stated = false
			missing = i
			if box != nil {
				size[i] = box[2+i]
			}
			continue
		}
		px, unit, err := length(text, 0)
		if err != nil {
			return nil, fault(err)
		}
		if !(px > 0) || !finite(px*mmPerPx) {
			return nil, fault(fmt.Errorf("the %s %.40q is not between 0 and a kilometre", name, text))
		}
		size[i] = px
		if unit == "" {
			unit = "px"
		}
		if f.Unit == "" {
			f.Unit = unit
		}
	}
	if box != nil && missing >= 0 && f.Unit != "" { // the other side follows by the viewBox (CSS, replaced elements)
		size[missing] = size[1-missing] * box[2+missing] / box[3-missing]
	}
	if f.Unit == "" || f.Unit == "px" {
		f.Unit = ""
		f.Notes = append(f.Notes, "the file states its size in no unit of length: 1 unit was taken for 1/96 in")
	}
	m := scaling(mmPerPx, mmPerPx)
	if box != nil && size[0] > 0 && size[1] > 0 {
		v, err := viewport(size[0], size[1], box, root.attr["preserveAspectRatio"])
		if err != nil {
			return nil, fault(err)
		}
		m = exact(m.mul(v))
	}
	p := place{m: m, width: size[0], height: size[1]}
	if box != nil {
		p.width, p.height = box[2], box[3]
	}
	if err := s.children(root, p); err != nil {
		return nil, err
	}
	f.Drawing.Width, f.Drawing.Height = tidy(size[0]*mmPerPx), tidy(size[1]*mmPerPx)
	if !stated && box == nil {
		f.Notes = append(f.Notes, "the file states no sheet: it was taken to end where its lines do")
		if b := s.out.bounds; b != nil {
			f.Drawing.Width, f.Drawing.Height = max(b.Max(0), 0), max(b.Max(1), 0)
		}
	}
	return f, nil
}

// tidy takes the rounding of units into each other out of a length, to a millionth of a micrometre.
func tidy(mm float64) float64 { return math.Round(mm*1e9) / 1e9 }

// exact takes the rounding out of the map of a document whose units are millimetres.
func exact(m matrix) matrix {
	near := func(v, w float64) bool { return v-w < 1e-12 && w-v < 1e-12 }
	if near(m.a, 1) && near(m.d, 1) {
		m.a, m.d = 1, 1
	}
	if near(m.e, 0) && near(m.f, 0) {
		m.e, m.f = 0, 0
	}
	return m
}

func (s *svgReader) children(e *element, p place) error {
	if p.depth++; p.depth > 4*maxDepth {
		return &FileError{"SVG", e.line, "elements are nested too deeply, or use one another in a circle"}
	}
	for _, c := range e.children {
		if err := s.element(c, p); err != nil {
			return err
		}
	}
	return nil
}

// element reads one element at its place.
func (s *svgReader) element(e *element, p place) error {
	if e.name == "" || e.hidden() {
		return nil
	}
	if s.used++; s.used > maxUsed {
		return &FileError{"SVG", e.line, fmt.Sprintf("more than %d elements are drawn", maxUsed)}
	}
	for _, name := range e.names() {
		if r, ok := roleOf(name); ok {
			p.role = r
			break
		}
	}
	if e.property("visibility") == "hidden" {
		s.skipped["hidden "+e.name]++
		return nil
	}
	err := s.known(e, p)
	var at *FileError
	if err != nil && !errors.As(err, &at) {
		return &FileError{"SVG", e.line, fmt.Sprintf("%s: %v", e.label(), err)}
	}
	return err
}

// label names an element for messages.
func (e *element) label() string {
	if id := e.attr["id"]; id != "" {
		return fmt.Sprintf("%s %.40q", e.name, id)
	}
	return e.name
}

// known reads what has lines; the rest is counted, or says nothing.
func (s *svgReader) known(e *element, p place) error {
	t, err := transform(e.attr["transform"])
	if err != nil {
		return err
	}
	if v := e.property("transform"); v != "" && v != e.attr["transform"] {
		return errors.New("transforms in a style are not understood")
	}
	p.m = p.m.mul(t)
	switch e.name {
	case "g", "a", "switch":
		return s.children(e, p)
	case "svg":
		return s.nested(e, p, e.attr["width"], e.attr["height"])
	case "use":
		return s.use(e, p)
	case "path":
		return path(e.attr["d"], p.m, func(flat []float64, closed bool) error { return s.out.add(p.role, flat, closed) })
	case "rect", "circle", "ellipse", "line", "polyline", "polygon":
		return s.shape(e, p)
	case "style":
		s.styled = true
	case "text", "image", "foreignObject":
		s.skipped[e.name]++
	}
	return nil
}

// nested reads an svg or symbol element within the document.
func (s *svgReader) nested(e *element, p place, width, height string) error {
	g := attributes{e: e, p: p}
	x, y := g.length("x", p.width), g.length("y", p.height)
	w, h := p.width, p.height
	var err error
	if width != "" && width != "auto" {
		w, _, err = length(width, p.width)
	}
	if height != "" && height != "auto" && err == nil {
		h, _, err = length(height, p.height)
	}
	if err = errors.Join(g.err, err); err != nil {
		return err
	}
	if !(w > 0 && h > 0) {
		return nil // SVG 1.1, 5.1.2: not drawn
	}
	box, err := viewBox(e.attr["viewBox"])
	if err != nil {
		return err
	}
	v, err := viewport(w, h, box, e.attr["preserveAspectRatio"])
	if err != nil {
		return err
	}
	p.m = p.m.mul(translation(x, y)).mul(v)
	p.width, p.height = w, h
	if box != nil {
		p.width, p.height = box[2], box[3]
	}
	return s.children(e, p)
}

// use reads what a use element points to.
func (s *svgReader) use(e *element, p place) error {
	href := strings.TrimSpace(e.attr["href"])
	target := s.ids[strings.TrimPrefix(href, "#")]
	if !strings.HasPrefix(href, "#") || target == nil {
		return fmt.Errorf("it points to %.60q, which is not in the document", href)
	}
	g := attributes{e: e, p: p}
	p.m = p.m.mul(translation(g.length("x", p.width), g.length("y", p.height)))
	if g.err != nil {
		return g.err
	}
	if p.depth++; p.depth > 4*maxDepth {
		return errors.New("it uses itself, or too many others")
	}
	if target.name != "symbol" {
		return s.element(target, p)
	}
	return s.nested(target, p, e.attr["width"], e.attr["height"])
}

// notes says what was passed over.
func (s *svgReader) notes() []string {
	var notes []string
	for _, name := range slices.Sorted(maps.Keys(s.skipped)) {
		notes = append(notes, fmt.Sprintf("passed over, as no tool can follow it: %s (%d)", name, s.skipped[name]))
	}
	if s.styled {
		notes = append(notes, "the style sheet was not read; what it hides or moves was taken as it stands")
	}
	return notes
}
