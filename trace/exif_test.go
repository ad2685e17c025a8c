package trace

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"strings"
	"testing"
)

// exifTags writes a directory of four tags as CIPA DC-008 lays it out.
func exifTags(orientation int, big bool, x, y uint32, unit int) []byte {
	var order interface {
		binary.ByteOrder
		binary.AppendByteOrder
	} = binary.LittleEndian
	b := []byte("II*\x00")
	if big {
		order, b = binary.BigEndian, []byte("MM\x00*")
	}
	b = order.AppendUint32(b, 8)
	b = order.AppendUint16(b, 4)
	const values = 8 + 2 + 4*12 + 4
	entry := func(tag, kind uint16, value uint32) {
		b = order.AppendUint16(order.AppendUint16(b, tag), kind)
		b = order.AppendUint32(b, 1)
		if kind == 3 { // SHORT: in the first two of the four bytes
			b = order.AppendUint16(order.AppendUint16(b, uint16(value)), 0)
		} else {
			b = order.AppendUint32(b, value)
		}
	}
	entry(274, 3, uint32(orientation))
	entry(282, 5, values)
	entry(283, 5, values+8)
	entry(296, 3, uint32(unit))
	b = order.AppendUint32(b, 0)
	for _, v := range []uint32{x, y} {
		b = order.AppendUint32(order.AppendUint32(b, 10*v), 10)
	}
	return b
}

// withSegments is the lantern as a JPEG with segments after its first marker.
func withSegments(segments ...[]byte) []byte {
	var b bytes.Buffer
	m := paintLantern(image.NewGray(image.Rect(0, 0, 32, 24)), color.Black, color.White)
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: 95}); err != nil {
		panic(err)
	}
	return bytes.Join([][]byte{b.Bytes()[:2], bytes.Join(segments, nil), b.Bytes()[2:]}, nil)
}

func withEXIF(orientation int, big bool, x, y uint32, unit int) []byte {
	return withSegments(app1(exifTags(orientation, big, x, y, unit)))
}

func app1(tags []byte) []byte {
	data := append([]byte("Exif\x00\x00"), tags...)
	return append(binary.BigEndian.AppendUint16([]byte{0xff, 0xe1}, uint16(len(data)+2)), data...)
}

// The stored picture [A B] as each orientation shows it: which side the stored
// first row and first column are on (CIPA DC-008, tag 274 Orientation).
func TestOrientationTable(t *testing.T) {
	stored := &image.Gray{Pix: []uint8{'A', 'B'}, Stride: 2, Rect: image.Rect(0, 0, 2, 1)}
	for o, want := range map[int]string{1: "AB", 2: "BA", 3: "BA", 4: "AB", 5: "A/B", 6: "A/B", 7: "B/A", 8: "B/A"} {
		if got := ascii(oriented(stored, o)); got != want {
			t.Errorf("orientation %d of AB: %s, want %s", o, got, want)
		}
	}
	stored = &image.Gray{Pix: []uint8("ABC.DEF."), Stride: 4, Rect: image.Rect(0, 0, 3, 2)}
	for o, want := range map[int]string{1: "ABC/DEF", 2: "CBA/FED", 3: "FED/CBA", 4: "DEF/ABC", 5: "AD/BE/CF", 6: "DA/EB/FC", 7: "FC/EB/DA", 8: "CF/BE/AD"} {
		if got := ascii(oriented(stored, o)); got != want {
			t.Errorf("orientation %d of ABC/DEF: %s, want %s", o, got, want)
		}
	}
}

func ascii(g *image.Gray) string {
	var rows []string
	for y := range g.Rect.Dy() {
		rows = append(rows, string(g.Pix[y*g.Stride:][:g.Rect.Dx()]))
	}
	return strings.Join(rows, "/")
}

// Larger than a block, every pixel must still go where the small table says.
func TestOrientationBlocks(t *testing.T) {
	const w, h = 150, 131
	g := image.NewGray(image.Rect(0, 0, w, h))
	for i := range g.Pix {
		g.Pix[i] = uint8(i * 7919 >> 3)
	}
	at := map[int]func(x, y int) (int, int){
		1: func(x, y int) (int, int) { return x, y },
		2: func(x, y int) (int, int) { return w - 1 - x, y },
		3: func(x, y int) (int, int) { return w - 1 - x, h - 1 - y },
		4: func(x, y int) (int, int) { return x, h - 1 - y },
		5: func(x, y int) (int, int) { return y, x },
		6: func(x, y int) (int, int) { return h - 1 - y, x },
		7: func(x, y int) (int, int) { return h - 1 - y, w - 1 - x },
		8: func(x, y int) (int, int) { return y, w - 1 - x },
	}
	for o, to := range at {
		out := oriented(g, o)
		for y := range h {
			for x := range w {
				if i, j := to(x, y); out.GrayAt(i, j) != g.GrayAt(x, y) {
					t.Fatalf("orientation %d: stored (%d, %d) is not at (%d, %d)", o, x, y, i, j)
				}
			}
		}
	}
}

