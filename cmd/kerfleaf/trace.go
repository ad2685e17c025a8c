package main

import (
	"context"
	"io"
	"slices"

	"github.com/urfave/cli/v2"
)

func traceCommand() *cli.Command { return newSettings().traceCommand() }

func (s *settings) traceCommand() *cli.Command {
	return &cli.Command{
		Name:      "trace",
		Usage:     "cut lines of a drawing",
		UsageText: "kerfleaf trace [flags] DRAWING\n\nExample: a scan without a size in it, 10 cm wide, cut from thin card\n  kerfleaf trace heron.png --width 10cm --paper thin-card\n\nDark areas are cut away. Loose islands are counted, and tied only if --bridge says so; kerfleaf check looks for thin webs, too.",
		Flags:     joinFlags(s.sizeFlags(), s.cleanFlags(), s.lineFlags(), s.paperFlags(false), s.cardFlags("the card (of a scan or photo the cut-out with 1/4 in round it), its edge cut, too,"), s.toolFlags(), s.outputFlags()),
		Action: func(c *cli.Context) error {
			path, err := drawingArgument(c)
			if err != nil {
				return err
			}
			return s.finish(c, func(out *output, bar *progress) (*summary, error) {
				return s.runTrace(c.Context, path, out, bar)
			})
		},
	}
}

func (s *settings) runTrace(ctx context.Context, path string, out *output, bar *progress) (*summary, error) {
	formats, err := s.formats()
	if err != nil {
		return nil, err
	}
	name := stem(path)
	if err := out.reserve(slices.Concat(partNames(formats, name, name+"-plan"), s.explainNames(name), s.laidNames(formats, name))...); err != nil {
		return nil, err
	}
	if err := s.checkCard(); err != nil {
		return nil, err
	}
	d, src, err := s.openDesign(ctx, path, bar)
	if err != nil {
		return nil, err
	}
	sum := &summary{command: "trace"}
	sum.text("drawing", "drawing", path)
	sum.size("its size", "drawing_size", d.frame.Max(0), d.frame.Max(1))
	if s.laid() && s.cleans() && !s.invert { // the card is not the sheet that was drawn on
		d.within(defaultWordMargin)
	}
	if err := s.change(d, bar); err != nil {
		return nil, err
	}
	n, err := s.writeCutOut(d, name, name, sum, out, formats, bar)
	if err != nil {
		return nil, err
	}
	if err := src.writeExplain(out, name); err != nil {
		return nil, err
	}
	d.report(sum, src)
	sum.add("", "", "islands", n)
	switch {
	case n == 1:
		sum.warnf("1 island would fall out: --bridge auto ties it, kerfleaf check shows it")
	case n > 1:
		sum.warnf("%d islands would fall out: --bridge auto ties them, kerfleaf check shows them", n)
	}
	return sum, nil
}

// finish is the frame of every command that writes files: the folder, the
// progress, the summary, and nothing left behind after a failure.
func (s *settings) finish(c *cli.Context, work func(*output, *progress) (*summary, error)) error {
	out, err := newOutput(s.out, s.force)
	if err != nil {
		return err
	}
	defer out.discard()
	bar := s.newProgress(c.App.ErrWriter)
	sum, err := work(out, bar)
	bar.end()
	if err != nil {
		return err
	}
	sum.claims.report(sum)
	if sum.files, err = out.commit(); err != nil {
		return err
	}
	return s.say(c.App.Writer, c.App.ErrWriter, sum)
}

// say prints the summary as the flags ask, and turns loose paper into its
// error.
func (s *settings) say(stdout, stderr io.Writer, sum *summary) error {
	var err error
	switch {
	case s.json:
		err = sum.printJSON(stdout)
	case !s.quiet:
		err = sum.print(stdout, stderr)
	}
	switch {
	case err == nil && sum.wrong:
		err = errWrong
	case err == nil && sum.loose:
		err = errLoose
	}
	return err
}
