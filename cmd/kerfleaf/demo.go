package main

import (
	"image/png"
	"io"
	"slices"

	"example.org/kerfleaf/internal/length"
	"example.org/kerfleaf/trace"
	"github.com/urfave/cli/v2"
)

const sceneFile = "heron.png"

func demoCommand() *cli.Command {
	s := newSettings()
	return &cli.Command{
		Name:      "demo",
		Usage:     "make everything from a drawing of its own; no file needed",
		UsageText: "kerfleaf demo [flags]\n\nExample:\n  kerfleaf demo --out boathouse\n\nWrites a drawing, heron.png, and all that `kerfleaf box heron.png` makes of it.",
		Flags:     joinFlags(s.paperFlags(true), s.boxFlags(), s.placeFlags(), s.toolFlags(), s.outputFlags()),
		Action: func(c *cli.Context) error {
			if c.Args().Present() {
				return usagef("demo brings its own drawing; for %s use kerfleaf box", c.Args().First())
			}
			return s.finish(c, func(out *output, bar *progress) (*summary, error) {
				formats, err := s.formats()
				if err != nil {
					return nil, err
				}
				if err := out.reserve(slices.Concat([]string{sceneFile}, s.boxNames(formats))...); err != nil {
					return nil, err
				}
				bar.step("drawing")
				picture := drawScene()
				err = out.write(sceneFile, func(w io.Writer) error {
					return png.Encode(&physWriter{w: w, dpi: sceneDPI}, picture)
				})
				if err != nil {
					return nil, err
				}
				p := &trace.Picture{Gray: picture, MMPerPixel: length.MMPerInch / sceneDPI}
				return s.boxOf(c.Context, "demo", sceneFile, &source{raw: p, picture: p}, out, formats, bar)
			})
		},
	}
}
