package trace

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/draw"
	"image/gif"
	"image/jpeg"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"

	"golang.org/x/image/bmp"
	"golang.org/x/image/tiff"
)

// lantern is the drawing in testdata/read: 32 x 24, white with two black
// blocks, so that no turn or mirror of it looks the same. The files there were
// written by ImageMagick 6.9.11 (libjpeg-turbo 2.1.5, libwebp 1.2.4, libtiff
// 4.5.0) at 300 dpi.
func lantern(x, y int) uint8 {
	if x >= 8 && x < 16 && y < 16 || x >= 16 && x < 24 && y >= 8 && y < 16 {
		return 0
	}
	return 255
}

func paintLantern(m draw.Image, ink, paper color.Color) draw.Image {
	for y := range 24 {
		for x := range 32 {
			c := paper
			if lantern(x, y) == 0 {
				c = ink
			}
			m.Set(m.Bounds().Min.X+x, m.Bounds().Min.Y+y, c)
		}
	}
	return m
}

func wantLantern(t *testing.T, p *Picture, within int) {
	t.Helper()
	if p.Gray.Rect != image.Rect(0, 0, 32, 24) {
		t.Fatalf("Rect = %v", p.Gray.Rect)
	}
	for y := range 24 {
		for x := range 32 {
			if got, want := int(p.Gray.GrayAt(x, y).Y), int(lantern(x, y)); got < want-within || got > want+within {
				t.Fatalf("value at (%d, %d) = %d, want %d within %d", x, y, got, want, within)
			}
		}
	}
}

func encodePNG(t testing.TB, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, m); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestReadKinds(t *testing.T) {
	r := image.Rect(0, 0, 32, 24)
	clear := color.NRGBA{R: 255, A: 0} // red under nothing: must come out white
	black := color.Black
	enc := map[string]func(io.Writer, image.Image) error{
		"png":  png.Encode,
		"jpg":  func(w io.Writer, m image.Image) error { return jpeg.Encode(w, m, &jpeg.Options{Quality: 95}) },
		"gif":  func(w io.Writer, m image.Image) error { return gif.Encode(w, m, nil) },
		"bmp":  bmp.Encode,
		"tiff": func(w io.Writer, m image.Image) error { return tiff.Encode(w, m, nil) },
	}
	pal := color.Palette{color.White, color.Black, clear}
	for _, tt := range []struct {
		kind string
		img  image.Image
		in   string
	}{
		{"grey", paintLantern(image.NewGray(r), black, color.White), "png jpg bmp tiff"},
		{"grey 16", paintLantern(image.NewGray16(r), black, color.White), "png tiff"},
		{"colour", paintLantern(image.NewRGBA(r), black, color.White), "png jpg bmp tiff gif"},
		{"palette", paintLantern(image.NewPaletted(r, pal), black, color.White), "png bmp tiff gif"},
		{"clear", paintLantern(image.NewNRGBA(r), black, clear), "png tiff"},
		{"clear palette", paintLantern(image.NewPaletted(r, pal), black, clear), "png gif"},
		{"clear 16", paintLantern(image.NewNRGBA64(r), black, clear), "png tiff"},
		{"colour 16", paintLantern(image.NewRGBA64(r), black, color.White), "png tiff"},
	} {
		for _, name := range strings.Fields(tt.in) {
			t.Run(tt.kind+" "+name, func(t *testing.T) {
				var b bytes.Buffer
				if err := enc[name](&b, tt.img); err != nil {
					t.Fatal(err)
				}
				p, err := Read(&b, nil)
				if err != nil {
					t.Fatal(err)
				}
				wantLantern(t, p, map[string]int{"jpg": 12}[name])
			})
		}
	}
}

