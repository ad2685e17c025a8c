package main

import (
	"errors"
	"fmt"
	"image/png"
	"io"
	"slices"
	"strconv"
	"strings"

	"example.org/kerfleaf/paper"
	"example.org/kerfleaf/trace"
	"github.com/urfave/cli/v2"
)

// cleanFlags say that the picture was taken of paper.
func (s *settings) cleanFlags() []cli.Flag {
	forced := func(name, usage string, v *string) cli.Flag {
		return &cli.StringFlag{Name: name, Usage: usage + ": `auto, on or off`", Category: groupClean, Value: "auto", DefaultText: "auto", Destination: v}
	}
	return []cli.Flag{
		switchFlag("scan", "the picture is a scan of paper: level it, straighten it, drop dust, trim it", groupClean, &s.scan),
		&cli.StringFlag{Name: "photo", Usage: "the picture is a photo of a sheet of this `SIZE`, a4, letter or 20x30cm: find it and lay it flat", Category: groupClean, Destination: &s.photo},
		&cli.StringFlag{Name: "corners", Usage: "where the photographed sheet's corners are, in pixels from the photo's top left: `X,Y,X,Y,X,Y,X,Y` for its top left, top right, bottom right, bottom left", DefaultText: "found", Category: groupClean, Destination: &s.corners},
		forced("straighten", "turn a scan upright", &s.straighten),
		forced("trim", "cut a scan to its ink", &s.trim),
		forced("adaptive", "decide between ink and paper place by place, where a shadow is as dark as ink", &s.adaptive),
		forced("lens", "undo the bend that a photo's lens gives to straight lines", &s.lens),
	}
}

// cleans reports whether the picture is to be cleaned.
func (s *settings) cleans() bool { return s.scan || s.photo != "" }

// checkClean refuses flags that contradict each other.
func (s *settings) checkClean() error {
	switch {
	case s.scan && s.photo != "":
		return usagef("--scan and --photo: a picture is one or the other")
	case s.corners != "" && s.photo == "":
		return usagef("--corners is for a photo: add --photo with the sheet's size")
	}
	return nil
}

// cleanOptions reads the flags of cleaning.
func (s *settings) cleanOptions() (*trace.CleanOptions, error) {
	o := &trace.CleanOptions{MinArea: s.minArea.mm2}
	choices := map[string]trace.Choice{"auto": trace.Auto, "on": trace.On, "off": trace.Off}
	var err error
	if o.Straighten, err = choose("straighten", s.straighten, choices); err != nil {
		return nil, err
	}
	if o.Trim, err = choose("trim", s.trim, choices); err != nil {
		return nil, err
	}
	if o.Adaptive, err = choose("adaptive", s.adaptive, choices); err != nil {
		return nil, err
	}
	if o.Lens, err = choose("lens", s.lens, choices); err != nil {
		return nil, err
	}
	if s.corners != "" {
		parts := strings.Split(s.corners, ",")
		if len(parts) != 8 {
			return nil, usagef("--corners has %d numbers; give 8, x and y of the sheet's top left, top right, bottom right and bottom left", len(parts))
		}
		for i, p := range parts {
			if o.Corners[i/2][i%2], err = strconv.ParseFloat(strings.TrimSpace(p), 64); err != nil {
				return nil, usagef("--corners: %q is not a number", p)
			}
		}
	}
	if s.photo != "" {
		size, err := paper.ParseSize(s.photo)
		if err != nil {
			return nil, usageError{fmt.Errorf("--photo: %w", err)}
		}
		o.SheetWidth, o.SheetHeight = size.Width, size.Height
	}
	return o, nil
}

// clean makes of a scan or photo what a clean drawing would be, and keeps what
// was understood.
func (s *settings) clean(src *source) error {
	opts, err := s.cleanOptions()
	if err != nil {
		return err
	}
	clean, report, err := src.picture.Clean(opts)
	var lost *trace.SheetError
	switch {
	case errors.As(err, &lost):
		return fmt.Errorf("%w; name them with --corners", err)
	case err != nil:
		return err
	}
	clean.Notes = append(slices.Clone(src.picture.Notes), report.Warnings...)
	src.explain = func(w io.Writer) error { return png.Encode(w, report.Explain(src.raw, clean)) }
	for _, step := range report.Steps {
		src.steps = append(src.steps, step.String())
	}
	src.picture = clean
	return nil
}
