package words_test

import (
	"image"
	"math"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"
	"golang.org/x/image/vector"

	"example.org/kerfleaf/internal/region"
	"example.org/kerfleaf/stencil"
	"example.org/kerfleaf/words"
)

var holds = map[string]words.Hold{"bar": words.Bar, "touch": words.Touch, "frame": words.Frame}

// pixel is the raster's pitch in mm, and border the width of the frame that is
// drawn around the opening.
const pixel, border = 0.05, 2.0

// raster draws cut areas, white on black, in a frame of paper.
func raster(mp *geom.MultiPolygon) *image.Alpha {
	w := int(math.Ceil((mp.Bounds().Max(0) + 2*border) / pixel))
	h := int(math.Ceil((mp.Bounds().Max(1) + 2*border) / pixel))
	r := vector.NewRasterizer(w, h)
	for i := range mp.NumPolygons() {
		for j := range mp.Polygon(i).NumLinearRings() {
			xy := mp.Polygon(i).LinearRing(j).FlatCoords()
			for k := 0; k < len(xy); k += 2 {
				x, y := float32((xy[k]+border)/pixel), float32((xy[k+1]+border)/pixel)
				if k == 0 {
					r.MoveTo(x, y)
				} else {
					r.LineTo(x, y)
				}
			}
			r.ClosePath()
		}
	}
	img := image.NewAlpha(image.Rect(0, 0, w, h))
	r.Draw(img, img.Bounds(), image.Opaque, image.Point{})
	return img
}

// pieces counts the pieces of paper in a raster by union-find over pixels that
// share a side.
func pieces(img *image.Alpha) int {
	w, n := img.Rect.Dx(), len(img.Pix)
	parent := make([]int, n)
	find := func(i int) int {
		for parent[i] != i {
			parent[i] = parent[parent[i]]
			i = parent[i]
		}
		return i
	}
	paper := func(i int) bool { return img.Pix[i] < 128 }
	count := 0
	for i := range n {
		parent[i] = i
		if !paper(i) {
			continue
		}
		count++
		for _, j := range []int{i - 1, i - w} {
			if j < 0 || j == i-1 && i%w == 0 || !paper(j) {
				continue
			}
			if a, b := find(i), find(j); a != b {
				parent[a] = b
				count--
			}
		}
	}
	return count
}

func TestPaperIsOnePiece(t *testing.T) {
	sans, arabic := parse(t, readFont(t, "sans.ttf")), parse(t, readFont(t, "arabic.ttf"))
	devanagari, cantarell := parse(t, readFont(t, "devanagari.ttf")), parse(t, readFont(t, "cantarell.otf"))
	for _, c := range []struct {
		text string
		font *words.Font
	}{
		{"Wren Tolliver", nil}, {"HERON SUPPER", nil}, {"Óscar\nMarlo Quay", nil}, {"i", nil}, {"%: 8,5 – \"ö\"", nil},
		{"Tøllivær Æðel", sans}, {"Жданий Їжак", sans}, {"AVATAR Yo", cantarell},
		{"ضوء الفانوس؟", arabic}, {"हिन्दी कीर्ति", devanagari},
	} {
		for name, hold := range holds {
			for _, web := range []float64{0.5, 2} {
				if testing.Short() && c.font != nil && web < 2 {
					continue
				}
				mp, err := words.Text(c.text, words.Size{Cap: 12}, &words.Options{Font: c.font, Letters: words.Paper, Hold: hold, Web: web})
				if err != nil {
					t.Errorf("%s, %s: %v", c.text, name, err)
					continue
				}
				checkContract(t, mp)
				if n := pieces(raster(mp)); n != 1 {
					t.Errorf("%s, held by %s of %g mm: %d pieces of paper, need 1", c.text, name, web, n)
				}
			}
		}
	}
}

// Letters that are cut out leave islands, which bridges tie.
func TestCutLettersCanBeBridged(t *testing.T) {
	letters := text(t, "Marlo Quay\nB8%&@", words.Size{Cap: 15}, nil)
	_, holes := count(letters)
	if n := pieces(raster(letters)); n != 1+holes {
		t.Errorf("%d pieces of paper, need the sheet and %d islands", n, holes)
	}
	tied, straps, err := stencil.Bridge(letters, &stencil.BridgeOptions{Width: 0.8})
	if err != nil {
		t.Fatal(err)
	}
	if n := pieces(raster(tied)); n != 1 || len(straps) < holes {
		t.Errorf("%d pieces of paper after %d straps, need 1", n, len(straps))
	}
}

