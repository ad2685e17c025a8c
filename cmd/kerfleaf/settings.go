package main

import (
	"slices"
	"strings"

	"github.com/urfave/cli/v2"
)

// settings is what the flags of one run said. A command offers the flags of
// the groups it uses; they mean the same everywhere.
type settings struct {
	width, height lengthValue
	dpi           float64
	megapixels    int64

	threshold         float64
	invert            bool
	tolerance, smooth lengthValue
	minArea           areaValue

	paper, basePaper string
	papersFile       string
	grow             lengthValue
	kerf, minWeb     lengthValue
	bridge           bridgeValue

	margin, depth, gap lengthValue
	sheet              string

	out                string
	force, json, quiet bool
	units, format      string
}

func newSettings() *settings {
	return &settings{
		grow: lengthValue{signed: true}, kerf: lengthValue{zero: true}, tolerance: lengthValue{}, smooth: lengthValue{zero: true},
		minWeb: lengthValue{zero: true}, margin: lengthValue{zero: true},
	}
}

func (s *settings) sizeFlags() []cli.Flag {
	return []cli.Flag{
		lengthFlag("width", "finished width of the whole drawing, such as 4in or 10cm", groupSize, &s.width),
		lengthFlag("height", "finished height of the whole drawing", groupSize, &s.height),
		&cli.Float64Flag{Name: "dpi", Usage: "pixels to the inch, in place of a size (default: what the file says)", Category: groupSize, Destination: &s.dpi, Action: func(_ *cli.Context, v float64) error {
			if !(v >= 1 && v <= 100000) {
				return usagef("--dpi %g makes no sense: give pixels to the inch, such as 300", v)
			}
			return nil
		}},
		&cli.Int64Flag{Name: "max-megapixels", Usage: "largest picture that is opened", Category: groupSize, Value: 400, Destination: &s.megapixels},
	}
}

func (s *settings) lineFlags() []cli.Flag {
	return []cli.Flag{
		&cli.Float64Flag{Name: "threshold", Usage: "how dark counts as cut, from 0 (black only) to 1 (default: found in the picture)", Category: groupLine, Destination: &s.threshold, Action: func(_ *cli.Context, v float64) error {
			if !(v > 0 && v < 1) {
				return usagef("--threshold %g: give a value between 0 and 1, such as 0.5", v)
			}
			return nil
		}},
		&cli.BoolFlag{Name: "invert", Usage: "cut the light areas instead of the dark ones", Category: groupLine, Destination: &s.invert},
		lengthFlag("tolerance", "greatest departure from the drawn edge (default: the paper's)", groupLine, &s.tolerance),
		lengthFlag("smooth", "wobble to even out; corners stay (default: the paper's)", groupLine, &s.smooth),
		&cli.GenericFlag{Name: "min-area", Usage: "smallest opening or scrap of paper that is kept, in mm²", Category: groupLine, Value: &s.minArea},
	}
}

func (s *settings) paperFlags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "paper", Usage: "stock that it is cut from; see `kerfleaf papers`", Category: groupPaper, Value: defaultPaper, Destination: &s.paper},
		&cli.StringFlag{Name: "papers-file", Usage: "your own stocks, a TOML file (default: the one that `kerfleaf papers` names)", Category: groupPaper, Destination: &s.papersFile},
		lengthFlag("grow", "grow the openings by this much on every side; with a minus, shrink them", groupPaper, &s.grow),
		lengthFlag("kerf", "width that the tool removes; 0 for a knife (default: the paper's)", groupPaper, &s.kerf),
		&cli.GenericFlag{Name: "bridge", Usage: "tie loose islands: off, auto (the paper's width) or a width", Category: groupPaper, Value: &s.bridge},
		lengthFlag("min-web", "thinnest strip of paper that will do (default: the paper's)", groupPaper, &s.minWeb),
	}
}

func (s *settings) boxFlags() []cli.Flag {
	return []cli.Flag{
		lengthFlag("margin", "paper between the cut-out and the fold (default: 1/4 in)", groupBox, &s.margin),
		lengthFlag("depth", "height of the walls (default: 1 in)", groupBox, &s.depth),
		lengthFlag("gap", "room on either side of the base in the front (default: 0.9 mm)", groupBox, &s.gap),
		&cli.StringFlag{Name: "base-paper", Usage: "stock of the base", Category: groupBox, Value: defaultBasePaper, Destination: &s.basePaper},
		&cli.StringFlag{Name: "sheet", Usage: "sheet that each part must fit: a4, letter, 12x12in, 300x400mm …", Category: groupBox, Value: defaultSheet, Destination: &s.sheet},
	}
}

func (s *settings) outputFlags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "out", Usage: "`FOLDER` for the results", Category: groupOutput, Value: "kerfleaf-out", Destination: &s.out},
		&cli.BoolFlag{Name: "force", Usage: "replace files that exist", Category: groupOutput, Destination: &s.force},
		&cli.StringFlag{Name: "format", Usage: "which files, of svg, dxf, pdf, png", Category: groupOutput, Value: "svg,dxf,png", Destination: &s.format},
		&cli.StringFlag{Name: "units", Usage: "unit of the numbers in DXF files, mm or in", Category: groupOutput, Value: "mm", Destination: &s.units},
		&cli.BoolFlag{Name: "json", Usage: "print the summary for programs", Category: groupOutput, Destination: &s.json},
		&cli.BoolFlag{Name: "quiet", Usage: "print no summary and no progress", Category: groupOutput, Destination: &s.quiet},
	}
}

// formats reads --format.
func (s *settings) formats() ([]string, error) {
	known := []string{"svg", "dxf", "pdf", "png"}
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
