package words_test

import (
	"errors"
	"fmt"

	"golang.org/x/image/font/gofont/goitalic"

	"example.org/kerfleaf/words"
)

func ExampleText() {
	cut, err := words.Text("Wren\nTolliver", words.Size{Cap: 12, Width: 60}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	b := cut.Bounds()
	fmt.Printf("%d cut areas, %.1f x %.1f mm\n", cut.NumPolygons(), b.Max(0), b.Max(1))
	// Output: 13 cut areas, 59.3 x 31.4 mm
}

// The letters stay, on a bar of 2 mm across the opening, and the i has its dot.
func ExampleText_paper() {
	background, err := words.Text("Heron pier", words.Size{Width: 90}, &words.Options{Letters: words.Paper, Hold: words.Bar, Web: 2})
	if err != nil {
		fmt.Println(err)
		return
	}
	b := background.Bounds()
	fmt.Printf("opening %.1f x %.1f mm\n", b.Max(0), b.Max(1))
	// Output: opening 90.0 x 25.3 mm
}

func ExampleText_missingGlyph() {
	_, err := words.Text("Marlo 舟", words.Size{Cap: 12}, nil)
	var missing *words.MissingGlyphError
	if errors.As(err, &missing) {
		fmt.Println(err)
	}
	// Output: words: the font has no glyph for '舟' (U+821F); first at line 1, character 7
}

func ExampleParseFont() {
	italic, err := words.ParseFont(goitalic.TTF)
	if err != nil {
		fmt.Println(err)
		return
	}
	cut, err := words.Text("lantern supper", words.Size{Cap: 8}, &words.Options{Font: italic, Spacing: 0.05})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(cut.NumPolygons(), "cut areas")
	// Output: 13 cut areas
}

func ExampleBuiltIn() {
	// A font is read once and sets any number of names, on all cores if wished.
	opts := &words.Options{Font: words.BuiltIn()}
	for _, name := range []string{"Wren Tolliver", "Marlo Quay"} {
		cut, err := words.Text(name, words.Size{Width: 90}, opts)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s: %.1f mm high\n", name, cut.Bounds().Max(1))
	}
	// Output:
	// Wren Tolliver: 11.1 mm high
	// Marlo Quay: 16.2 mm high
}
