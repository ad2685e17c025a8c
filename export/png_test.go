package export

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"image/png"
	"math"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"
)

func pngOf(t testing.TB, d *Drawing, opts *PNGOptions) image.Image {
	t.Helper()
	var b bytes.Buffer
	if err := PNG(&b, d, opts); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// find returns the bounds of the pixels close to a colour and how many there are.
func find(img image.Image, c color.NRGBA) (box image.Rectangle, n int) {
	for y := img.Bounds().Min.Y; y < img.Bounds().Max.Y; y++ {
		for x := img.Bounds().Min.X; x < img.Bounds().Max.X; x++ {
			p := color.NRGBAModel.Convert(img.At(x, y)).(color.NRGBA)
			if off(p.R, c.R) <= 3 && off(p.G, c.G) <= 3 && off(p.B, c.B) <= 3 {
				box = box.Union(image.Rect(x, y, x+1, y+1))
				n++
			}
		}
	}
	return box, n
}

func off(a, b uint8) int { return int(math.Abs(float64(a) - float64(b))) }

// The paper of a 200 x 100 mm sheet is twice as wide as high in pixels, and the openings' share of it is
// their share of the sheet.
func TestPNGTrueProportions(t *testing.T) {
	d := &Drawing{200, 100, []Layer{{Cut, []geom.T{multi(
		polygon(square(20, 20, 60), reversed(square(40, 40, 20))),
		polygon(square(120, 30, 40)),
	)}}}}
	img := pngOf(t, d, &PNGOptions{Openings: true, Pixels: 1000})
	if img.Bounds().Dx() != 1000 {
		t.Errorf("the picture is %v, want 1000 wide", img.Bounds())
	}
	paper, n := find(img, paperColor)
	if ratio := float64(paper.Dx()) / float64(paper.Dy()); math.Abs(ratio-2) > 0.01 {
		t.Errorf("the paper is %v, its sides %.3f to 1, want 2", paper, ratio)
	}
	sheet := paper.Dx() * paper.Dy()
	want := 1 - (60*60-20*20+40*40)/(200*100.0)
	if got := float64(n) / float64(sheet); math.Abs(got-want) > 0.005 {
		t.Errorf("%.4f of the sheet is paper, want %.4f", got, want)
	}
}

// Of a net with an outline the outside is the sheet, the inside paper and the window open; a web of 0.5 mm between two
// openings keeps its width.
func TestPNGParts(t *testing.T) {
	d := &Drawing{110, 110, []Layer{{Cut, []geom.T{
		polygon(square(5, 5, 100)),
		multi(polygon([]float64{30, 30, 49.75, 30, 49.75, 70, 30, 70}), polygon([]float64{50.25, 30, 70, 30, 70, 70, 50.25, 70})),
	}}}}
	img := pngOf(t, d, &PNGOptions{Pixels: 2000})
	part, _ := find(img, paperColor)
	perMM := float64(part.Dx()) / 100
	at := func(x, y float64) color.NRGBA {
		return color.NRGBAModel.Convert(img.At(part.Min.X+int((x-5)*perMM), part.Min.Y+int((y-5)*perMM))).(color.NRGBA)
	}
	for _, c := range []struct {
		x, y float64
		want color.NRGBA
	}{{20, 20, paperColor}, {40, 50, inkColor}, {60, 50, inkColor}, {50, 50, paperColor}, {90, 90, paperColor}} {
		if got := at(c.x, c.y); got != c.want {
			t.Errorf("at (%g, %g) the picture is %v, want %v", c.x, c.y, got, c.want)
		}
	}
	web := 0
	for x := 45.0; x < 55; x += 0.5 / perMM {
		if at(x, 50) != inkColor {
			web++
		}
	}
	if got := float64(web) * 0.5 / perMM; math.Abs(got-0.5) > 1.5/perMM {
		t.Errorf("the web of 0.5 mm is %.2f mm in the picture", got)
	}
}

// Whatever is asked for, nothing runs over the edge and no side is longer than wanted.
func TestPNGKeepsWithinItsEdges(t *testing.T) {
	for _, size := range [][2]float64{{100, 100}, {400, 10}, {10, 400}, {0.5, 0.5}, {1e6, 1}, {3, 1e5}} {
		w, h := size[0], size[1]
		d := &Drawing{w, h, []Layer{
			{Cut, []geom.T{polygon([]float64{0, 0, w, 0, w, h, 0, h})}},
			{Mountain, []geom.T{geom.NewLineStringFlat(geom.XY, []float64{w / 2, 0, w / 2, h})}},
			{Valley, []geom.T{geom.NewLineStringFlat(geom.XY, []float64{0, h / 2, w, h / 2})}},
			{Perforation, []geom.T{geom.NewLineStringFlat(geom.XY, []float64{w / 3, 0, w / 3, h})}},
		}}
		opts := &PNGOptions{Title: "A long title of a box for the lantern supper, with herons, reeds, moths and boats", Notes: []string{"one", "two"}, Pixels: 700}
		for i := range 12 {
			f := float64(i) / 12
			opts.Measures = append(opts.Measures,
				Measure{geom.Coord{w * f / 2, 0}, geom.Coord{w * (1 - f/2), 0}, "12 15/16 in (328.6 mm)"},
				Measure{geom.Coord{w, h * f}, geom.Coord{w, h * (f + 1.0/12)}, "15/16 in (23.8 mm)"},
				Measure{geom.Coord{w * f, 0}, geom.Coord{0, h * f}, "aslant"})
		}
		img := pngOf(t, d, opts)
		b := img.Bounds()
		if max(b.Dx(), b.Dy()) > 700 || max(b.Dx(), b.Dy()) < 690 {
			t.Errorf("%g x %g mm: the picture is %v, want a longest side of 700", w, h, b)
		}
		for x := range b.Dx() {
			for y := range b.Dy() {
				edge := x == 0 || y == 0 || x == b.Dx()-1 || y == b.Dy()-1
				if p := color.NRGBAModel.Convert(img.At(x, y)); edge && p != deskColor {
					t.Fatalf("%g x %g mm: something stands at the picture's edge (%d, %d): %v", w, h, x, y, p)
				}
			}
		}
	}
}

func TestPNGRefuses(t *testing.T) {
	var px *PixelsError
	for _, n := range []int{-1, 199, 2001} {
		if err := PNG(&bytes.Buffer{}, lantern(), &PNGOptions{Pixels: n}); !errors.As(err, &px) || px.Pixels != n {
			t.Errorf("%d pixels: error %v", n, err)
		}
	}
	var outside *OutsideError
	for name, opts := range map[string]*PNGOptions{
		"a measure off the sheet":       {Measures: []Measure{{geom.Coord{0, 0}, geom.Coord{71, 0}, ""}}},
		"a measure without coordinates": {Measures: []Measure{{}}},
		"a mark that is no number":      {Marks: []Mark{{At: geom.Coord{math.NaN(), 1}}}},
		"a mark of endless radius":      {Marks: []Mark{{At: geom.Coord{1, 1}, Radius: math.Inf(1)}}},
	} {
		if err := PNG(&bytes.Buffer{}, lantern(), opts); !errors.As(err, &outside) || err.Error() == "" {
			t.Errorf("%s: error %v", name, err)
		}
	}
}

// lanternMeasures are the measures of lantern that a maker would look for.
var lanternMeasures = []Measure{
	{geom.Coord{5, 5}, geom.Coord{65, 5}, "60 mm"},
	{geom.Coord{15, 5}, geom.Coord{55, 5}, "40 mm"},
	{geom.Coord{5, 5}, geom.Coord{5, 55}, "50 mm"},
	{geom.Coord{65, 45}, geom.Coord{65, 55}, "10 mm"},
	{geom.Coord{25, 22}, geom.Coord{35, 40}, ""},
}

func TestPNGGolden(t *testing.T) {
	var b bytes.Buffer
	opts := &PNGOptions{Title: "Lantern", Notes: []string{"front, light card"}, Measures: lanternMeasures, Pixels: 400,
		Marks: []Mark{{At: geom.Coord{21.75, 21.3}, Radius: 1, Text: "web 0.7 mm"}}}
	if err := PNG(&b, lantern(), opts); err != nil {
		t.Fatal(err)
	}
	goldenPicture(t, "lantern-plan.png", b.Bytes())
}

// goldenPicture is golden for pictures: channels may differ by 2, as compilers may join a multiplication and an
// addition.
func goldenPicture(t *testing.T, name string, got []byte) {
	t.Helper()
	if *update {
		golden(t, name, got)
		return
	}
	a, errA := png.Decode(bytes.NewReader(got))
	b, errB := png.Decode(bytes.NewReader(readGolden(t, name)))
	if err := errors.Join(errA, errB); err != nil {
		t.Fatal(err)
	}
	if a.Bounds() == b.Bounds() {
		differ := 0
		for y := range a.Bounds().Dy() {
			for x := range a.Bounds().Dx() {
				p, q := color.NRGBAModel.Convert(a.At(x, y)).(color.NRGBA), color.NRGBAModel.Convert(b.At(x, y)).(color.NRGBA)
				if off(p.R, q.R) > 2 || off(p.G, q.G) > 2 || off(p.B, q.B) > 2 {
					differ++
				}
			}
		}
		if differ == 0 {
			return
		}
		t.Logf("%d pixels differ", differ)
	}
	golden(t, name, got)
}

// Notes too long for the picture go on in further lines, with all their words and none beyond the edge.
func TestNotesAreBroken(t *testing.T) {
	long := "Put the nine pieces of the comb back and push them to one end: the gap divided by ten is the kerf of this tool in this paper, which is what the next cut wants to know."
	p := newPlan(lantern(), &PNGOptions{Notes: []string{"front", long}}, 500)
	lines := p.notes()
	if len(lines) < 3 || lines[0] != "front" {
		t.Fatalf("%q", lines)
	}
	if got := strings.Join(strings.Fields(strings.Join(lines[1:], " ")), " "); got != long {
		t.Errorf("%q", got)
	}
	for _, s := range lines {
		if w := textWidth(regular(), s, smallSize*p.u); w > p.width-2*edge*p.u {
			t.Errorf("%q is %g wide of %g", s, w, p.width-2*edge*p.u)
		}
	}
}
