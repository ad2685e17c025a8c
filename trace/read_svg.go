package trace

import (
	"encoding/xml"
	"fmt"
	"image"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
)

// An SVG drawing (W3C Scalable Vector Graphics 1.1, second edition) is drawn at
// this many dots to the inch, or as fine as svgMaxPixels allow.
const (
	svgDPI       = 600
	svgMaxPixels = 100_000_000
	svgMaxBytes  = 256 << 20
)

// svgPerMM are the lengths that CSS Values and Units 3, 5.2, fixes.
var svgMM = map[string]float64{"": 25.4 / 96, "px": 25.4 / 96, "pt": 25.4 / 72, "pc": 25.4 / 6, "in": 25.4, "cm": 10, "mm": 1, "q": 0.25}

// readSVG draws the filled shapes of an SVG at its own physical size.
func readSVG(r io.Reader, limit int64) (*Picture, error) {
	d := &svgDrawing{dec: xml.NewDecoder(io.LimitReader(r, svgMaxBytes)), left: map[string]int{}, classes: map[string]string{}}
	root, err := d.root()
	if err != nil {
		return nil, err
	}
	p, err := d.open(root, min(limit, svgMaxPixels))
	if err != nil {
		return nil, err
	}
	if err := d.children(svgState{m: d.page, alpha: 1}); err != nil {
		return nil, err
	}
	for _, what := range slices.Sorted(keys(d.left)) {
		p.Notes = append(p.Notes, fmt.Sprintf("%d %s in the SVG not drawn: only filled shapes are, so turn the rest into such", d.left[what], what))
	}
	return p, nil
}

func keys(m map[string]int) func(func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

// An affine map takes (x, y) to (a*x + c*y + e, b*x + d*y + f).
type affine struct{ a, b, c, d, e, f float64 }

func (m affine) at(p vec2) vec2 {
	return vec2{m.a*p.x + m.c*p.y + m.e, m.b*p.x + m.d*p.y + m.f}
}

// then gives the map that applies n first.
func (m affine) after(n affine) affine {
	o := m.at(vec2{n.e, n.f})
	return affine{m.a*n.a + m.c*n.b, m.b*n.a + m.d*n.b, m.a*n.c + m.c*n.d, m.b*n.c + m.d*n.d, o.x, o.y}
}

type svgDrawing struct {
	dec  *xml.Decoder
	out  *image.Gray
	page affine
	left map[string]int // what was not drawn

	classes map[string]string // rules of the style sheet
}

func (d *svgDrawing) damaged(err error) error {
	if err == io.EOF || strings.Contains(err.Error(), "unexpected EOF") {
		return fmt.Errorf("%w: this SVG ends too early", ErrTruncated)
	}
	return fmt.Errorf("%w: SVG: %v", ErrDamaged, err)
}

func (d *svgDrawing) root() (xml.StartElement, error) {
	for {
		t, err := d.dec.Token()
		if err != nil {
			return xml.StartElement{}, d.damaged(err)
		}
		if e, ok := t.(xml.StartElement); ok {
			if e.Name.Local != "svg" {
				return e, fmt.Errorf("%w: it is XML, but its root is <%s>", ErrNotPicture, e.Name.Local)
			}
			return e, nil
		}
	}
}

// open makes the picture that the root element asks for, and the way to its
// pixels.
func (d *svgDrawing) open(root xml.StartElement, limit int64) (*Picture, error) {
	box := numbers(attr(root, "viewBox"))
	if len(box) != 4 || !(box[2] > 0 && box[3] > 0) {
		box = nil
	}
	w, okW := svgLength(attr(root, "width"))
	h, okH := svgLength(attr(root, "height"))
	known := okW && okH
	switch {
	case known:
	case box != nil && okW:
		h, known = w*box[3]/box[2], true
	case box != nil && okH:
		w, known = h*box[2]/box[3], true
	case box != nil:
		w, h = box[2]*svgMM[""], box[3]*svgMM[""]
	default:
		return nil, fmt.Errorf("%w: this SVG has neither a size nor a viewBox", ErrUnsupported)
	}
	if !(w > 0 && h > 0 && w < 1e5 && h < 1e5) {
		return nil, fmt.Errorf("%w: this SVG is %g x %g mm", ErrUnsupported, w, h)
	}
	if box == nil {
		box = []float64{0, 0, w / svgMM[""], h / svgMM[""]}
	}
	mm := max(25.4/svgDPI, math.Sqrt(w*h/float64(limit))*1.001)
	size := image.Pt(int(math.Ceil(w/mm-1e-6)), int(math.Ceil(h/mm-1e-6)))
	if size.X < 2 || size.Y < 2 || int64(size.X) > limit/int64(size.Y) {
		return nil, fmt.Errorf("%w: this SVG is %.2f x %.2f mm", ErrTooSmall, w, h)
	}
	d.out = image.NewGray(image.Rectangle{Max: size})
	fillRow(d.out.Pix)
	sx, sy := w/box[2]/mm, h/box[3]/mm
	if attr(root, "preserveAspectRatio") != "none" {
		sx = min(sx, sy)
		sy = sx
	}
	d.page = affine{sx, 0, 0, sy, (w/mm-box[2]*sx)/2 - box[0]*sx, (h/mm-box[3]*sy)/2 - box[1]*sy}
	p := &Picture{Gray: d.out}
	if known {
		p.MMPerPixel = mm
	} else {
		p.Doubts = []string{"the SVG does not state its size"}
	}
	return p, nil
}

func attr(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name && a.Name.Space == "" {
			return strings.TrimSpace(a.Value)
		}
	}
	return ""
}

// svgLength reads an absolute length as mm.
func svgLength(s string) (mm float64, ok bool) {
	end := strings.LastIndexAny(s, "0123456789.") + 1
	v, err := strconv.ParseFloat(strings.TrimSpace(s[:end]), 64)
	unit, known := svgMM[strings.ToLower(strings.TrimSpace(s[end:]))]
	return v * unit, err == nil && known && v > 0
}

// children draws all that is in the element just opened, and reads its end.
func (d *svgDrawing) children(s svgState) error {
	for {
		t, err := d.dec.Token()
		if err != nil {
			return d.damaged(err)
		}
		switch e := t.(type) {
		case xml.EndElement:
			return nil
		case xml.StartElement:
			if err := d.element(e, s); err != nil {
				return err
			}
		}
	}
}

func (d *svgDrawing) element(e xml.StartElement, s svgState) error {
	switch e.Name.Local {
	case "g", "a", "switch":
		s := s.with(e, d.classes)
		d.noteClip(s)
		return d.children(s)
	case "path", "rect", "circle", "ellipse", "polygon", "polyline":
		if s := s.with(e, d.classes); !s.hidden {
			d.noteClip(s)
			d.shape(e, s)
		}
	case "style":
		return d.style()
	case "defs": // holds nothing to draw, but often the style sheet
		return d.children(svgState{hidden: true})
	case "svg", "text", "image", "use", "line":
		if !s.hidden {
			d.left["elements <"+e.Name.Local+">"]++
		}
	}
	if err := d.dec.Skip(); err != nil {
		return d.damaged(err)
	}
	return nil
}

// noteClip notes that what an element clips off is drawn all the same.
func (d *svgDrawing) noteClip(s svgState) {
	if s.clipped && !s.hidden {
		d.left["clip paths or masks"]++
	}
}
