package trace

import (
	"bytes"
	"errors"
	"fmt"
	"image/jpeg"
	"image/png"
	"io"
	"strings"

	"golang.org/x/image/bmp"
	"golang.org/x/image/tiff"
)

// What can be wrong with a picture file.
var (
	ErrEmpty       = errors.New("trace: the file is empty")
	ErrNotPicture  = errors.New("trace: not a PNG, JPEG, GIF, BMP, TIFF, WebP or SVG picture")
	ErrTruncated   = errors.New("trace: the picture is cut short")
	ErrDamaged     = errors.New("trace: the picture is damaged")
	ErrUnsupported = errors.New("trace: this kind of picture cannot be read")
	ErrTooSmall    = errors.New("trace: the picture is too small to hold a drawing")
)

// A SizeError says that a file declares more pixels than may be decoded.
type SizeError struct {
	Width, Height int   // as declared, in pixels
	MaxPixels     int64 // the limit that was in force
}

func (e *SizeError) Error() string {
	return fmt.Sprintf("trace: the picture has %d x %d = %s million pixels, the limit is %s million: raise MaxPixels or make it smaller",
		e.Width, e.Height, millions(float64(e.Width)*float64(e.Height)), millions(float64(e.MaxPixels)))
}

func millions(n float64) string {
	if n < 1e7 {
		return fmt.Sprintf("%.3g", n/1e6)
	}
	return fmt.Sprintf("%.0f", n/1e6)
}

// notPicture describes the start of a file that no decoder claims.
func notPicture(head []byte) error {
	var is string
	switch {
	case len(head) >= 12 && string(head[4:8]) == "ftyp":
		is = "it is an HEIF or AVIF photo or a film; save it as JPEG or PNG first"
	case bytes.HasPrefix(head, []byte("%PDF")):
		is = "it is a PDF; save the page as PNG first"
	case printable(head):
		is = fmt.Sprintf("it is text that starts with %q", head)
	default:
		is = fmt.Sprintf("it starts with % x", head)
	}
	return fmt.Errorf("%w: %s", ErrNotPicture, is)
}

// isXML says whether a file starts as an SVG does.
func isXML(head []byte) bool {
	head = bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\ufeff")), " \t\r\n")
	for _, start := range []string{"<svg", "<?xml", "<!--", "<!DOCTYPE svg"} {
		if bytes.HasPrefix(head, []byte(start)) {
			return true
		}
	}
	return false
}

func printable(b []byte) bool {
	return !bytes.ContainsFunc(b, func(r rune) bool { return r < ' ' && !strings.ContainsRune("\t\r\n", r) || r == 0xfffd })
}

// explain turns a decoder's error into one that says what is wrong with the
// file, or with the reader when that failed.
func (s *source) explain(name string, err error) error {
	if s.err != nil {
		return fmt.Errorf("trace: reading the picture: %w", s.err)
	}
	kind := ErrDamaged
	var (
		pu png.UnsupportedError
		ju jpeg.UnsupportedError
		tu tiff.UnsupportedError
	)
	switch {
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF),
		strings.HasSuffix(err.Error(), io.ErrUnexpectedEOF.Error()), // image/gif keeps only the text
		errors.Is(err, png.FormatError("not enough pixel data")),
		errors.Is(err, jpeg.FormatError("short Huffman data")) && s.ended:
		return fmt.Errorf("%w: this %s ends after %d bytes", ErrTruncated, name, s.read)
	case errors.As(err, &pu), errors.As(err, &ju), errors.As(err, &tu), errors.Is(err, bmp.ErrUnsupported):
		kind = ErrUnsupported
	}
	return fmt.Errorf("%w: %s: %v", kind, name, err)
}
