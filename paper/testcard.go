package paper

import (
	"fmt"
	"math"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/length"
)

// Card is a small card that is cut before the real work, in mm with its top-left
// corner as the origin. It shows on the paper and the tool at hand how narrow a
// web holds, how small a hole comes clean, whether corners are sharp, how the paper
// folds and how wide the kerf is.
type Card struct {
	Width, Height float64
	Outline       *geom.Polygon
	Openings      *geom.MultiPolygon    // webs, holes, square, circle and star; the kerf may be allowed for
	Comb          *geom.Polygon         // to be cut exactly as drawn, whatever the kerf, after its teeth
	Teeth         *geom.MultiLineString // likewise: they part the comb into pieces
	Slits         *geom.MultiLineString // between the flaps, each from the edge to the scores
	Mountain      *geom.MultiLineString // a flap to fold on a score
	Perforation   *geom.MultiLineString // and two on perforations
	Labels        []Label
	HowToRead     []string // a line or two of at most 110 letters for each sample
}

// Label names a sample on the card's plan: Text starts at At, where the card is
// blank.
type Label struct {
	At   geom.Coord
	Text string
}

// Measures of the card in mm, our choice.
const (
	cardMargin = 8.0
	cardSide   = 100.0 // of the card, unless its webs need more
	webLength  = 20.0
	webGap     = 6.0  // width of the openings between webs
	shape      = 15.0 // side of the square, diameter of the circle
	flapHeight = 16.0

	// combLength is also a check of scale. Cut into pieces with combTeeth lines, and
	// out of the card, the pieces pushed together leave a gap of as many kerfs as
	// there are cuts across: the lines and the two ends.
	combLength, combHeight = 50.0, 12.0
	combTeeth              = 8
	kerfsInGap             = combTeeth + 2
)

// cardWebs are the webs of the ladder as shares of the stock's smallest one.
var cardWebs = [...]float64{0.5, 0.75, 1, 1.5, 2}

// cardHoles are the sides and diameters of the holes in mm, from half of what
// blades cut clean (common practice, no source: 1.5 to 2 mm in card).
var cardHoles = [...]float64{1, 1.5, 2, 3, 4}

// cardPerforations are cut and gap of the perforated flaps.
var cardPerforations = [...][2]float64{{3, 1}, {2, 2}}

// TestCard lays out a card for a stock: its webs rise from half to twice the
// stock's smallest. It fails where that is not more than zero.
func TestCard(s Stock) (*Card, error) {
	if !(s.MinWeb > 0) || s.MinWeb > thickest {
		return nil, fmt.Errorf("paper: a test card for %s needs its smallest web, %s is none", s.Name, length.MM(s.MinWeb))
	}
	c := &Card{Openings: geom.NewMultiPolygon(geom.XY)}
	right := c.webs(s, cardMargin, cardMargin+4)
	right = c.holes(right+cardMargin, cardMargin+4)
	y := cardMargin + 4 + webLength + 10
	c.shapes(cardMargin, y)
	y += shape + 10
	c.comb(cardMargin, y)
	c.Width, c.Height = max(cardSide, right+cardMargin), y+combHeight+cardMargin+flapHeight
	c.flaps()
	c.Outline = polygon(0, 0, c.Width, 0, c.Width, c.Height, 0, c.Height)
	c.say("Blades and beams hurt: cut away from your fingers and cap the knife.")
	c.say("Never leave a laser alone, and never put coated or PVC stock under one.")
	return c, nil
}

func (c *Card) open(xy ...float64) {
	if err := c.Openings.Push(polygon(xy...)); err != nil {
		panic(err) // both are XY
	}
}

func (c *Card) say(format string, args ...any) {
	c.HowToRead = append(c.HowToRead, fmt.Sprintf(format, args...))
}

func (c *Card) label(x, y float64, text string) {
	c.Labels = append(c.Labels, Label{geom.Coord{x, y}, text})
}

func (c *Card) webs(s Stock, x, y float64) (right float64) {
	c.label(x, y-4, "webs")
	widths := ""
	for i, share := range cardWebs {
		c.open(x, y, x+webGap, y, x+webGap, y+webLength, x, y+webLength)
		w := math.Round(share*s.MinWeb*100) / 100
		x += webGap + w
		if i > 0 {
			widths += ", "
		}
		widths += trimMM(w)
	}
	c.open(x, y, x+webGap, y, x+webGap, y+webLength, x, y+webLength)
	c.say("Webs of %s mm, left to right: stroke them with a finger.", widths)
	c.say("The narrowest that stays whole and flat is your smallest web (min-web).")
	return x + webGap
}

