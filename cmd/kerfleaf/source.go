package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"slices"

	"example.org/kerfleaf/internal/length"
	"example.org/kerfleaf/trace"
)

// source is a picture as it was read and, if asked for, cleaned.
type source struct {
	raw, picture *trace.Picture
	explain      func(io.Writer) error // a picture of what cleaning understood; nil without
	steps        []string              // what cleaning did and why
}

// readDrawing opens a picture, cleans it if it is a scan or photo, and settles
// the size of its pixels: by --width, --height or --dpi, else by what the file
// or the photographed sheet says.
func (s *settings) readDrawing(path string) (*source, error) {
	if err := s.checkPhotos(); err != nil {
		return nil, err
	}
	p, err := s.openPicture(path, false)
	if err != nil {
		return nil, err
	}
	src := &source{raw: p, picture: p}
	if s.cleans() {
		if s.dpi > 0 {
			p.MMPerPixel = length.MMPerInch / s.dpi
		}
		if err := s.clean(src); err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
	}
	return src, s.scale(src.picture, path)
}

// openPicture reads a picture, with its colours if asked.
func (s *settings) openPicture(path string, colours bool) (*trace.Picture, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("cannot open %s: %w", path, plain(err))
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, fmt.Errorf("cannot open %s: it is a folder; name a picture in it", path)
	}
	p, err := trace.Read(f, &trace.ReadOptions{MaxPixels: s.megapixels * 1_000_000, Colours: colours})
	var big *trace.SizeError
	switch {
	case errors.As(err, &big):
		return nil, fmt.Errorf("%s: %w; --max-megapixels %d allows it", path, err, (int64(big.Width)*int64(big.Height)+999_999)/1_000_000)
	case err != nil:
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return p, nil
}

// scale sets p.MMPerPixel from the flags, or checks that the file knew it.
func (s *settings) scale(p *trace.Picture, path string) error {
	w, h := float64(p.Gray.Rect.Dx()), float64(p.Gray.Rect.Dy())
	switch {
	case s.dpi > 0 && (s.width.given || s.height.given):
		return usagef("--dpi and a size say the same thing twice: give --width, --height or --dpi")
	case s.width.given && s.height.given:
		// Both may be given as long as they agree with the picture to a pixel.
		mm := s.width.mm / w
		if math.Abs(s.height.mm/mm-h) > 1 {
			return usagef("--width %s and --height %s would stretch the drawing, which is %.0f x %.0f pixels; give one, the other is then %s",
				length.MM(s.width.mm), length.MM(s.height.mm), w, h, length.Format(mm*h))
		}
		p.MMPerPixel = mm
	case s.width.given:
		p.MMPerPixel = s.width.mm / w
	case s.height.given:
		p.MMPerPixel = s.height.mm / h
	case s.dpi > 0 && s.drawingPhoto() == "": // a photo's resolution follows from its sheet
		p.MMPerPixel = length.MMPerInch / s.dpi
	case p.MMPerPixel == 0:
		what := fmt.Sprintf("%.0f x %.0f pixels", w, h)
		for _, d := range p.Doubts {
			what += "; " + d
		}
		return usagef("%s does not say how large the drawing is (%s); add --width 4in or --height or --dpi 300", path, what)
	default: // the file's own resolution counts
		p.Notes = append(slices.Clone(p.Notes), p.Doubts...)
	}
	return nil
}

// explainNames lists the file that shows what cleaning understood, if there
// will be one.
func (s *settings) explainNames(name string) []string {
	if !s.cleans() {
		return nil
	}
	return []string{name + "-explain.png"}
}

// writeExplain writes that file.
func (src *source) writeExplain(out *output, name string) error {
	if src.explain == nil {
		return nil
	}
	return out.write(name+"-explain.png", src.explain)
}

// report adds what the file and its cleaning have to say.
func (src *source) report(sum *summary) {
	sum.steps("cleaning", "cleaning", src.steps)
	sum.warn = append(sum.warn, src.picture.Notes...)
}
