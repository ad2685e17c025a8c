package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strings"

	"example.org/kerfleaf/export"
	"example.org/kerfleaf/stencil"
	"github.com/twpayne/go-geom"
	"github.com/urfave/cli/v2"
)

func checkCommand() *cli.Command {
	s := newSettings()
	return &cli.Command{
		Name:      "check",
		Usage:     "says whether it will hold together, with a picture of where it will not",
		UsageText: "kerfleaf check [flags] DRAWING\nkerfleaf check [flags] FILE.svg|FILE.dxf\n\nExample: will this hold in copy paper, 10 cm wide?\n  kerfleaf check heron.png --width 10cm --paper copy\n\nExit status 3 says that paper would fall out or tear. What wants care only is listed, too.\nOf an SVG or DXF file of cut lines, whoever wrote it, a dry run is made: --width and --height then say how large its cuts should be.",
		Flags:     joinFlags(s.sizeFlags(), s.cleanFlags(), s.lineFlags(), s.paperFlags(false), s.folderFlags()),
		Action: func(c *cli.Context) error {
			path, err := drawingArgument(c)
			if err != nil {
				return err
			}
			return s.finish(c, func(out *output, bar *progress) (*summary, error) {
				switch strings.ToLower(filepath.Ext(path)) {
				case ".svg", ".dxf":
					return s.checkFile(path, out)
				}
				return s.runCheck(c.Context, path, out, bar)
			})
		},
	}
}

func (s *settings) runCheck(ctx context.Context, path string, out *output, bar *progress) (*summary, error) {
	name := stem(path) + "-check.png"
	if err := out.reserve(append(s.explainNames(stem(path)), name)...); err != nil {
		return nil, err
	}
	d, src, err := s.openDesign(ctx, path, bar)
	if err != nil {
		return nil, err
	}
	if err := s.prepare(d, bar); err != nil {
		return nil, err
	}
	bar.step("writing")
	w, h := d.frame.Max(0), d.frame.Max(1)
	err = out.write(name, func(w2 io.Writer) error {
		return export.PNG(w2, cutOut(w, h, d.cut), &export.PNGOptions{Title: stem(path), Notes: []string{paperLine(d.stock), d.verdict()}, Marks: d.marks(), Areas: d.areas(0, 0), Openings: true})
	})
	if err != nil {
		return nil, err
	}
	if err := src.writeExplain(out, stem(path)); err != nil {
		return nil, err
	}
	sum := &summary{command: "check"}
	sum.text("drawing", "drawing", path)
	sum.size("its size", "drawing_size", w, h)
	sum.text("paper", "paper", paperLine(d.stock))
	sum.text("verdict", "verdict", d.verdict())
	for _, f := range d.faults {
		label := "loose"
		switch {
		case f.Caution:
			label = "with care"
		case f.Kind != stencil.Island:
			label = "will tear"
		}
		sum.add(label, f.String(), "", nil)
	}
	sum.faults(d.faults)
	src.report(sum)
	sum.loose = d.fails() > 0
	return sum, nil
}

// fails counts the places that will fall out or tear.
func (d *design) fails() int {
	n := 0
	for _, f := range d.faults {
		if !f.Caution {
			n++
		}
	}
	return n
}

func (d *design) verdict() string {
	switch n := d.fails(); {
	case n == 1:
		return "it will not hold: 1 place falls out or tears"
	case n > 1:
		return fmt.Sprintf("it will not hold: %d places fall out or tear", n)
	case len(d.faults) > 0:
		return fmt.Sprintf("it holds; %d places want care", len(d.faults))
	default:
		return "it holds"
	}
}

// marks ring the worst of the narrow places and small openings, with their widths.
func (d *design) marks() []export.Mark {
	const most = 40
	var marks []export.Mark
	for _, f := range d.faults {
		if f.Kind == stencil.Island {
			continue // hatched, and in no need of a ring
		}
		r, text := max(f.Width, 1), fmt.Sprintf("%.2f mm", f.Width)
		if f.Kind == stencil.SmallCut {
			r, text = math.Sqrt(f.Area/math.Pi), fmt.Sprintf("%.1f mm²", f.Area)
		}
		if marks = append(marks, export.Mark{At: geom.Coord{f.At[0], f.At[1]}, Radius: r, Text: text}); len(marks) == most {
			break
		}
	}
	return marks
}

// areas are what falls out, what hangs on one place alone and what was tied,
// shifted by (dx, dy) mm.
func (d *design) areas(dx, dy float64) []export.Area {
	var areas []export.Area
	for _, f := range d.faults {
		if f.Shape == nil {
			continue
		}
		look := export.Hanging
		if f.Kind == stencil.Island {
			look = export.Loose
		}
		areas = append(areas, export.Area{Shape: moved(f.Shape, dx, dy), Look: look})
	}
	return append(areas, d.bridges(dx, dy)...)
}

// bridges are the straps alone.
func (d *design) bridges(dx, dy float64) []export.Area {
	var areas []export.Area
	for _, s := range d.straps {
		areas = append(areas, export.Area{Shape: moved(s.Shape, dx, dy), Look: export.Kept})
	}
	return areas
}
