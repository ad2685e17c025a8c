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
	return slices.Concat([]cli.Flag{switchFlag("scan", "the picture is a scan of paper: level it, straighten it, drop dust, trim it", groupClean, &s.scan)},
		s.photoFlags("the picture is a photo of a sheet of this `SIZE`, a4, letter or 20x30cm: find it and lay it flat; with --scrap or --paper-photo it is the size of the sheet in that picture, and letter+a4 says that the drawing is a photo, too, of the first"),
		[]cli.Flag{
			forcedFlag("straighten", "turn a scan upright", &s.straighten),
			forcedFlag("trim", "cut a scan to its ink", &s.trim),
			forcedFlag("adaptive", "decide between ink and paper place by place, where a shadow is as dark as ink", &s.adaptive),
		})
}

// photoFlags are what finding a sheet in a photo needs.
func (s *settings) photoFlags(usage string) []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "photo", Usage: usage, Category: groupClean, Destination: &s.photo},
		&cli.StringFlag{Name: "corners", Usage: "where the photographed sheet's corners are, in pixels from the photo's top left: `X,Y,X,Y,X,Y,X,Y` for its top left, top right, bottom right, bottom left; of two photos with a + between", DefaultText: "found", Category: groupClean, Destination: &s.corners},
		forcedFlag("lens", "undo the bend that a photo's lens gives to straight lines", &s.lens),
	}
}

func forcedFlag(name, usage string, v *string) cli.Flag {
	return &cli.StringFlag{Name: name, Usage: usage + ": `auto, on or off`", Category: groupClean, Value: "auto", DefaultText: "auto", Destination: v}
}

// drawingPhoto and sheetPhoto are the sizes that --photo gives for the drawing,
// and for the sheet that --scrap or --paper-photo shows.
func (s *settings) drawingPhoto() string {
	if drawing, _, both := strings.Cut(s.photo, "+"); both || !s.laid() {
		return drawing
	}
	return ""
}

func (s *settings) sheetPhoto() string {
	if !s.laid() {
		return ""
	}
	return s.photo[strings.Index(s.photo, "+")+1:]
}

// cleans reports whether the picture is to be cleaned.
func (s *settings) cleans() bool { return s.scan || s.drawingPhoto() != "" }

// checkPhotos refuses flags that contradict each other.
func (s *settings) checkPhotos() error {
	drawing, both := s.drawingPhoto() != "", strings.Contains(s.photo, "+")
	switch {
	case s.scan && drawing:
		return usagef("--scan and --photo: a picture is one or the other")
	case s.corners != "" && s.photo == "":
		return usagef("--corners is for a photo: add --photo with the sheet's size")
	case s.scrap != "" && s.paperPhoto != "":
		return usagef("--scrap and --paper-photo: a part lies on one or the other")
	case s.laid() && s.sheetPhoto() == "":
		return usagef("how large is the sheet that %s shows? add --photo a4, letter or 20x30cm", s.sheetPath())
	case both && !drawing:
		return usagef("--photo %q: write the size of the sheet in the drawing's photo before the +", s.photo)
	case both && !s.laid():
		return usagef("--photo %q: there is one photo; two sizes are for a drawing and a sheet, see --scrap", s.photo)
	case s.corners != "" && both != strings.Contains(s.corners, "+"):
		return usagef("--corners: with two photos write X,Y,…+X,Y,…, the drawing's first; an empty one is found")
	case s.scrap != "" && (s.place.at != "" || s.place.centre) && !s.box.liner:
		return usagef("--scrap finds the place by itself; --at and --centre are for --paper-photo or a whole sheet")
	}
	return nil
}

// cleanOptions reads the flags of cleaning the drawing.
func (s *settings) cleanOptions() (*trace.CleanOptions, error) {
	corners, _, _ := strings.Cut(s.corners, "+")
	o, err := s.photoOptions(s.drawingPhoto(), corners)
	if err != nil {
		return nil, err
	}
	o.MinArea = s.minArea.mm2
	if o.Straighten, err = choose("straighten", s.straighten, choices); err != nil {
		return nil, err
	}
	if o.Trim, err = choose("trim", s.trim, choices); err != nil {
		return nil, err
	}
	o.Adaptive, err = choose("adaptive", s.adaptive, choices)
	return o, err
}

var choices = map[string]trace.Choice{"auto": trace.Auto, "on": trace.On, "off": trace.Off}

// photoOptions reads what is said of the sheet in a photo; no size means a scan.
func (s *settings) photoOptions(size, corners string) (*trace.CleanOptions, error) {
	o := &trace.CleanOptions{}
	var err error
	if o.Lens, err = choose("lens", s.lens, choices); err != nil {
		return nil, err
	}
	if corners != "" {
		parts := strings.Split(corners, ",")
		if len(parts) != 8 {
			return nil, usagef("--corners has %d numbers; give 8, x and y of the sheet's top left, top right, bottom right and bottom left", len(parts))
		}
		for i, p := range parts {
			if o.Corners[i/2][i%2], err = strconv.ParseFloat(strings.TrimSpace(p), 64); err != nil {
				return nil, usagef("--corners: %q is not a number", p)
			}
		}
	}
	if size != "" {
		sheet, err := paper.ParseSize(size)
		if err != nil {
			return nil, usageError{fmt.Errorf("--photo: %w", err)}
		}
		o.SheetWidth, o.SheetHeight = sheet.Width, sheet.Height
	}
	return o, nil
}

// nameCorners says what to do where a sheet was not found.
func nameCorners(err error) error {
	var lost *trace.SheetError
	if errors.As(err, &lost) {
		return fmt.Errorf("%w: --corners X,Y,…", err)
	}
	return err
}

// quickPNG does not spend seconds on the last kilobytes of a picture for looking at.
var quickPNG = png.Encoder{CompressionLevel: png.BestSpeed}

// clean makes of a scan or photo what a clean drawing would be, and keeps what
// was understood.
func (s *settings) clean(src *source) error {
	opts, err := s.cleanOptions()
	if err != nil {
		return err
	}
	clean, report, err := src.picture.Clean(opts)
	if err != nil {
		return nameCorners(err)
	}
	clean.Notes = append(slices.Clone(src.picture.Notes), report.Warnings...)
	src.explain = func(w io.Writer) error { return quickPNG.Encode(w, report.Explain(src.raw, clean)) }
	for _, step := range report.Steps {
		src.steps = append(src.steps, step.String())
	}
	src.picture = clean
	return nil
}