func TestReadOtherWriters(t *testing.T) {
	for file, want := range map[string]struct {
		within int
		dpi    float64
	}{
		"baseline.jpg":         {12, 300}, // colours at half resolution
		"interlaced-clear.png": {0, 0},
		"deep.png":             {0, 300}, // 16 bits
		"two-frames.gif":       {0, 0},   // the second is the negative
		"palette.bmp":          {0, 300},
		"turned.tif":           {0, 300}, // orientation 6
		"tiled.tif":            {0, 300},
		"progressive.jpg":      {12, 300},
		"cmyk.jpg":             {12, 300},
		"lossy.webp":           {12, 0},
		"lossy-clear.webp":     {12, 0},
		"lossless.webp":        {0, 0},
		"group4.tif":           {0, 300},
		"lzw.tif":              {0, 118 * 2.54},
		"rgb.bmp":              {0, 300},
	} {
		t.Run(file, func(t *testing.T) {
			f, err := os.Open(filepath.Join("testdata", "read", file))
			if err != nil {
				t.Fatal(err)
			}
			defer f.Close()
			p, err := Read(f, nil)
			if err != nil {
				t.Fatal(err)
			}
			wantLantern(t, p, want.within)
			var dpi float64
			if p.MMPerPixel > 0 {
				dpi = 25.4 / p.MMPerPixel
			}
			if math.Abs(dpi-want.dpi) > 1e-9 {
				t.Errorf("dpi = %v, want %v", dpi, want.dpi)
			}
		})
	}
}

// Half-clear black over white is mid grey, whichever way it is stored.
func TestReadHalfClear(t *testing.T) {
	for _, m := range []draw.Image{image.NewNRGBA(image.Rect(0, 0, 4, 4)), image.NewNRGBA64(image.Rect(0, 0, 4, 4))} {
		draw.Draw(m, m.Bounds(), image.NewUniform(color.NRGBA{A: 127}), image.Point{}, draw.Src)
		p, err := Read(bytes.NewReader(encodePNG(t, m)), nil)
		if err != nil {
			t.Fatal(err)
		}
		if got := p.Gray.GrayAt(1, 1).Y; got != 128 {
			t.Errorf("%T: %d, want 128", m, got)
		}
	}
}

func TestReadGIFFrameOnScreen(t *testing.T) {
	frame := image.NewPaletted(image.Rect(3, 2, 5, 6), color.Palette{color.Black, color.White})
	var b bytes.Buffer
	if err := gif.EncodeAll(&b, &gif.GIF{Image: []*image.Paletted{frame}, Delay: []int{0}, Config: image.Config{Width: 10, Height: 8}}); err != nil {
		t.Fatal(err)
	}
	p, err := Read(&b, nil)
	if err != nil {
		t.Fatal(err)
	}
	for y := range 8 {
		for x := range 10 {
			want := uint8(255)
			if image.Pt(x, y).In(frame.Rect) {
				want = 0
			}
			if got := p.Gray.GrayAt(x, y).Y; got != want {
				t.Fatalf("(%d, %d) = %d, want %d", x, y, got, want)
			}
		}
	}
}

// pngHead is a PNG that declares a size and has no pixels.
func pngHead(w, h uint32) []byte {
	ihdr := binary.BigEndian.AppendUint32(nil, w)
	ihdr = binary.BigEndian.AppendUint32(ihdr, h)
	ihdr = append(ihdr, 8, 0, 0, 0, 0)
	return append([]byte("\x89PNG\r\n\x1a\n"), pngChunk("IHDR", ihdr)...)
}

func pngChunk(kind string, data []byte) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(len(data)))
	b = append(append(b, kind...), data...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
}