// The judge itself: letters that nothing holds are pieces of their own.
func TestPiecesAreCounted(t *testing.T) {
	opening := geom.NewMultiPolygonFlat(geom.XY, []float64{0, 0, 60, 0, 60, 20, 0, 20, 0, 0}, [][]int{{10}})
	letters := text(t, "oi", words.Size{Cap: 12}, nil)
	flat := letters.FlatCoords()
	for i := range flat {
		flat[i] += 2
	}
	background, err := region.Difference(opening, letters)
	if err != nil {
		t.Fatal(err)
	}
	if n := pieces(raster(background)); n != 4 {
		t.Errorf("%d pieces, need the frame, o, i and its dot", n)
	}
}

// Letters stay whole: those of the same size set as cuts, laid over the middle
// of the background, meet none of it.
func TestPaperKeepsLetters(t *testing.T) {
	for _, s := range []string{"Wren Tolliver", "HERON\nSUPPER"} {
		letters := text(t, s, words.Size{Cap: 12}, nil)
		background := text(t, s, words.Size{Cap: 12}, &words.Options{Letters: words.Paper, Web: 1.5})
		dx := (background.Bounds().Max(0) - letters.Bounds().Max(0)) / 2
		dy := (background.Bounds().Max(1) - letters.Bounds().Max(1)) / 2
		flat := letters.FlatCoords()
		for i := range flat {
			flat[i] += []float64{dx, dy}[i%2]
		}
		both, err := region.Intersection(letters, background)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "area of letters cut away", both.Area(), 0, 1e-6)
	}
}

func TestPaperSize(t *testing.T) {
	for name, hold := range holds {
		for _, s := range []string{"Wren Tolliver", "Óscar\nMarlo Quay", "HERON"} {
			o := &words.Options{Letters: words.Paper, Hold: hold, Web: 1}
			near(t, name+": width", text(t, s, words.Size{Width: 120}, o).Bounds().Max(0), 120, 1e-9)
			near(t, name+": height", text(t, s, words.Size{Height: 40}, o).Bounds().Max(1), 40, 1e-9)
			b := text(t, s, words.Size{Cap: 500, Width: 120, Height: 40}, o).Bounds()
			near(t, name+": closest limit", math.Max(b.Max(0)/120, b.Max(1)/40), 1, 1e-9)
		}
	}
	// Capitals of 10 mm with 3 mm of background all round.
	o := &words.Options{Letters: words.Paper, Padding: 3}
	near(t, "height of the opening", text(t, "HIH", words.Size{Cap: 10}, o).Bounds().Max(1), 16, 1e-9)
	near(t, "width beyond the letters", text(t, "HIH", words.Size{Cap: 10}, o).Bounds().Max(0)-
		text(t, "HIH", words.Size{Cap: 10}, nil).Bounds().Max(0), 6, 1e-9)
}

// Flat letters that touch overlap by a quarter of the web: two stems of "II"
// come out as one, a quarter web narrower than twice one.
func TestTouchOverlaps(t *testing.T) {
	width := func(s string) float64 {
		return text(t, s, words.Size{Cap: 10}, &words.Options{Letters: words.Paper, Hold: words.Touch, Web: 2}).Bounds().Max(0)
	}
	stem := text(t, "I", words.Size{Cap: 10}, nil).Bounds().Max(0)
	// The sides of the opening reach a quarter web into the letters, too.
	near(t, "opening of II", width("II"), 2*stem-0.5-1, 1e-9)
	near(t, "opening of III", width("III"), 3*stem-1-1, 1e-9)
}

func TestPaperErrors(t *testing.T) {
	for _, c := range []struct {
		opts words.Options
		want string
	}{
		{words.Options{Letters: words.Paper, Web: 6.1}, "web 6.1 mm in letters with capitals of 12 mm"},
		{words.Options{Letters: 5}, "letters 5"},
		{words.Options{Letters: words.Paper, Hold: 9}, "hold 9"},
		{words.Options{Letters: words.Paper, Web: -1}, "web -1 mm"},
		{words.Options{Letters: words.Paper, Padding: math.NaN()}, "padding NaN mm"},
	} {
		if _, err := words.Text("Wren", words.Size{Cap: 12}, &c.opts); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: %v, need %q in it", c.opts, err, c.want)
		}
	}
}
