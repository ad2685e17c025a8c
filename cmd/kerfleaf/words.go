package main

import (
	"errors"
	"fmt"
	"os"
	"strings"

	"example.org/kerfleaf/internal/length"
	"example.org/kerfleaf/paper"
	"example.org/kerfleaf/words"
	"github.com/twpayne/go-geom"
	"github.com/urfave/cli/v2"
)

// defaultLetters is the height of capitals where no size is given: large enough
// for every opening of the built-in font to be weeded (common practice, no
// source).
const defaultLetters = length.MMPerInch

func (s *settings) wordFlags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "font", Usage: "a TTF or OTF `FILE`", DefaultText: "a sturdy one that is built in", Category: groupWords, Destination: &s.font},
		lengthFlag("letter-height", "height `LENGTH` of the capitals", "1 in, or what fits", groupWords, &s.letterHeight),
		&cli.StringFlag{Name: "align", Usage: "where short lines stand: `left, center or right`", Category: groupWords, Value: "center", DefaultText: "center", Destination: &s.align},
		&cli.StringFlag{Name: "letters", Usage: "what becomes of the letters, `cut or paper`: they are cut away, or stay while what is round them is cut away", Category: groupWords, Value: "cut", DefaultText: "cut", Destination: &s.letters},
		&cli.StringFlag{Name: "hold", Usage: "what holds letters of paper: `bar, touch or frame`", Category: groupWords, Value: "bar", DefaultText: "bar", Destination: &s.hold},
		&cli.Float64Flag{Name: "letter-spacing", Usage: "extra room between letters, a `NUMBER` of letter heights", DefaultText: "0", Category: groupWords, Destination: &s.spacing},
	}
}

func wordsCommand() *cli.Command {
	s := newSettings()
	return &cli.Command{
		Name:      "words",
		Usage:     "cut lines of a text",
		UsageText: "kerfleaf words [flags] TEXT\n\nExample: a place card, 9 cm wide, on two lines\n  kerfleaf words \"Wren\\nTolliver\" --width 9cm\n\nBy default the letters are cut away; the loose middles of letters such as o are tied unless --bridge off.",
		Flags: joinFlags(s.wordFlags(), []cli.Flag{
			lengthFlag("width", "width `LENGTH` that the words fill", "", groupWords, &s.width),
			lengthFlag("height", "height `LENGTH` that the words fill", "", groupWords, &s.height),
			lengthFlag("tolerance", "greatest departure `LENGTH` from the font's curves", "the paper's", groupWords, &s.tolerance),
			lengthFlag("margin", "paper `LENGTH` round the words", "1/4 in", groupWords, &s.box.margin),
			s.megapixelsFlag(groupClean),
		}, s.paperFlags(true), s.photoFlags("`SIZE` of the sheet that --scrap or --paper-photo shows: a4, letter or 20x30cm"), s.cardFlags("the card, its edge cut, too,"), s.toolFlags(), s.outputFlags()),
		Action: func(c *cli.Context) error {
			if !c.Args().Present() {
				return usagef("words needs a text: kerfleaf words \"Wren Tolliver\"")
			}
			text := strings.Join(c.Args().Slice(), " ")
			return s.finish(c, func(out *output, bar *progress) (*summary, error) {
				return s.runWords(text, out, bar)
			})
		},
	}
}

func (s *settings) runWords(text string, out *output, bar *progress) (*summary, error) {
	formats, err := s.formats()
	if err != nil {
		return nil, err
	}
	name := safeName(text)
	if err := out.reserve(append(partNames(formats, name, name+"-plan"), s.laidNames(formats, name)...)...); err != nil {
		return nil, err
	}
	if err := s.checkCard(); err != nil {
		return nil, err
	}
	if s.photo != s.sheetPhoto() {
		return nil, usagef("--photo %q: words have one photo, that of --scrap or --paper-photo", s.photo)
	}
	stock, err := s.stock(s.paper)
	if err != nil {
		return nil, err
	}
	d := &design{stock: s.own(stock)}
	if d.cut, err = s.setWords(text, d.stock, words.Size{Cap: s.letterHeight.mm, Width: s.width.mm, Height: s.height.mm}); err != nil {
		return nil, err
	}
	margin := s.box.margin.or(defaultWordMargin)
	d.within(margin)
	if err := s.prepare(d, bar); err != nil {
		return nil, err
	}
	sum := &summary{command: "words"}
	sum.text("words", "words", oneLine(text))
	w, h := d.frame.Max(0)-d.frame.Min(0), d.frame.Max(1)-d.frame.Min(1)
	sum.size("with margin", "sheet", w, h)
	if _, err := s.writeCutOut(d, name, oneLine(text), sum, out, formats, bar); err != nil {
		return nil, err
	}
	d.report(sum, nil)
	sum.loose = !d.holds()
	return sum, nil
}

// defaultWordMargin is the paper left round a cut-out text.
const defaultWordMargin = length.MMPerInch / 4

// setWords turns text into cut areas of the size asked for. In the text, "\n"
// starts a line.
func (s *settings) setWords(text string, stock paper.Stock, size words.Size) (*geom.MultiPolygon, error) {
	opts := &words.Options{Spacing: s.spacing, Tolerance: stock.Tolerance, Web: stock.Bridge}
	var err error
	if opts.Align, err = choose("align", s.align, map[string]words.Align{"left": words.Left, "center": words.Center, "centre": words.Center, "right": words.Right}); err != nil {
		return nil, err
	}
	if opts.Letters, err = choose("letters", s.letters, map[string]words.Letters{"cut": words.Cut, "paper": words.Paper}); err != nil {
		return nil, err
	}
	if opts.Hold, err = choose("hold", s.hold, map[string]words.Hold{"bar": words.Bar, "touch": words.Touch, "frame": words.Frame}); err != nil {
		return nil, err
	}
	if s.font != "" {
		data, err := os.ReadFile(s.font)
		if err != nil {
			return nil, fmt.Errorf("cannot read the font %s: %w", s.font, plain(err))
		}
		if opts.Font, err = words.ParseFont(data); err != nil {
			return nil, fmt.Errorf("%s: %w", s.font, err)
		}
	}
	if size == (words.Size{}) {
		size.Cap = defaultLetters
	}
	cut, err := words.Text(strings.ReplaceAll(text, `\n`, "\n"), size, opts)
	var missing *words.MissingGlyphError
	if errors.As(err, &missing) && s.font == "" {
		return nil, fmt.Errorf("%w; give a font that has it with --font", err)
	}
	return cut, err
}
