package paper_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/peterstace/simplefeatures/geom"
	gogeom "github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/wkb"

	"example.org/kerfleaf/paper"
)

// An independent reader finds the openings of every stock's card valid, and all of
// them keep clear of each other, the comb, the flaps and the edge.
func TestCardsAreSound(t *testing.T) {
	thick := paper.Stock{Name: "board", MinWeb: 6}
	for _, s := range append(builtIn(t), thick) {
		c, err := paper.TestCard(s)
		if err != nil {
			t.Fatal(err)
		}
		raw, err := wkb.Marshal(c.Openings, wkb.NDR)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := geom.UnmarshalWKB(raw); err != nil {
			t.Errorf("%s: %v", s.Name, err)
		}
		boxes := []*gogeom.Bounds{c.Comb.Bounds()}
		for i := range c.Openings.NumPolygons() {
			p := c.Openings.Polygon(i)
			if p.LinearRing(0).Area() <= 0 {
				t.Errorf("%s: opening %d runs the wrong way", s.Name, i)
			}
			boxes = append(boxes, p.Bounds())
		}
		fold := c.Mountain.Bounds().Min(1)
		for i, b := range boxes {
			if b.Min(0) < 5 || b.Min(1) < 5 || b.Max(0) > c.Width-5 || b.Max(1) > fold-3 {
				t.Errorf("%s: opening %d comes near the edge or the fold", s.Name, i)
			}
			for j, o := range boxes[:i] {
				if gap := max(o.Min(0)-b.Max(0), b.Min(0)-o.Max(0), o.Min(1)-b.Max(1), b.Min(1)-o.Max(1)); gap < 0.5*s.MinWeb-0.01 {
					t.Errorf("%s: openings %d and %d are %.2f mm apart", s.Name, j, i, gap)
				}
			}
		}
		if c.Outline.Area() != c.Width*c.Height || len(c.Labels) < 5 || len(c.HowToRead) < 6 {
			t.Errorf("%s: incomplete", s.Name)
		}
		for _, line := range c.HowToRead {
			if len(line) > 110 {
				t.Errorf("too long a line: %s", line)
			}
		}
	}
	for _, w := range []float64{0, -1, math.NaN(), 1e9} {
		if _, err := paper.TestCard(paper.Stock{MinWeb: w}); err == nil {
			t.Errorf("a card for webs of %g mm", w)
		}
	}
}

// The ladder's webs are what it says: between the first openings, from half to
// twice the smallest web of the stock.
func TestCardWebs(t *testing.T) {
	card, err := builtIn(t).Find("card")
	if err != nil {
		t.Fatal(err)
	}
	c, err := paper.TestCard(card)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{0.4, 0.6, 0.8, 1.2, 1.6} {
		near(t, "web", c.Openings.Polygon(i+1).Bounds().Min(0)-c.Openings.Polygon(i).Bounds().Max(0), want, 1e-9)
	}
}

// Cutting the comb with a tool that removes k on each of its lines leaves pieces
// and an opening whose lengths differ by ten times k: the rule on the card.
func TestCombTellsTheKerf(t *testing.T) {
	c, err := paper.TestCard(paper.Stock{MinWeb: 1})
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range []float64{0, 0.08, 0.2} {
		opening := c.Comb.Bounds().Max(0) - c.Comb.Bounds().Min(0) + k // half a kerf at either end
		var at []float64
		at = append(at, c.Comb.Bounds().Min(0), c.Comb.Bounds().Max(0))
		for i := range c.Teeth.NumLineStrings() {
			at = append(at, c.Teeth.LineString(i).FlatCoords()[0])
		}
		pieces := 0.0
		slices.Sort(at)
		for i := 1; i < len(at); i++ {
			pieces += at[i] - at[i-1] - k
		}
		near(t, "kerf", (opening-pieces)/10, k, 1e-9)
	}
	if !strings.Contains(strings.Join(c.HowToRead, " "), "9 pieces") || !strings.Contains(strings.Join(c.HowToRead, " "), "divided by 10 is the kerf") {
		t.Errorf("the card tells otherwise: %v", c.HowToRead)
	}
}

// The flaps' perforations keep their gaps, and the slits end on the fold.
func TestCardFlaps(t *testing.T) {
	c, err := paper.TestCard(paper.Stock{MinWeb: 1})
	if err != nil {
		t.Fatal(err)
	}
	fold := c.Mountain.FlatCoords()[1]
	for i := range c.Slits.NumLineStrings() {
		l := c.Slits.LineString(i).FlatCoords()
		near(t, "slit from the edge", l[1], c.Height, 0)
		near(t, "slit to the fold", l[3], fold, 0)
	}
	prev := c.Width / 3
	for i := range c.Perforation.NumLineStrings() {
		l := c.Perforation.LineString(i).FlatCoords()
		if l[1] != fold || l[0]-prev < 1-1e-9 {
			t.Errorf("cut %v after %g", l, prev)
		}
		prev = l[2]
	}
}

func ExampleTestCard() {
	stocks, err := paper.BuiltIn()
	if err != nil {
		fmt.Println(err)
		return
	}
	card, err := stocks.Find("card")
	if err != nil {
		fmt.Println(err)
		return
	}
	c, err := paper.TestCard(card)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%g x %g mm, %d openings\n", c.Width, c.Height, c.Openings.NumPolygons())
	fmt.Println(c.HowToRead[0])
	// Output:
	// 100 x 103 mm, 19 openings
	// Webs of 0.4, 0.6, 0.8, 1.2, 1.6 mm, left to right: stroke them with a finger.
}
