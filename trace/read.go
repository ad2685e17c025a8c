package trace

import (
	"bytes"
	"fmt"
	"image"
	"image/gif"
	"image/jpeg"
	"image/png"
	"io"

	"golang.org/x/image/bmp"
	"golang.org/x/image/tiff"
	"golang.org/x/image/webp"
)

// DefaultMaxPixels is the largest picture that Read decodes unless told
// otherwise: A2 at 1200 dpi, 400 MB in memory.
const DefaultMaxPixels = 400_000_000

// ReadOptions change how Read works; nil means the defaults.
type ReadOptions struct {
	// MaxPixels is the largest width times height that is decoded; a file that
	// declares more is refused with a *SizeError before any pixel is read.
	// Zero means DefaultMaxPixels.
	MaxPixels int64

	// Colours asks for Picture.Colours, too: four more bytes a pixel.
	Colours bool
}

// Read decodes a PNG, JPEG, GIF (its first frame), BMP, TIFF (its first page)
// or WebP picture of any colour kind, or draws an SVG, into grey values,
// upright, with square pixels, and with the resolution in mm that the file
// states.
//
// Of an SVG it draws the filled shapes at 600 dpi, or as fine as 100 million
// pixels allow, at the size that its width and height state. Notes tells what
// it has besides: strokes, text and pictures must be turned into filled shapes
// before.
//
// Colours become their luma (ITU-R BT.601, as in JFIF), transparent pixels are
// laid over white, 16-bit values are rounded to 8, colour profiles are ignored.
// A grey PNG and any ordinary JPEG keep the decoder's own pixels without a
// copy. The EXIF orientation is applied. MMPerPixel comes from PNG pHYs, JFIF,
// BMP or EXIF/TIFF tags, rounded to a whole number of dpi when within 0.05 of
// one; where X and Y differ, the coarser axis is enlarged to match the finer.
// A bare 72 dpi and a density of 1 x 1 are what programs write when they do not
// know: they are not believed, MMPerPixel stays 0 and Doubts says so.
//
// Errors wrap ErrEmpty, ErrNotPicture, ErrTruncated, ErrDamaged,
// ErrUnsupported or ErrTooSmall, or are a *SizeError; an error of r itself is
// returned wrapped.
func Read(r io.Reader, opts *ReadOptions) (*Picture, error) {
	if opts == nil {
		opts = &ReadOptions{}
	}
	limit := opts.MaxPixels
	if limit <= 0 {
		limit = DefaultMaxPixels
	}
	src := &source{r: r}
	src.grow(sniffLength)
	if src.err != nil {
		return nil, fmt.Errorf("trace: reading the picture: %w", src.err)
	}
	if len(src.head) == 0 {
		return nil, ErrEmpty
	}
	f := formatOf(src.head)
	switch {
	case f == nil && isXML(src.head):
		p, err := readSVG(src.reader(), limit)
		if src.err != nil {
			return nil, fmt.Errorf("trace: reading the picture: %w", src.err)
		}
		return p, err
	case f == nil:
		return nil, notPicture(src.head)
	}
	m := f.meta(src)
	if err := checkSize(f, src, &m, limit); err != nil {
		return nil, err
	}
	img, err := decode(f.decode, src.reader())
	if err != nil {
		return nil, src.explain(f.name, err)
	}
	img = onCanvas(img, m.width, m.height)
	p := &Picture{Gray: grayOf(img)}
	if opts.Colours {
		p.Colours = coloursOf(img)
	}
	if note := orientationNote(m.orientation); note != "" {
		p.Gray = oriented(p.Gray, m.orientation)
		if p.Colours != nil {
			p.Colours = orientedColours(p.Colours, m.orientation)
		}
		p.Notes = append(p.Notes, note)
	}
	if err := p.setResolution(m.chooseDensity(), m.orientation, limit); err != nil {
		return nil, err
	}
	return p, nil
}

// A format is one kind of picture file: how to know it, what its head says and
// how to decode it.
type format struct {
	name   string
	magic  []string // '?' stands for any byte
	meta   func(*source) meta
	config func(io.Reader) (image.Config, error)
	decode func(io.Reader) (image.Image, error)
}

var formats = []format{
	{"PNG", []string{"\x89PNG\r\n\x1a\n"}, pngMeta, png.DecodeConfig, png.Decode},
	{"JPEG", []string{"\xff\xd8"}, jpegMeta, jpeg.DecodeConfig, jpeg.Decode},
	{"GIF", []string{"GIF87a", "GIF89a"}, gifMeta, gif.DecodeConfig, gif.Decode},
	{"BMP", []string{"BM????\x00\x00\x00\x00"}, bmpMeta, bmp.DecodeConfig, bmp.Decode},
	{"TIFF", []string{"II*\x00", "MM\x00*"}, tiffMeta, tiff.DecodeConfig, tiff.Decode},
	{"WebP", []string{"RIFF????WEBP"}, webpMeta, webp.DecodeConfig, decodeWebP},
}

func formatOf(head []byte) *format {
	for i := range formats {
		for _, magic := range formats[i].magic {
			if matches(head, magic) {
				return &formats[i]
			}
		}
	}
	return nil
}

func matches(head []byte, magic string) bool {
	if len(head) < len(magic) {
		return false
	}
	for i := range len(magic) {
		if magic[i] != '?' && magic[i] != head[i] {
			return false
		}
	}
	return true
}

// checkSize completes the declared width and height of m and refuses what is
// too large or too small to be a drawing.
func checkSize(f *format, src *source, m *meta, limit int64) error {
	if !m.sized {
		cfg, err := decodeConfig(f.config, bytes.NewReader(src.head))
		if err != nil {
			return src.explain(f.name, err)
		}
		m.width, m.height = cfg.Width, cfg.Height
	}
	if m.width < 2 || m.height < 2 {
		return fmt.Errorf("%w: it is %d x %d pixels", ErrTooSmall, m.width, m.height)
	}
	if int64(m.width) > limit/int64(m.height) {
		return &SizeError{Width: m.width, Height: m.height, MaxPixels: limit}
	}
	return nil
}

// decodeWebP decodes a WebP. A lossy one keeps luma from 16 to 235 (RFC 6386,
// 9.2: ITU-R BT.601 studio range), which the decoder passes on as it is.
func decodeWebP(r io.Reader) (image.Image, error) {
	img, err := webp.Decode(r)
	var luma []uint8
	switch m := img.(type) {
	case *image.YCbCr:
		luma = m.Y
	case *image.NYCbCrA:
		luma = m.Y
	}
	for i, v := range luma {
		luma[i] = uint8((max(0, min(int(v)-16, 219))*255 + 109) / 219)
	}
	return img, err
}

// decode calls a decoder and turns a panic inside it into an error: the
// decoders are not ours, and a damaged file must not end the caller's program.
func decode(dec func(io.Reader) (image.Image, error), r io.Reader) (img image.Image, err error) {
	defer func() {
		if v := recover(); v != nil {
			err = fmt.Errorf("decoder failed: %v", v)
		}
	}()
	return dec(r)
}

func decodeConfig(dec func(io.Reader) (image.Config, error), r io.Reader) (cfg image.Config, err error) {
	defer func() {
		if v := recover(); v != nil {
			err = fmt.Errorf("decoder failed: %v", v)
		}
	}()
	return dec(r)
}