// Turned as EXIF asks, the picture read is the picture drawn.
func TestReadOrientation(t *testing.T) {
	for o := 1; o <= 8; o++ {
		data := withEXIF(o, o%2 == 0, 300, 300, 2)
		dpi, p := readDPI(t, data)
		if dpi != 300 {
			t.Errorf("orientation %d: %v dpi", o, dpi)
		}
		if (o == 1) != (len(p.Notes) == 0) {
			t.Errorf("orientation %d: notes %q", o, p.Notes)
		}
		back := []int{0, 1, 2, 3, 4, 5, 8, 7, 6}[o] // undoes o
		p.Gray = oriented(p.Gray, back)
		wantLantern(t, p, 12)
	}
}

// Colours are those that were stored, over white, turned and stretched as the
// greys are.
func TestReadColours(t *testing.T) {
	stored := image.NewNRGBA(image.Rect(0, 0, 3, 2))
	for i := range stored.Pix {
		stored.Pix[i] = 255
	}
	stored.SetNRGBA(0, 0, color.NRGBA{200, 40, 10, 255})
	stored.SetNRGBA(2, 1, color.NRGBA{0, 0, 255, 51}) // a fifth of blue over white
	var b bytes.Buffer
	if err := png.Encode(&b, stored); err != nil {
		t.Fatal(err)
	}
	for o, at := range map[int][2]image.Point{1: {{0, 0}, {2, 1}}, 3: {{2, 1}, {0, 0}}, 6: {{1, 0}, {0, 2}}, 8: {{0, 2}, {1, 0}}} {
		data := bytes.Join([][]byte{b.Bytes()[:33], pngChunk("eXIf", exifTags(o, false, 300, 300, 2)), b.Bytes()[33:]}, nil)
		p, err := Read(bytes.NewReader(data), &ReadOptions{Colours: true})
		if err != nil {
			t.Fatal(err)
		}
		if p.Colours.Rect != p.Gray.Rect {
			t.Fatalf("orientation %d: colours %v, greys %v", o, p.Colours.Rect, p.Gray.Rect)
		}
		if c := p.Colours.RGBAAt(at[0].X, at[0].Y); c != (color.RGBA{200, 40, 10, 255}) {
			t.Errorf("orientation %d: %v at %v", o, c, at[0])
		}
		if c := p.Colours.RGBAAt(at[1].X, at[1].Y); c != (color.RGBA{204, 204, 255, 255}) {
			t.Errorf("orientation %d: %v at %v", o, c, at[1])
		}
	}
	oblong := withDensity(t, 1, 11811, 5906)
	p, err := Read(bytes.NewReader(oblong), &ReadOptions{Colours: true})
	if err != nil || p.Colours.Rect != p.Gray.Rect {
		t.Errorf("oblong pixels: %v", err)
	}
	if p, err := Read(bytes.NewReader(oblong), nil); err != nil || p.Colours != nil {
		t.Errorf("colours unasked for: %v", err)
	}
}

// EXIF in a PNG's eXIf chunk counts; JFIF's placeholder gives way to EXIF's
// number; two believable numbers that differ are named.
func TestReadEXIFSources(t *testing.T) {
	if dpi, _ := readDPI(t, withChunk(t, "eXIf", exifTags(1, true, 600, 600, 2))); math.Abs(dpi-600) > 1e-9 {
		t.Errorf("eXIf: %v dpi, want 600", dpi)
	}
	jfif := func(x byte) []byte {
		return []byte("\xff\xe0\x00\x10JFIF\x00\x01\x02\x01\x00" + string(x) + "\x00" + string(x) + "\x00\x00")
	}
	exif := app1(exifTags(1, false, 240, 240, 2))
	if dpi, p := readDPI(t, withSegments(jfif(72), exif)); math.Abs(dpi-240) > 1e-9 || len(p.Doubts) != 0 {
		t.Errorf("JFIF 72, EXIF 240: %v dpi, doubts %q", dpi, p.Doubts)
	}
	if dpi, p := readDPI(t, withSegments(jfif(100), exif)); dpi != 100 || len(p.Doubts) != 1 || !strings.Contains(p.Doubts[0], "240 dpi, which differs") {
		t.Errorf("JFIF 100, EXIF 240: %v dpi, doubts %q", dpi, p.Doubts)
	}
}
