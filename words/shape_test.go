package words

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/go-text/typesetting/font/opentype"
)

func testFont(t testing.TB, name string) *Font {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	f, err := ParseFont(data)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// testdata/shaped.tsv holds the answers of HarfBuzz 6.0.0 (hb-shape) in font
// units, as [glyph=cluster@dx,dy+advance|...] from left to right: Latin with
// composed and combining accents, kerning and ligatures, Greek, Cyrillic, and
// the joined and reordered letters of Arabic and Devanagari.
func TestShapingLikeHarfBuzz(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("testdata", "shaped.tsv"))
	if err != nil {
		t.Fatal(err)
	}
	fonts := map[string]*Font{}
	for row := range strings.Lines(string(data)) {
		fields := strings.Split(strings.TrimSpace(row), "\t")
		name, text, want := fields[0], []rune(fields[1]), fields[2]
		if fonts[name] == nil {
			fonts[name] = testFont(t, name)
		}
		err := fonts[name].use(func(s *setter) error {
			runs := s.runs(text)
			if len(runs) != 1 {
				t.Errorf("%s: %d runs, need 1", fields[1], len(runs))
			}
			glyphs, advance := s.shape(text, runs[0], 0)
			wantGlyphs, wantAdvance, err := parseShaped(want)
			if err != nil {
				return err
			}
			if !slices.Equal(glyphs, wantGlyphs) || advance != wantAdvance {
				t.Errorf("%s %s:\ngot  %v, advance %g\nneed %v, advance %g", name, fields[1], glyphs, advance, wantGlyphs, wantAdvance)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if len(fonts) != 5 {
		t.Errorf("%d fonts compared, need 5", len(fonts))
	}
}

func parseShaped(s string) ([]placed, float64, error) {
	var out []placed
	x := 0.0
	for part := range strings.SplitSeq(strings.Trim(s, "[]"), "|") {
		id, rest, _ := strings.Cut(part, "=")
		at, advance, _ := strings.Cut(rest, "+")
		cluster, offset, moved := strings.Cut(at, "@")
		var dx, dy float64
		if moved {
			if _, err := fmt.Sscanf(offset, "%g,%g", &dx, &dy); err != nil {
				return nil, 0, err
			}
		}
		var n [3]int
		for i, field := range []string{id, cluster, advance} {
			var err error
			if n[i], err = strconv.Atoi(field); err != nil {
				return nil, 0, err
			}
		}
		g := placed{id: opentype.GID(n[0]), x: x + dx, y: 0 - dy, cluster: n[1]}
		out = append(out, g)
		x += float64(n[2])
	}
	return out, x, nil
}

// Lines worked by the rules of Unicode Standard Annex 9. A number after
// right-to-left text in a left-to-right line moves to its left.
func TestVisualOrder(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"Wren", "Wren"},
		{"قارب", "براق"},
		{"Wren قارب Quay", "Wren براق Quay"},
		{"قارب Wren نهر", "رهن Wren براق"},
		{"قارب 12", "12 براق"},
		{"Wren قارب 12 Quay", "Wren 12 براق Quay"},       // L R EN L: levels 0 1 2 0
		{"Wren قارب 12, Quay", "Wren 12 براق, Quay"},     // the comma goes with the line
		{"Wren قارب 1.5 م", "Wren م 1.5 براق"},           // a number within Arabic
		{"Wren قارب 12 Quay 34", "Wren 12 براق Quay 34"}, // a number after Latin stays
		{"قارب (Quay) 12", "12 (Quay) براق"},             // brackets are mirrored by shaping
		{"Wren קשת ١٢ x", "Wren ١٢ תשק x"},               // Arabic digits: level 2 too
		{"12 Wren", "12 Wren"},
		{"12 قارب", "براق 12"},
	} {
		text := []rune(c.text)
		var got []rune
		err := BuiltIn().use(func(s *setter) error {
			for _, r := range s.runs(text) {
				part := slices.Clone(text[r.start:r.end])
				if r.level%2 == 1 {
					slices.Reverse(part)
					for i, ch := range part { // as mirrored glyphs read
						if j := strings.IndexRune("()", ch); j >= 0 {
							part[i] = rune(")("[j])
						}
					}
				}
				got = append(got, part...)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		if string(got) != c.want {
			t.Errorf("%q stands as %q, need %q", c.text, string(got), c.want)
		}
	}
}

// Rows of the Unicode Character Database's BidiTest.txt, version 17.0.0, for
// lines whose first strong character gives the direction: classes in logical
// order, and the places in visual order.
func TestVisualOrderOfClasses(t *testing.T) {
	example := map[string]rune{"L": 'a', "R": 'א', "EN": '1', "AL": 'ب', "AN": '١', "ES": '+', "ET": '%',
		"CS": ',', "NSM": 0x300, "ON": '!', "WS": ' ', "S": '\t'}
	for _, row := range [][2]string{
		{"L AN R", "0 2 1"}, {"L NSM AN R", "0 1 3 2"}, {"CS L AN R", "0 1 3 2"}, {"L R EN WS", "0 2 1 3"},
		{"L AL EN WS", "0 2 1 3"}, {"L AN R WS", "0 2 1 3"}, {"L AN AL NSM", "0 3 2 1"}, {"L AN AL AN", "0 3 2 1"},
		{"ET AN ET AN", "0 3 2 1"}, {"S AN ON AN", "0 3 2 1"}, {"AN L L AL", "0 1 2 3"}, {"AN L WS AL", "0 1 2 3"},
		{"AN WS L AL", "0 1 2 3"}, {"AN L AL S", "0 1 2 3"}, {"AN S ET AN", "0 1 3 2"}, {"AN ES AN ON", "2 1 0 3"},
		{"AN WS AN S", "2 1 0 3"}, {"AN NSM L AL", "0 1 2 3"}, {"L AN EN R", "0 1 2 3"}, {"AN ON AN EN", "2 1 0 3"},
	} {
		var text []rune
		for _, c := range strings.Fields(row[0]) {
			text = append(text, example[c])
		}
		var got []string
		err := BuiltIn().use(func(s *setter) error {
			for _, r := range s.runs(text) {
				for i := r.start; i < r.end; i++ {
					if r.level%2 == 0 {
						got = append(got, strconv.Itoa(i))
					} else {
						got = append(got, strconv.Itoa(r.end-1-(i-r.start)))
					}
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		if strings.Join(got, " ") != row[1] {
			t.Errorf("%s: order %s, need %s", row[0], got, row[1])
		}
	}
}

func TestScripts(t *testing.T) {
	text := []rune("Wren, (Ждан) 12 नाव")
	var got []string
	for _, r := range byScript(text, run{end: len(text)}) {
		got = append(got, string(text[r.start:r.end])+"|"+r.script.String())
	}
	want := []string{"Wren, (|Latn", "Ждан) 12 |Cyrl", "नाव|Deva"}
	if !slices.Equal(got, want) {
		t.Errorf("got %q, need %q", got, want)
	}
}

// Space between letters would cut joined ones apart, so it goes between the
// others only.
func TestJoinedLettersAreNotSpaced(t *testing.T) {
	for _, c := range []struct {
		font, text string
		spaced     bool
	}{{"arabic.ttf", "قارب", false}, {"devanagari.ttf", "नाव", false}, {"sans.ttf", "Wren", true}} {
		f := testFont(t, c.font)
		plain, err := Text(c.text, Size{Cap: 10}, &Options{Font: f})
		if err != nil {
			t.Fatal(err)
		}
		spaced, err := Text(c.text, Size{Cap: 10}, &Options{Font: f, Spacing: 0.2})
		if err != nil {
			t.Fatal(err)
		}
		if wider := spaced.Bounds().Max(0) > plain.Bounds().Max(0); wider != c.spaced {
			t.Errorf("%s: wider when spaced: %v, need %v", c.text, wider, c.spaced)
		}
	}
}

func TestSpacedTextHasNoLigatures(t *testing.T) {
	f := testFont(t, "cantarell.otf")
	text := []rune("fi")
	err := f.use(func(s *setter) error {
		for _, c := range []struct {
			spacing float64
			glyphs  int
		}{{0, 1}, {10, 2}} {
			if glyphs, _ := s.shape(text, s.runs(text)[0], c.spacing); len(glyphs) != c.glyphs {
				t.Errorf("spacing %g: %d glyphs, need %d", c.spacing, len(glyphs), c.glyphs)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
