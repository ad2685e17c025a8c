package main

import (
	"slices"
	"strings"

	"example.org/kerfleaf/trace"
	"github.com/urfave/cli/v2"
)

// settings is what the flags of one run said. A command offers the flags of
// the groups it uses; they mean the same everywhere.
type settings struct {
	width, height lengthValue
	dpi           float64
	megapixels    int64

	scan                   bool
	photo, corners         string
	straighten, trim, lens string
	scrap, paperPhoto      string // pictures of the sheet that a part is laid on
	adaptive               string

	threshold         float64
	invert            bool
	tolerance, smooth lengthValue
	minArea           areaValue

	paper                 string
	papersFile            string
	grow                  lengthValue
	kerf, minWeb, caution lengthValue
	bridge                bridgeValue
	tie                   bool // tie islands where --bridge does not say

	ties  tieSettings
	box   boxSettings
	place placeSettings
	tool  toolSettings
	check proofSettings

	words, font  string
	letterHeight lengthValue
	align        string
	letters      string
	hold         string
	spacing      float64

	out                string
	force, json, quiet bool
	units, format      string
	printPage          string
	curves             bool
}

// defaultMinArea is the area in mm² of a speck 0.36 mm across, finer than a
// blade's point turns (common practice, no source).
const defaultMinArea = 0.1

// defaultMegapixels is trace.DefaultMaxPixels in millions.
const defaultMegapixels = trace.DefaultMaxPixels / 1_000_000

func newSettings() *settings {
	s := &settings{minArea: areaValue{mm2: defaultMinArea}, megapixels: defaultMegapixels}
	s.grow.signed = true
	s.place.grain = "unknown"
	for _, l := range []*lengthValue{&s.kerf, &s.smooth, &s.minWeb, &s.box.margin, &s.place.edge, &s.place.room, &s.tool.overcut} {
		l.zero = true
	}
	return s
}

func (s *settings) sizeFlags() []cli.Flag {
	return []cli.Flag{
		lengthFlag("width", "finished width `LENGTH` of the whole drawing, such as 4in or 10cm", "", groupSize, &s.width),
		lengthFlag("height", "finished height `LENGTH` of the whole drawing", "", groupSize, &s.height),
		&cli.Float64Flag{Name: "dpi", Usage: "pixels to the inch `NUMBER`, in place of a size", DefaultText: "what the file says", Category: groupSize, Destination: &s.dpi, Action: func(_ *cli.Context, v float64) error {
			if !(v >= 1 && v <= 100000) {
				return usagef("--dpi %g makes no sense: give pixels to the inch, such as 300", v)
			}
			return nil
		}},
		s.megapixelsFlag(groupSize),
	}
}

func (s *settings) megapixelsFlag(group string) cli.Flag {
	return &cli.Int64Flag{Name: "max-megapixels", Usage: "largest picture that is opened, a `NUMBER`", Category: group, Value: defaultMegapixels, Destination: &s.megapixels, Action: func(_ *cli.Context, v int64) error {
		if v < 1 || v > 1_000_000 {
			return usagef("--max-megapixels %d makes no sense: give millions of pixels, such as 400", v)
		}
		return nil
	}}
}

func (s *settings) lineFlags() []cli.Flag {
	return []cli.Flag{
		&cli.Float64Flag{Name: "threshold", Usage: "how dark counts as cut, a `NUMBER` from 0 (black only) to 1", DefaultText: "found in the picture", Category: groupLine, Destination: &s.threshold, Action: func(_ *cli.Context, v float64) error {
			if !(v > 0 && v < 1) {
				return usagef("--threshold %g: give a value between 0 and 1, such as 0.5", v)
			}
			return nil
		}},
		switchFlag("invert", "cut the light areas instead of the dark ones", groupLine, &s.invert),
		lengthFlag("tolerance", "greatest departure `LENGTH` from the drawn edge", "the paper's, at least half a pixel of the drawing", groupLine, &s.tolerance),
		lengthFlag("smooth", "wobble `LENGTH` to even out; corners stay", "the paper's", groupLine, &s.smooth),
		&cli.GenericFlag{Name: "min-area", Usage: "smallest opening or scrap of paper that is kept, an `AREA` in mm²; 0 for everything", DefaultText: "0.1 mm²", Category: groupLine, Value: &s.minArea},
	}
}

