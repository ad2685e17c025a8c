package words_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"math"
	"strings"
	"testing"

	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/wkb"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"example.org/kerfleaf/words"
)

func text(t testing.TB, s string, size words.Size, opts *words.Options) *geom.MultiPolygon {
	t.Helper()
	mp, err := words.Text(s, size, opts)
	if err != nil {
		t.Fatalf("Text(%q): %v", s, err)
	}
	checkContract(t, mp)
	return mp
}

// checkContract fails unless the polygons are valid by an independent judge
// (the simple features rules), wound as promised, and begin at (0, 0).
func checkContract(t testing.TB, mp *geom.MultiPolygon) {
	t.Helper()
	data, err := wkb.Marshal(mp, wkb.NDR)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := sf.UnmarshalWKB(data); err != nil {
		t.Fatalf("not valid: %v", err)
	}
	for i := range mp.NumPolygons() {
		p := mp.Polygon(i)
		for j := range p.NumLinearRings() {
			r := p.LinearRing(j)
			if (r.Area() > 0) != (j == 0) || r.Area() == 0 {
				t.Fatalf("polygon %d, ring %d: area %g", i, j, r.Area())
			}
		}
	}
	if b := mp.Bounds(); mp.NumPolygons() == 0 || b.Min(0) != 0 || b.Min(1) != 0 {
		t.Fatalf("bounds %v, need to begin at (0, 0)", b)
	}
}

// count returns the number of polygons and of holes.
func count(mp *geom.MultiPolygon) (polygons, holes int) {
	for i := range mp.NumPolygons() {
		holes += mp.Polygon(i).NumLinearRings() - 1
	}
	return mp.NumPolygons(), holes
}

func near(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s %.9g, need %.9g within %g", what, got, want, tolerance)
	}
}

// Everyone can count these: the closed counters and the parts of each letter.
func TestCounters(t *testing.T) {
	for _, font := range []struct {
		name string
		font *words.Font
	}{{"built-in", nil}, {"Go Regular", parse(t, goregular.TTF)}, {"Cantarell, cubic curves", parse(t, readFont(t, "cantarell.otf"))}} {
		for _, c := range []struct {
			text            string
			polygons, holes int
		}{
			{"B", 1, 2}, {"8", 1, 2}, {"%", 3, 2}, {"o", 1, 1}, {"i", 2, 0}, {"I", 1, 0}, {"A", 1, 1}, {"e", 1, 1},
			{"W", 1, 0}, {"&", 1, 2}, {"@", 1, 1}, {"Q", 1, 1}, {"=", 2, 0}, {":", 2, 0}, {"#", 1, 1}, {"ö", 3, 1}, {"é", 2, 1},
			{"Å", 1, 2}, {"Ф", 1, 2}, {"Ж", 1, 0}, {"Ю", 1, 1}, {"Θ", 2, 1}, {"Ω", 1, 0}, {"φ", 1, 1}, {"®", 2, 2},
			{"Marlo Quay", 9, 4}, {"Wren\nTolliver", 13, 3},
		} {
			if strings.HasPrefix(font.name, "Cantarell") && strings.ContainsFunc(c.text, func(r rune) bool { return r >= 0x80 }) {
				continue // it holds ASCII
			}
			mp := text(t, c.text, words.Size{Cap: 12}, &words.Options{Font: font.font})
			if polygons, holes := count(mp); polygons != c.polygons || holes != c.holes {
				t.Errorf("%s %q: %d polygons, %d holes, need %d and %d", font.name, c.text, polygons, holes, c.polygons, c.holes)
			}
		}
	}
}

