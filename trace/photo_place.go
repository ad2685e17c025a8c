package trace

import (
	"fmt"
	"image"
	"math"

	"github.com/twpayne/go-geom"
	"golang.org/x/image/vector"
)

// A ScrapPlacement lays a part on a scrap: turned clockwise, as seen, by Angle
// degrees about the origin of its own frame, then moved by X and Y mm.
type ScrapPlacement struct {
	X, Y, Angle float64
	Rest        float64 // what it leaves, as PlaceOnScrap measures it, in mm²
}

// Move takes a point of the part's own frame to the scrap's.
func (p ScrapPlacement) Move(x, y float64) (float64, float64) {
	s, c := math.Sincos(p.Angle * math.Pi / 180)
	return p.X + c*x - s*y, p.Y + s*x + c*y
}

// A ScrapError says that a part does not fit on a scrap at any angle tried.
type ScrapError struct {
	Width, Height float64 // of the part, mm
	Area, Scrap   float64 // of the part and of the scrap, mm²
}

func (e *ScrapError) Error() string {
	return fmt.Sprintf("trace: a part of %.1f x %.1f mm (%.0f mm²) does not fit on the scrap of %.0f mm²", e.Width, e.Height, e.Area, e.Scrap)
}

// ScrapOptions change how PlaceOnScrap works; nil means the defaults.
type ScrapOptions struct {
	// Step is the grid in mm on which places are tried. Zero means 1/150 of the
	// scrap's longer side, and at least 0.5.
	Step float64

	// Turn is the step in degrees between the angles that are tried. Zero means
	// 5; 360 and more keeps the part as it is.
	Turn float64
}

// keepSide is the side in mm of the square that a rest must be able to hold to
// count.
const keepSide = 20

// PlaceOnScrap finds where on a scrap a part lies wholly inside and leaves the
// largest rest. Both are in mm; the part is its outer ring. The rest of a place
// is the area in which the middle of a 20 mm square can move, in the largest
// piece where it can.
//
// Places are tried on a grid of Step mm and at every Turn degrees, on the safe
// side: every cell of the grid that the part touches must lie on the scrap. So
// the part is inside for certain, and a place that only exists between two
// steps is not found. The error is a *ScrapError.
func PlaceOnScrap(scrap *geom.MultiPolygon, part *geom.Polygon, opts *ScrapOptions) (ScrapPlacement, error) {
	var o ScrapOptions
	if opts != nil {
		o = *opts
	}
	b := scrap.Bounds()
	w, h := b.Max(0)-b.Min(0), b.Max(1)-b.Min(1)
	if o.Step <= 0 {
		o.Step = max(0.5, max(w, h)/150)
	}
	if o.Turn <= 0 {
		o.Turn = 5
	}
	box := part.Bounds()
	lost := &ScrapError{Width: box.Max(0) - box.Min(0), Height: box.Max(1) - box.Min(1), Area: math.Abs(part.Area()), Scrap: scrap.Area()}
	if scrap.NumPolygons() == 0 || part.NumLinearRings() == 0 {
		return ScrapPlacement{}, lost
	}
	free := newCells(scrap, b.Min(0), b.Min(1), o.Step)
	angles := max(1, int(360/o.Turn+1e-9))
	best := make([]ScrapPlacement, angles)
	eachBand(angles, func(i, j int) {
		rest := newRestFinder(free)
		for ; i < j; i++ {
			best[i] = free.place(part, float64(i)*o.Turn, rest)
		}
	})
	found := ScrapPlacement{Rest: -1}
	for _, p := range best {
		if p.Rest > found.Rest {
			found = p
		}
	}
	if found.Rest < 0 {
		return ScrapPlacement{}, lost
	}
	return found, nil
}

// Cells tell which squares of a grid lie wholly on a scrap, or are touched by a
// part.
type cells struct {
	w, h   int
	x0, y0 float64
	step   float64
	before []int32 // before[y*(w+1)+x] of the first x cells of row y are on
}

