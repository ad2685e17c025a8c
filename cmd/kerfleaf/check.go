package main

import (
	"context"
	"fmt"
	"io"
	"math"

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
		UsageText: "kerfleaf check [flags] DRAWING\n\nExample: will this hold in copy paper, 10 cm wide?\n  kerfleaf check heron.png --width 10cm --paper copy\n\nExit status 3 says that paper would fall out or tear. What wants care only is listed, too.",
		Flags:     joinFlags(s.sizeFlags(), s.cleanFlags(), s.lineFlags(), s.paperFlags(false), s.folderFlags()),
		Action: func(c *cli.Context) error {
			path, err := drawingArgument(c)
			if err != nil {
				return err
			}
			return s.finish(c, func(out *output, bar *progress) (*summary, error) {
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
		return export.PNG(w2, cutOut(w, h, d.cut), &export.PNGOptions{Title: stem(path), Notes: []string{paperLine(d.stock), d.verdict()}, Marks: d.marks(), Openings: true})
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

// marks are the worst faults as a picture shows them.
func (d *design) marks() []export.Mark {
	const most = 40
	var marks []export.Mark
	for _, f := range d.faults[:min(len(d.faults), most)] {
		r := max(f.Width, 1)
		text := fmt.Sprintf("%.2f", f.Width)
		if f.Kind == stencil.Island || f.Kind == stencil.SmallCut {
			r = math.Sqrt(f.Area / math.Pi)
			text = f.Kind.String()
		}
		marks = append(marks, export.Mark{At: geom.Coord{f.At[0], f.At[1]}, Radius: r, Text: text})
	}
	return marks
}