func TestReadBadFiles(t *testing.T) {
	var jpg, tif, gifs bytes.Buffer
	m := paintLantern(image.NewRGBA(image.Rect(0, 0, 32, 24)), color.Black, color.White)
	if err := errors.Join(jpeg.Encode(&jpg, m, nil), tiff.Encode(&tif, m, nil), gif.Encode(&gifs, m, nil)); err != nil {
		t.Fatal(err)
	}
	pngs := encodePNG(t, m)
	flipped := bytes.Clone(pngs)
	flipped[len(flipped)-20] ^= 0x55
	half := func(b []byte) []byte { return b[:len(b)/2] }
	for name, tt := range map[string]struct {
		data []byte
		want error
		says string
	}{
		"empty":             {nil, ErrEmpty, "empty"},
		"text":              {[]byte("The heron stands.\n"), ErrNotPicture, "text"},
		"noise":             {[]byte{1, 2, 3, 255}, ErrNotPicture, "01 02 03 ff"},
		"phone":             {[]byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic"), ErrNotPicture, "HEIF"},
		"document":          {[]byte("%PDF-1.7\n"), ErrNotPicture, "PDF"},
		"png signature":     {pngs[:8], ErrTruncated, "PNG"},
		"png cut in header": {pngs[:20], ErrTruncated, "PNG"},
		"png cut":           {half(pngs), ErrTruncated, "PNG"},
		"png bit flip":      {flipped, ErrDamaged, "PNG"},
		"jpg cut in header": {jpg.Bytes()[:100], ErrTruncated, "JPEG"},
		"jpg cut":           {jpg.Bytes()[:jpg.Len()-10], ErrTruncated, "JPEG"},
		"tiff cut":          {half(tif.Bytes()), ErrTruncated, "TIFF"},
		"gif cut":           {half(gifs.Bytes()), ErrTruncated, "GIF"},
		"1x1":               {encodePNG(t, image.NewGray(image.Rect(0, 0, 1, 1))), ErrTooSmall, "1 x 1"},
		"1 high":            {encodePNG(t, image.NewGray(image.Rect(0, 0, 9, 1))), ErrTooSmall, "9 x 1"},
		"zero":              {pngHead(0, 0), ErrTooSmall, "0 x 0"},
	} {
		t.Run(name, func(t *testing.T) {
			p, err := Read(bytes.NewReader(tt.data), nil)
			if !errors.Is(err, tt.want) || p != nil {
				t.Fatalf("Read = %v, %v; want %v", p, err, tt.want)
			}
			if s := err.Error(); !strings.HasPrefix(s, "trace: ") || !strings.Contains(s, tt.says) || strings.Contains(s, "\n") {
				t.Errorf("message %q", s)
			}
		})
	}
}

func TestReadSizeLimit(t *testing.T) {
	for name, tt := range map[string]struct {
		data []byte
		opts *ReadOptions
		says string
	}{
		"declared":      {pngHead(60000, 60000), nil, "60000 x 60000 = 3600 million pixels, the limit is 400 million"},
		"declared most": {pngHead(math.MaxInt32, math.MaxInt32), nil, "4611686014132"},
		"own limit":     {encodePNG(t, image.NewGray(image.Rect(0, 0, 11, 10))), &ReadOptions{MaxPixels: 100}, "11 x 10"},
		// SOI, then a baseline start of frame of 65535 x 65535.
		"jpeg": {[]byte("\xff\xd8\xff\xc0\x00\x0b\x08\xff\xff\xff\xff\x01\x01\x11\x00"), nil, "65535 x 65535"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Read(bytes.NewReader(tt.data), tt.opts)
			var size *SizeError
			if !errors.As(err, &size) {
				t.Fatalf("Read: %v, want a *SizeError", err)
			}
			if !strings.Contains(err.Error(), tt.says) || !strings.Contains(err.Error(), "raise MaxPixels") {
				t.Errorf("message %q, want %q", err, tt.says)
			}
		})
	}
	if _, err := Read(bytes.NewReader(encodePNG(t, image.NewGray(image.Rect(0, 0, 10, 10)))), &ReadOptions{MaxPixels: 100}); err != nil {
		t.Errorf("at the limit: %v", err)
	}
}