func newCells(m *geom.MultiPolygon, x0, y0, step float64) *cells {
	b := m.Bounds()
	c := &cells{w: int((b.Max(0)-x0)/step) + 1, h: int((b.Max(1)-y0)/step) + 1, x0: x0, y0: y0, step: step}
	var rings [][]float64
	for i := range m.NumPolygons() {
		p := m.Polygon(i)
		for k := range p.NumLinearRings() {
			rings = append(rings, p.LinearRing(k).FlatCoords())
		}
	}
	mask := c.coverage(rings)
	c.before = make([]int32, (c.w+1)*c.h)
	for y := range c.h {
		for x := range c.w {
			at := y*(c.w+1) + x
			c.before[at+1] = c.before[at]
			if mask.Pix[y*mask.Stride+x] == 255 {
				c.before[at+1]++
			}
		}
	}
	return c
}

func (c *cells) coverage(rings [][]float64) *image.Alpha {
	z := vector.NewRasterizer(c.w, c.h)
	for _, r := range rings {
		for i := 0; i+1 < len(r); i += 2 {
			x, y := float32((r[i]-c.x0)/c.step), float32((r[i+1]-c.y0)/c.step)
			if i == 0 {
				z.MoveTo(x, y)
			} else {
				z.LineTo(x, y)
			}
		}
		z.ClosePath()
	}
	mask := image.NewAlpha(image.Rect(0, 0, c.w, c.h))
	z.Draw(mask, mask.Rect, image.Opaque, image.Point{})
	return mask
}

// A cellSpan is the cells of a row, relative to the part's first row, that a part
// touches.
type cellSpan struct{ y, x0, x1 int }

// place tries all places of a part at an angle.
func (c *cells) place(part *geom.Polygon, angle float64, rest *restFinder) ScrapPlacement {
	turn := ScrapPlacement{Angle: angle}
	ring := part.LinearRing(0).FlatCoords()
	turned := make([]float64, len(ring))
	minX, minY := math.Inf(1), math.Inf(1)
	for i := 0; i+1 < len(ring); i += part.Stride() {
		x, y := turn.Move(ring[i], ring[i+1])
		turned[i], turned[i+1] = x, y
		minX, minY = min(minX, x), min(minY, y)
	}
	spans, w, h := touched(turned, minX, minY, c.step)
	best := ScrapPlacement{Rest: -1}
	fits := make([]bool, (c.w+1)*(c.h+1))
	for y := 0; y+h <= c.h; y++ {
		for x := 0; x+w <= c.w; x++ {
			fits[y*(c.w+1)+x] = c.holds(spans, x, y)
		}
	}
	for y := 0; y+h <= c.h; y++ {
		for x := 0; x+w <= c.w; x++ {
			i := y*(c.w+1) + x
			// Within others that fit, moving on until it touches leaves no less.
			if !fits[i] || x > 0 && y > 0 && fits[i-1] && fits[i+1] && fits[i-c.w-1] && fits[i+c.w+1] {
				continue
			}
			if r := float64(rest.of(spans, x, y)) * c.step * c.step; r > best.Rest {
				best = ScrapPlacement{X: c.x0 + float64(x)*c.step - minX, Y: c.y0 + float64(y)*c.step - minY, Angle: angle, Rest: r}
			}
		}
	}
	return best
}

// touched gives the cells that a ring touches, when its bounds start at the
// corner of a cell.
func touched(ring []float64, minX, minY, step float64) (spans []cellSpan, w, h int) {
	m := geom.NewMultiPolygon(geom.XY)
	_ = m.Push(geom.NewPolygonFlat(geom.XY, ring, []int{len(ring)}))
	b := m.Bounds()
	c := &cells{w: int((b.Max(0)-minX)/step) + 1, h: int((b.Max(1)-minY)/step) + 1, x0: minX, y0: minY, step: step}
	mask := c.coverage([][]float64{ring})
	for y := range c.h {
		row := mask.Pix[y*mask.Stride:][:c.w]
		for x := 0; x < c.w; {
			for x < c.w && row[x] == 0 {
				x++
			}
			x0 := x
			for x < c.w && row[x] > 0 {
				x++
			}
			if x > x0 {
				spans = append(spans, cellSpan{y, x0, x})
				w, h = max(w, x), y+1
			}
		}
	}
	return spans, w, h
}

// holds says whether all spans at (x, y) are on.
func (c *cells) holds(spans []cellSpan, x, y int) bool {
	for _, s := range spans {
		at := (y+s.y)*(c.w+1) + x
		if c.before[at+s.x1]-c.before[at+s.x0] != int32(s.x1-s.x0) {
			return false
		}
	}
	return true
}