// paperFlags are the flags of the stock and the tool; tie says whether islands
// are tied where --bridge does not say.
func (s *settings) paperFlags(tie bool) []cli.Flag {
	s.tie = tie
	byDefault := "off"
	if tie {
		byDefault = "auto"
	}
	return append([]cli.Flag{
		&cli.StringFlag{Name: "paper", Usage: "stock that it is cut from, a `NAME` that \"kerfleaf papers\" lists", Category: groupPaper, Value: defaultPaper, DefaultText: defaultPaper, Destination: &s.paper},
		&cli.StringFlag{Name: "papers-file", Usage: "your own stocks, a TOML `FILE`", DefaultText: "the one that \"kerfleaf papers\" names", Category: groupPaper, Destination: &s.papersFile},
		lengthFlag("grow", "grow the openings by this `LENGTH` on every side; with a minus, shrink them", "", groupPaper, &s.grow),
		lengthFlag("kerf", "width `LENGTH` that the tool removes; 0 for a knife", "the paper's", groupPaper, &s.kerf),
		&cli.GenericFlag{Name: "bridge", Usage: "tie loose islands: off, auto (the paper's width) or a `LENGTH`", DefaultText: byDefault, Category: groupPaper, Value: &s.bridge},
		lengthFlag("min-web", "thinnest strip `LENGTH` of paper that will do", "the paper's", groupPaper, &s.minWeb),
		lengthFlag("caution", "strip `LENGTH` of paper below which care is wanted", "the paper's", groupPaper, &s.caution),
	}, s.tieFlags()...)
}

func (s *settings) outputFlags() []cli.Flag {
	return append(append(s.folderFlags(), s.proofFlags()...),
		&cli.StringFlag{Name: "format", Usage: "which files, a `LIST` of svg, dxf, pdf, png and html (the guide of a box)", Category: groupOutput, Value: "svg,dxf,pdf,png,html", DefaultText: "all of them", Destination: &s.format},
		&cli.StringFlag{Name: "units", Usage: "`UNIT` of the numbers in DXF files, mm or in", Category: groupOutput, Value: "mm", DefaultText: "mm", Destination: &s.units},
		switchFlag("curves", "arcs in DXF files in place of short lines; SVG and PDF have curves anyway", groupOutput, &s.curves),
		&cli.StringFlag{Name: "page", Usage: "`SIZE` of the paper in the printer, for PDF files: a4, letter …", Category: groupOutput, Value: "a4", DefaultText: "a4", Destination: &s.printPage},
	)
}

// folderFlags say where results go and what is printed.
func (s *settings) folderFlags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "out", Usage: "`FOLDER` for the results", Category: groupOutput, Value: "kerfleaf-out", DefaultText: "kerfleaf-out", Destination: &s.out},
		switchFlag("force", "replace files that exist", groupOutput, &s.force),
		switchFlag("json", "print the summary for programs", groupOutput, &s.json),
		switchFlag("quiet", "print no summary and no progress", groupOutput, &s.quiet),
	}
}

func switchFlag(name, usage, group string, v *bool) cli.Flag {
	return &cli.BoolFlag{Name: name, Usage: usage, Category: group, Destination: v, DisableDefaultText: true}
}

// formats reads --format.
func (s *settings) formats() ([]string, error) {
	known := []string{"svg", "dxf", "pdf", "png", "html"}
	var list []string
	for f := range strings.SplitSeq(s.format, ",") {
		f = strings.ToLower(strings.TrimSpace(f))
		if !slices.Contains(known, f) {
			return nil, usagef("--format %q: choose from %s", f, strings.Join(known, ", "))
		}
		if !slices.Contains(list, f) {
			list = append(list, f)
		}
	}
	return list, nil
}

// drawingArgument returns the one file that the command is about.
func drawingArgument(c *cli.Context) (string, error) {
	switch c.NArg() {
	case 0:
		return "", usagef("%s needs a drawing: kerfleaf %s DRAWING", c.Command.Name, c.Command.Name)
	case 1:
		return c.Args().First(), nil
	default:
		return "", usagef("%s takes one drawing, not %d: %s", c.Command.Name, c.NArg(), strings.Join(c.Args().Slice(), ", "))
	}
}

func joinFlags(groups ...[]cli.Flag) []cli.Flag { return slices.Concat(groups...) }