func (c *Card) holes(x, y float64) (right float64) {
	c.label(x, y-4, "holes")
	sizes := ""
	for i, d := range cardHoles {
		c.open(x, y, x+d, y, x+d, y+d, x, y+d)
		c.open(circle(x+d/2, y+webLength/2+d/2, d/2)...)
		x += d + 5
		if i > 0 {
			sizes += ", "
		}
		sizes += trimMM(d)
	}
	c.say("Holes of %s mm: leave out of your drawings what does not come away clean (min-area).", sizes)
	return x - 5
}

func (c *Card) shapes(x, y float64) {
	c.label(x, y-4, "square, circle, star")
	c.open(x, y, x+shape, y, x+shape, y+shape, x, y+shape)
	x += shape + 8
	c.open(circle(x+shape/2, y+shape/2, shape/2)...)
	x += shape + 8
	c.open(star(x+shape/2, y+shape/2, shape/2)...)
	c.say("Square and circle measure %s across; corners and the star's points are sharp.", length.MM(shape))
	c.say("Round or horned corners: the blade's offset is set wrong. An uncut bit: the cut needs overcut.")
}

func (c *Card) comb(x, y float64) {
	c.label(x, y-4, "kerf")
	c.Comb = polygon(x, y, x+combLength, y, x+combLength, y+combHeight, x, y+combHeight)
	var flat []float64
	var ends []int
	for i := range combTeeth {
		at := x + combLength*float64(i+1)/(combTeeth+1)
		flat = append(flat, at, y, at, y+combHeight)
		ends = append(ends, len(flat))
	}
	c.Teeth = geom.NewMultiLineStringFlat(geom.XY, flat, ends)
	c.say("Put the %d pieces of the comb back and push them to one end: the gap divided by %d is the kerf.", combTeeth+1, kerfsInGap)
	c.say("The comb's opening is %s long, or else the file was opened at the wrong size.", length.MM(combLength))
}

// flaps divides the lower edge into three, to be folded each in its own way.
func (c *Card) flaps() {
	score, third := c.Height-flapHeight, c.Width/3
	c.label(4, c.Height-flapHeight/2, "scores")
	c.Slits = geom.NewMultiLineStringFlat(geom.XY, []float64{
		third, c.Height, third, score,
		2 * third, c.Height, 2 * third, score,
	}, []int{4, 8})
	c.Mountain = geom.NewMultiLineStringFlat(geom.XY, []float64{0, score, third, score}, []int{4})
	var flat []float64
	var ends []int
	for i, p := range cardPerforations {
		from := third * float64(i+1)
		n := math.Floor((third - p[1]) / (p[0] + p[1]))
		gap := (third - n*p[0]) / (n + 1)
		for k := range int(n) {
			x := from + gap + float64(k)*(p[0]+gap)
			flat = append(flat, x, score, x+p[0], score)
			ends = append(ends, len(flat))
		}
	}
	c.Perforation = geom.NewMultiLineStringFlat(geom.XY, flat, ends)
	c.say("Fold the three flaps back: a score, and perforations of %s, gap %s, and of %s, gap %s.",
		length.MM(cardPerforations[0][0]), length.MM(cardPerforations[0][1]), length.MM(cardPerforations[1][0]), length.MM(cardPerforations[1][1]))
	c.say("A cracked fold wants a blunter tool, or the grain along the fold.")
}

// polygon closes the ring that it is given.
func polygon(xy ...float64) *geom.Polygon {
	flat := append(append(make([]float64, 0, len(xy)+2), xy...), xy[0], xy[1])
	return geom.NewPolygonFlat(geom.XY, flat, []int{len(flat)})
}

// circle stays within 5 µm of the true one.
func circle(x, y, r float64) []float64 {
	const tolerance = 0.005
	n := int(math.Ceil(math.Pi / math.Acos(1-tolerance/r)))
	var xy []float64
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		xy = append(xy, x+r*cos, y+r*sin)
	}
	return xy
}

// star has five points of 36 degrees.
func star(x, y, r float64) []float64 {
	inner := r * math.Sin(math.Pi/10) / math.Sin(3*math.Pi/10)
	var xy []float64
	for i := range 10 {
		sin, cos := math.Sincos(math.Pi * float64(i) / 5)
		d := r
		if i%2 == 1 {
			d = inner
		}
		xy = append(xy, x+d*sin, y-d*cos)
	}
	return xy
}
