package trace

import (
	"fmt"
	"image"
	"math"

	"golang.org/x/image/draw"
)

// A density is a resolution as a file states it.
type density struct {
	x, y    float64 // pixels per unit, as stored
	perInch float64 // the unit as a factor to dpi; 0 where only the ratio of x to y is meant
	from    string
}

// dpi gives pixels per inch, snapped to a whole number within 0.05: file
// formats keep whole pixels per metre or centimetre, so 300 dpi comes back as
// 299.9994.
func (d density) dpi() (x, y float64) {
	return snapDPI(d.x * d.perInch), snapDPI(d.y * d.perInch)
}

func snapDPI(v float64) float64 {
	if n := math.Round(v); math.Abs(v-n) <= 0.05 {
		return n
	}
	return v
}

// Between these, in dpi, a resolution is believed: a wall hanging photographed
// whole, and finer than any scanner.
const minDPI, maxDPI = 10, 20000

// A pixel is not more oblong than fax machines make it (204 x 98 dpi), with
// room to spare.
const maxAspect = 4

// doubt says why a density is no true resolution, empty when it is believed.
func (d density) doubt() string {
	x, y := d.dpi()
	switch {
	case d.x == 0 && d.y == 0:
		return "says nothing"
	case d.x == 1 && d.y == 1:
		return "of 1 x 1 is a placeholder"
	case d.perInch == 0:
		return fmt.Sprintf("of %.6g x %.6g has no unit", d.x, d.y)
	case x == 72 && y == 72:
		return "of 72 dpi is a placeholder"
	case !(min(x, y) >= minDPI && max(x, y) <= maxDPI && max(x, y) <= maxAspect*min(x, y)):
		return fmt.Sprintf("of %.6g x %.6g dpi makes no sense", x, y)
	}
	return ""
}

// A choice is the resolution to use.
type choice struct {
	x, y   float64 // dpi; only their ratio counts when !known
	known  bool
	doubts []string
}

// chooseDensity takes the first believable density; failing that, the first
// believable shape of a pixel.
func (m *meta) chooseDensity() choice {
	c := choice{x: 1, y: 1}
	for _, d := range m.densities {
		doubt := d.doubt()
		switch {
		case doubt == "" && !c.known:
			c.x, c.y = d.dpi()
			c.known = true
			c.doubts = nil
		case doubt == "":
			if x, y := d.dpi(); math.Abs(x-c.x) > 0.5 || math.Abs(y-c.y) > 0.5 {
				c.doubts = append(c.doubts, fmt.Sprintf("its %s says %.6g dpi, which differs from the %.6g dpi used", d.from, x, c.x))
			}
		case doubt == "says nothing" || c.known:
		default:
			c.doubts = append(c.doubts, fmt.Sprintf("its %s %s and is not believed", d.from, doubt))
			if d.perInch == 0 && c.x == c.y && max(d.x, d.y) <= maxAspect*min(d.x, d.y) {
				c.x, c.y = d.x, d.y
			}
		}
	}
	return c
}

// setResolution stores the chosen resolution, as seen after turning by the
// given orientation, and makes oblong pixels square.
func (p *Picture) setResolution(c choice, orientation int, limit int64) error {
	p.Doubts = append(p.Doubts, c.doubts...)
	if orientation >= 5 {
		c.x, c.y = c.y, c.x
	}
	if c.x != c.y {
		w, h := p.Gray.Rect.Dx(), p.Gray.Rect.Dy()
		fine := max(c.x, c.y)
		size := image.Pt(int(math.Round(float64(w)*fine/c.x)), int(math.Round(float64(h)*fine/c.y)))
		if int64(size.X) > limit/int64(size.Y) {
			return &SizeError{Width: size.X, Height: size.Y, MaxPixels: limit}
		}
		square := image.NewGray(image.Rectangle{Max: size})
		draw.CatmullRom.Scale(square, square.Rect, p.Gray, p.Gray.Rect, draw.Src, nil)
		p.Gray = square
		if p.Colours != nil {
			square := image.NewRGBA(image.Rectangle{Max: size})
			draw.CatmullRom.Scale(square, square.Rect, p.Colours, p.Colours.Rect, draw.Src, nil)
			p.Colours = square
		}
		p.Notes = append(p.Notes, fmt.Sprintf("its pixels are oblong (%.6g across to %.6g down in the same length): enlarged from %d x %d to %d x %d", c.x, c.y, w, h, size.X, size.Y))
		c.x = fine
	}
	if c.known {
		p.MMPerPixel = 25.4 / c.x
	}
	return nil
}
