package words_test

import (
	"os"
	"path/filepath"
	"testing"

	"golang.org/x/image/font/gofont/gomono"

	"example.org/kerfleaf/words"
)

func readFont(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// Any text gives valid areas or an error.
func FuzzText(f *testing.F) {
	for _, s := range []string{"Wren Tolliver", "e\u0301\n\u0301", "Wren قارب 12 Quay", "क्\u200dष", "ab\u202ecd\u2066e\u2069", "\xff", "\u0000\u00ad", "ﬁ½"} {
		f.Add(s, 12.0, 0.0, 0.0, 0, 0)
		f.Add(s, 0.0, 80.0, -0.2, 1, len(s)%3)
	}
	var fonts []*words.Font
	for _, name := range []string{"sans.ttf", "arabic.ttf", "devanagari.ttf", "cantarell.otf"} {
		fonts = append(fonts, parse(f, readFont(f, name)))
	}
	f.Fuzz(func(t *testing.T, s string, height, width, spacing float64, letters, hold int) {
		for _, font := range fonts {
			mp, err := words.Text(s, words.Size{Cap: height, Width: width}, &words.Options{
				Font: font, Spacing: spacing, Tolerance: 0.1, Letters: words.Letters(letters), Hold: words.Hold(hold)})
			if err == nil {
				checkContract(t, mp)
			}
		}
	})
}

// A damaged font gives valid areas or an error.
func FuzzFont(f *testing.F) {
	f.Add(gomono.TTF[:20_000], "Wren")
	for _, name := range []string{"sans.ttf", "arabic.ttf", "devanagari.ttf", "cantarell.otf"} {
		data := readFont(f, name)
		f.Add(data, "Wren قارب नाव")
		f.Add(data, "fi\u0301")
	}
	f.Fuzz(func(t *testing.T, data []byte, s string) {
		font, err := words.ParseFont(data)
		if err != nil {
			return
		}
		if mp, err := words.Text(s, words.Size{Cap: 10}, &words.Options{Font: font, Tolerance: 0.1}); err == nil {
			checkContract(t, mp)
		}
	})
}