func parse(t testing.TB, data []byte) *words.Font {
	t.Helper()
	f, err := words.ParseFont(data)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestSize(t *testing.T) {
	height := func(mp *geom.MultiPolygon) float64 { return mp.Bounds().Max(1) }
	width := func(mp *geom.MultiPolygon) float64 { return mp.Bounds().Max(0) }
	near(t, "height of H", height(text(t, "H", words.Size{Cap: 12}, nil)), 12, 1e-9)
	near(t, "height of HEIL", height(text(t, "THE MILL", words.Size{Cap: 7.5}, nil)), 7.5, 1e-9)
	for _, s := range []string{"Wren Tolliver", "Óscar\nMarlo Quay", "gyp"} {
		near(t, "width of "+s, width(text(t, s, words.Size{Width: 80}, nil)), 80, 1e-9)
		near(t, "height of "+s, height(text(t, s, words.Size{Height: 33}, nil)), 33, 1e-9)
		b := text(t, s, words.Size{Cap: 400, Width: 80, Height: 20}, nil).Bounds()
		near(t, "closest limit of "+s, math.Max(b.Max(0)/80, b.Max(1)/20), 1, 1e-9)
	}
	// A short name keeps its capitals, a long one is made smaller.
	size := words.Size{Cap: 12, Width: 80}
	if w := width(text(t, "Wren", size, nil)); w >= 80 {
		t.Errorf("short name %g mm wide, need less than 80", w)
	}
	near(t, "long name's width", width(text(t, "Wren Tolliver of the Heron", size, nil)), 80, 1e-9)
	// Twice the size has four times the area.
	a := text(t, "Marlo Quay", words.Size{Cap: 10}, &words.Options{Tolerance: 0.001}).Area()
	near(t, "area at twice the size", text(t, "Marlo Quay", words.Size{Cap: 20}, &words.Options{Tolerance: 0.002}).Area()/a, 4, 1e-9)
}

func TestAlign(t *testing.T) {
	for _, c := range []struct {
		align words.Align
		shift float64 // of the short line, in parts of the spare width
	}{{words.Left, 0}, {words.Center, 0.5}, {words.Right, 1}} {
		mp := text(t, "HIIIIH\nHH", words.Size{Cap: 10}, &words.Options{Align: c.align})
		n := mp.NumPolygons()
		left, right := mp.Polygon(n-2).Bounds().Min(0), mp.Polygon(n-1).Bounds().Max(0)
		spare := mp.Bounds().Max(0) - (right - left)
		near(t, "left edge of the short line", left, c.shift*spare, 1e-9)
	}
}

func TestLeading(t *testing.T) {
	// Go fonts: ascent 1935, descent 432 and no gap in hhea, capitals 1480,
	// 2048 units to the em.
	for _, leading := range []float64{1, 1.5, 0.8} {
		mp := text(t, "H\n\nH", words.Size{Cap: 1480}, &words.Options{Leading: leading})
		pitch := mp.Polygon(1).Bounds().Min(1) / 2
		near(t, "distance of baselines", pitch, leading*(1935+432), 1e-6)
	}
}

func TestSpacing(t *testing.T) {
	tight := text(t, "HIH", words.Size{Cap: 1480}, nil).Bounds().Max(0)
	wide := text(t, "HIH", words.Size{Cap: 1480}, &words.Options{Spacing: 0.1}).Bounds().Max(0)
	near(t, "two spaces of a tenth of an em", wide-tight, 2*204.8, 1e-6)
	if polygons, _ := count(text(t, "HIH", words.Size{Cap: 10}, &words.Options{Spacing: -0.3})); polygons != 1 {
		t.Errorf("letters pushed into each other: %d polygons, need 1", polygons)
	}
}

func TestLinesAndBlanks(t *testing.T) {
	want := text(t, "Wren\nQuay of", words.Size{Cap: 10}, nil)
	for _, same := range []string{"Wren\r\nQuay of", "Wren\rQuay\tof", "Wren\u2028Quay of", "Wren \n  Quay of "} {
		got := text(t, same, words.Size{Cap: 10}, nil)
		near(t, "area", got.Area(), want.Area(), 1e-9)
		near(t, "height", got.Bounds().Max(1), want.Bounds().Max(1), 1e-9)
	}
}

func TestErrors(t *testing.T) {
	cap12 := words.Size{Cap: 12}
	for _, blank := range []string{"", " ", "\n\t\u00a0"} {
		if _, err := words.Text(blank, cap12, nil); !errors.Is(err, words.ErrBlank) {
			t.Errorf("%q: %v, need ErrBlank", blank, err)
		}
	}
	_, err := words.Text("Wren 舟\nRíona ش舟", cap12, nil)
	var missing *words.MissingGlyphError
	if !errors.As(err, &missing) || string(missing.Runes) != "舟ش" || missing.Line != 1 || missing.Column != 6 {
		t.Errorf("%v, need 舟 and ش missing, first at line 1, character 6", err)
	} else if !strings.Contains(err.Error(), `'舟' (U+821F)`) {
		t.Errorf("%v, need the character named", err)
	}
	for _, c := range []struct {
		size words.Size
		opts words.Options
		text string
		want string
	}{
		{words.Size{}, words.Options{}, "a", "no size"},
		{words.Size{Cap: -1}, words.Options{}, "a", "capital height -1 mm"},
		{words.Size{Cap: 1, Width: math.NaN()}, words.Options{}, "a", "width NaN mm"},
		{words.Size{Height: math.Inf(1)}, words.Options{}, "a", "height +Inf mm"},
		{cap12, words.Options{Tolerance: 1e-5}, "a", "tolerance 1e-05 mm"},
		{cap12, words.Options{Spacing: -1.1}, "a", "spacing -1.1 em"},
		{cap12, words.Options{Leading: -1}, "a", "leading -1"},
		{cap12, words.Options{Align: 7}, "a", "alignment 7"},
		{cap12, words.Options{}, "Wr\xffen", "byte 2"},
	} {
		if _, err := words.Text(c.text, c.size, &c.opts); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v %+v: %v, need %q in it", c.size, c.opts, err, c.want)
		}
	}
	var fontErr *words.FontError
	for _, data := range [][]byte{nil, []byte("a drawing, not a font"), goregular.TTF[:5000]} {
		if _, err := words.ParseFont(data); !errors.As(err, &fontErr) {
			t.Errorf("%v, need a FontError", err)
		}
	}
}

