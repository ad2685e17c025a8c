package main

import (
	"errors"
	"fmt"
	"math"
	"os"

	"example.org/kerfleaf/internal/length"
	"example.org/kerfleaf/trace"
)

// readDrawing opens a picture and settles the size of its pixels: by --width,
// --height or --dpi, else by what the file says.
func (s *settings) readDrawing(path string) (*trace.Picture, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("cannot open %s: %w", path, plain(err))
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, fmt.Errorf("cannot open %s: it is a folder; name a picture in it", path)
	}
	p, err := trace.Read(f, &trace.ReadOptions{MaxPixels: s.megapixels * 1_000_000})
	var big *trace.SizeError
	switch {
	case errors.As(err, &big):
		return nil, fmt.Errorf("%s: %w; --max-megapixels %d allows it", path, err, (int64(big.Width)*int64(big.Height)+999_999)/1_000_000)
	case err != nil:
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return p, s.scale(p, path)
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
	case s.dpi > 0:
		p.MMPerPixel = length.MMPerInch / s.dpi
	case p.MMPerPixel == 0:
		return usagef("%s does not say how large the drawing is (%.0f x %.0f pixels); add --width 4in or --height or --dpi 300", path, w, h)
	}
	return nil
}