func TestReadReaderError(t *testing.T) {
	broken := errors.New("the disk is on fire")
	data := encodePNG(t, image.NewGray(image.Rect(0, 0, 32, 24)))
	for _, n := range []int{0, 20, len(data) - 8} {
		_, err := Read(io.MultiReader(bytes.NewReader(data[:n]), iotest.ErrReader(broken)), nil)
		if !errors.Is(err, broken) || errors.Is(err, ErrTruncated) {
			t.Errorf("after %d bytes: %v", n, err)
		}
	}
}

// A byte at a time, the answer is the same.
func TestReadSlowReader(t *testing.T) {
	data := encodePNG(t, paintLantern(image.NewGray(image.Rect(0, 0, 32, 24)), color.Black, color.White))
	p, err := Read(iotest.OneByteReader(bytes.NewReader(data)), nil)
	if err != nil {
		t.Fatal(err)
	}
	wantLantern(t, p, 0)
}

func FuzzRead(f *testing.F) {
	files, err := filepath.Glob("testdata/read/*")
	if err != nil {
		f.Fatal(err)
	}
	for _, name := range files {
		b, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b)
	}
	f.Add(withDensity(f, 1, 11811, 5906))
	f.Add(withEXIF(6, true, 300, 150, 2))
	f.Add(pngHead(3, 3))
	f.Fuzz(func(t *testing.T, b []byte) {
		p, err := Read(bytes.NewReader(b), &ReadOptions{MaxPixels: 1 << 16})
		if err != nil {
			if p != nil || !strings.HasPrefix(err.Error(), "trace: ") {
				t.Fatalf("%v, %v", p, err)
			}
			return
		}
		g := p.Gray
		if w, h := g.Rect.Dx(), g.Rect.Dy(); w < 1 || h < 1 || w*h > 1<<16 || g.Rect.Min != (image.Point{}) || len(g.Pix) < (h-1)*g.Stride+w {
			t.Fatalf("bad picture: rect %v, stride %d, %d bytes", g.Rect, g.Stride, len(g.Pix))
		}
		if !(p.MMPerPixel >= 0 && p.MMPerPixel < 10) {
			t.Fatalf("MMPerPixel %v", p.MMPerPixel)
		}
	})
}

func ExampleRead() {
	drawing := image.NewGray(image.Rect(0, 0, 600, 300))
	var file bytes.Buffer
	if err := png.Encode(&file, drawing); err != nil {
		fmt.Println(err)
		return
	}
	p, err := Read(&file, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	if p.MMPerPixel == 0 { // this file does not say: the drawing shall be 90 mm wide
		p.MMPerPixel = 90 / float64(p.Gray.Rect.Dx())
	}
	fmt.Printf("%d x %d pixels of %.2f mm\n", p.Gray.Rect.Dx(), p.Gray.Rect.Dy(), p.MMPerPixel)
	// Output: 600 x 300 pixels of 0.15 mm
}

// BenchmarkRead reads an A4 page at 600 dpi, 35 million pixels.
func BenchmarkRead(b *testing.B) {
	page := image.NewGray(image.Rect(0, 0, 4960, 7016))
	for y := range 7016 {
		for x := range 4960 {
			page.Pix[y*page.Stride+x] = lantern(x>>4&31, y>>4%24) ^ uint8(x*y>>9&3)
		}
	}
	var pngs, jpgs bytes.Buffer
	if err := errors.Join(png.Encode(&pngs, page), jpeg.Encode(&jpgs, page, nil)); err != nil {
		b.Fatal(err)
	}
	for name, data := range map[string][]byte{"png": pngs.Bytes(), "jpeg": jpgs.Bytes()} {
		dec := map[string]func(io.Reader) (image.Image, error){"png": png.Decode, "jpeg": jpeg.Decode}[name]
		b.Run(name+"/decoder alone", func(b *testing.B) {
			b.SetBytes(int64(len(page.Pix)))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := dec(bytes.NewReader(data)); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run(name+"/Read", func(b *testing.B) {
			b.SetBytes(int64(len(page.Pix)))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Read(bytes.NewReader(data), nil); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