// collection packs fonts into one file as the OpenType specification lays out
// (TTC header version 1.0, offsets of tables from the beginning of the file).
func collection(fonts ...[]byte) []byte {
	out := binary.BigEndian.AppendUint32([]byte("ttcf\x00\x01\x00\x00"), uint32(len(fonts)))
	start := len(out) + 4*len(fonts)
	var body []byte
	for _, f := range fonts {
		at := uint32(start + len(body))
		out = binary.BigEndian.AppendUint32(out, at)
		f = bytes.Clone(f)
		for i := range int(binary.BigEndian.Uint16(f[4:])) {
			offset := f[12+16*i+8:]
			binary.BigEndian.PutUint32(offset, binary.BigEndian.Uint32(offset)+at)
		}
		body = append(body, f...)
	}
	return append(out, body...)
}

func TestCollection(t *testing.T) {
	f := parse(t, collection(goregular.TTF, gobold.TTF))
	got := text(t, "Wren", words.Size{Cap: 12}, &words.Options{Font: f})
	want := text(t, "Wren", words.Size{Cap: 12}, &words.Options{Font: parse(t, goregular.TTF)})
	near(t, "area in the first font", got.Area(), want.Area(), 0)
	var fontErr *words.FontError
	for _, data := range [][]byte{collection(), collection(goregular.TTF)[:20], append([]byte("ttcf\x00\x01\x00\x00\xff\xff\xff\xff"), gobold.TTF...)} {
		if _, err := words.ParseFont(data); !errors.As(err, &fontErr) {
			t.Errorf("%v, need a FontError", err)
		}
	}
}

func TestSameBytes(t *testing.T) {
	want, err := wkb.Marshal(text(t, "Wren Tolliver\nMarlo Quay", words.Size{Cap: 9}, nil), wkb.NDR)
	if err != nil {
		t.Fatal(err)
	}
	fresh := parse(t, gobold.TTF)
	results := make(chan []byte)
	for range 8 {
		go func() {
			var data []byte
			if mp, err := words.Text("Wren Tolliver\nMarlo Quay", words.Size{Cap: 9}, &words.Options{Font: fresh}); err == nil {
				data, _ = wkb.Marshal(mp, wkb.NDR)
			}
			results <- data
		}()
	}
	for range 8 {
		if !bytes.Equal(<-results, want) {
			t.Error("another goroutine's words differ")
		}
	}
}
