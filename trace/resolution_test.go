package trace

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"math"
	"strings"
	"testing"
)

// withDensity is a PNG of the lantern with a pHYs chunk after its IHDR.
func withDensity(t testing.TB, unit byte, x, y uint32) []byte {
	return withChunk(t, "pHYs", append(binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, x), y), unit))
}

func withChunk(t testing.TB, kind string, data []byte) []byte {
	b := encodePNG(t, paintLantern(image.NewGray(image.Rect(0, 0, 32, 24)), color.Black, color.White))
	const afterIHDR = 8 + 12 + 13
	return bytes.Join([][]byte{b[:afterIHDR], pngChunk(kind, data), b[afterIHDR:]}, nil)
}

func readDPI(t *testing.T, data []byte) (dpi float64, p *Picture) {
	t.Helper()
	p, err := Read(bytes.NewReader(data), nil)
	if err != nil {
		t.Fatal(err)
	}
	if p.MMPerPixel > 0 {
		dpi = 25.4 / p.MMPerPixel
	}
	return dpi, p
}

// Pixels per metre of common resolutions, rounded as writers do: W3C Portable
// Network Graphics (third edition) 11.3.4.3 gives the chunk, 1 in = 0.0254 m
// the numbers.
func TestResolutionPNG(t *testing.T) {
	for ppm, want := range map[uint32]float64{
		3780: 96, 5906: 150, 7874: 200, 11811: 300, 15748: 400, 23622: 600, 47244: 1200,
		11800: 11800 * 0.0254, // 299.72 dpi: 118 to the centimetre is meant
	} {
		dpi, p := readDPI(t, withDensity(t, 1, ppm, ppm))
		if math.Abs(dpi-want) > 1e-9 || len(p.Doubts) != 0 {
			t.Errorf("%d per metre: %v dpi, want %v; doubts %q", ppm, dpi, want, p.Doubts)
		}
	}
	// The chunk of 300 dpi, byte for byte.
	if dpi, _ := readDPI(t, withChunk(t, "pHYs", []byte{0, 0, 0x2e, 0x23, 0, 0, 0x2e, 0x23, 1})); math.Abs(dpi-300) > 1e-9 {
		t.Errorf("00002E23 00002E23 01: %v dpi, want 300", dpi)
	}
}

func TestResolutionNotBelieved(t *testing.T) {
	for name, tt := range map[string]struct {
		data []byte
		says string
	}{
		"72 dpi":    {withDensity(t, 1, 2835, 2835), "72 dpi is a placeholder"},
		"no unit":   {withDensity(t, 0, 3000, 3000), "has no unit"},
		"1 x 1":     {withJFIF(0, 1, 1), "1 x 1 is a placeholder"},
		"JFIF 72":   {withJFIF(1, 72, 72), "72 dpi is a placeholder"},
		"1 a metre": {withDensity(t, 1, 1, 2), "makes no sense"},
		"absurd":    {withDensity(t, 1, math.MaxUint32, math.MaxUint32), "makes no sense"},
		"oblong":    {withDensity(t, 1, 11811, 1181), "makes no sense"},
	} {
		t.Run(name, func(t *testing.T) {
			dpi, p := readDPI(t, tt.data)
			if dpi != 0 || len(p.Doubts) != 1 || !strings.Contains(p.Doubts[0], tt.says) {
				t.Errorf("%v dpi, doubts %q, want 0 and %q", dpi, p.Doubts, tt.says)
			}
			wantLantern(t, p, 12)
		})
	}
	if dpi, p := readDPI(t, withDensity(t, 1, 0, 0)); dpi != 0 || len(p.Doubts) != 0 {
		t.Errorf("0 x 0: %v dpi, doubts %q", dpi, p.Doubts)
	}
}

// withJFIF is the lantern as a JPEG with the APP0 segment of ITU-T T.871, 10.1.
func withJFIF(unit byte, x, y uint16) []byte {
	app0 := append([]byte("\xff\xe0\x00\x10JFIF\x00\x01\x02"), unit)
	app0 = binary.BigEndian.AppendUint16(app0, x)
	app0 = append(binary.BigEndian.AppendUint16(app0, y), 0, 0)
	return withSegments(app0)
}

// JFIF stores 300 dpi as 01 012C 012C and 118 to the centimetre, which is
// 299.72 dpi, as 02 0076 0076 (ITU-T T.871, 10.1).
func TestResolutionJFIF(t *testing.T) {
	for _, tt := range []struct {
		unit byte
		x    uint16
		want float64
	}{{1, 300, 300}, {2, 118, 299.72}, {1, 96, 96}} {
		if dpi, _ := readDPI(t, withJFIF(tt.unit, tt.x, tt.x)); math.Abs(dpi-tt.want) > 1e-9 {
			t.Errorf("unit %d, %d: %v dpi, want %v", tt.unit, tt.x, dpi, tt.want)
		}
	}
}

// A scanner that is finer across than down gives oblong pixels; the picture
// must come out with square ones, as large in mm as the sheet was.
func TestResolutionOblong(t *testing.T) {
	for name, tt := range map[string]struct {
		data []byte
		w, h int
		mm   float64
	}{
		"finer across":    {withDensity(t, 1, 11811, 5906), 32, 48, 25.4 / 300},
		"finer down":      {withDensity(t, 1, 5906, 11811), 64, 24, 25.4 / 300},
		"ratio only":      {withDensity(t, 0, 1, 2), 64, 24, 0},
		"turned by EXIF":  {withEXIF(6, false, 300, 150, 2), 48, 32, 25.4 / 300},
		"in centimetres":  {withEXIF(1, true, 100, 200, 3), 64, 24, 0.05},
		"EXIF ratio only": {withEXIF(1, true, 2, 1, 1), 32, 48, 0},
	} {
		t.Run(name, func(t *testing.T) {
			_, p := readDPI(t, tt.data)
			if p.Gray.Rect != image.Rect(0, 0, tt.w, tt.h) || math.Abs(p.MMPerPixel-tt.mm) > 1e-12 {
				t.Fatalf("%v at %v mm, want %d x %d at %v", p.Gray.Rect, p.MMPerPixel, tt.w, tt.h, tt.mm)
			}
			// The blocks cover a quarter: 8x16 and 8x8 of 32x24.
			sum := 0
			for _, v := range p.Gray.Pix {
				sum += 255 - int(v)
			}
			if got := float64(sum) / 255 / float64(tt.w*tt.h); math.Abs(got-0.25) > 0.01 {
				t.Errorf("%.4f is black, want 0.25", got)
			}
		})
	}
}
