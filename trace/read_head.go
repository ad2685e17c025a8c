package trace

import (
	"bytes"
	"encoding/binary"
	"io"
)

const (
	sniffLength = 32      // tells every format apart
	smallHead   = 4 << 10 // holds the header and palette of a GIF or BMP
	maxHead     = 32 << 20
)

// A source is a reader whose first bytes can be looked at before decoding. Only
// those are kept, so a large file is not held in memory.
type source struct {
	r    io.Reader
	head []byte
	read int64 // bytes taken from r

	ended bool  // r has no more
	err   error // what r reported, other than its end
}

// grow makes head at least n bytes long, unless the file is shorter, and
// reports whether it is.
func (s *source) grow(n int) bool {
	if n > maxHead {
		return false
	}
	if have := len(s.head); have < n && s.err == nil {
		s.head = append(s.head, make([]byte, n-have)...)
		got, err := io.ReadFull(s.r, s.head[have:])
		s.head = s.head[:have+got]
		s.note(got, err)
	}
	return len(s.head) >= n
}

// growAll reads everything: some formats keep their tags at the end.
func (s *source) growAll() {
	b := bytes.NewBuffer(s.head)
	n, err := b.ReadFrom(s.r)
	s.head = b.Bytes()
	s.note(int(n), err)
}

func (s *source) note(n int, err error) {
	s.read += int64(n)
	switch err {
	case nil:
	case io.EOF, io.ErrUnexpectedEOF:
		s.ended = true
	default:
		s.err = err
	}
}

// Read reads on from r, remembering its errors.
func (s *source) Read(p []byte) (int, error) {
	n, err := s.r.Read(p)
	s.note(n, err)
	return n, err
}

// reader gives the whole file: the head again, then the rest.
func (s *source) reader() io.Reader {
	return io.MultiReader(bytes.NewReader(s.head), s)
}

// meta is what the head of a file says besides its pixels.
type meta struct {
	sized         bool // width and height are known without the decoder
	width, height int
	orientation   int       // EXIF 1 to 8, 0 when absent
	densities     []density // in order of trust
}

// pngMeta walks the chunks before the pixels: IHDR, pHYs and eXIf (W3C
// Portable Network Graphics, third edition, 11.2 and 11.3).
func pngMeta(s *source) meta {
	var m meta
	for at := 8; s.grow(at + 12); {
		n := int(binary.BigEndian.Uint32(s.head[at:]))
		kind := string(s.head[at+4 : at+8])
		if kind == "IDAT" || kind == "IEND" || n > maxHead || !s.grow(at+12+n) {
			break
		}
		data := s.head[at+8 : at+8+n]
		switch {
		case kind == "IHDR" && n == 13:
			m.width = int(binary.BigEndian.Uint32(data))
			m.height = int(binary.BigEndian.Uint32(data[4:]))
			m.sized = true
		case kind == "pHYs" && n == 9:
			d := density{x: float64(binary.BigEndian.Uint32(data)), y: float64(binary.BigEndian.Uint32(data[4:])), from: "PNG pHYs"}
			if data[8] == 1 {
				d.perInch = 0.0254
			}
			m.densities = append(m.densities, d)
		case kind == "eXIf":
			m.addTags(data, "EXIF")
		}
		at += 12 + n
	}
	return m
}

// jpegMeta walks the segments before the scan: JFIF APP0 (ITU-T T.871, 10) and
// EXIF APP1 (CIPA DC-008, 4.7).
func jpegMeta(s *source) meta {
	var m meta
	for at := 2; s.grow(at + 4); {
		if s.head[at] != 0xff {
			break
		}
		marker := s.head[at+1]
		switch {
		case marker == 0xff: // fill byte
			at++
			continue
		case marker == 0x01 || marker >= 0xd0 && marker <= 0xd8: // no length
			at += 2
			continue
		case marker == 0xd9 || marker == 0xda:
			return m
		}
		n := int(binary.BigEndian.Uint16(s.head[at+2:]))
		if n < 2 || !s.grow(at+2+n) {
			break
		}
		data := s.head[at+4 : at+2+n]
		switch {
		case marker == 0xe0 && len(data) >= 12 && string(data[:5]) == "JFIF\x00":
			perInch := [...]float64{0, 1, 2.54}[min(data[7], 3)%3]
			m.densities = append(m.densities, density{
				x:       float64(binary.BigEndian.Uint16(data[8:])),
				y:       float64(binary.BigEndian.Uint16(data[10:])),
				perInch: perInch, from: "JFIF density"})
		case marker == 0xe1 && bytes.HasPrefix(data, []byte("Exif\x00\x00")):
			m.addTags(data[6:], "EXIF")
		case marker >= 0xc0 && marker <= 0xcf && marker != 0xc4 && marker != 0xc8 && marker != 0xcc:
			if len(data) >= 5 { // start of frame: nothing of ours comes later
				m.height = int(binary.BigEndian.Uint16(data[1:]))
				m.width = int(binary.BigEndian.Uint16(data[3:]))
				m.sized = true
			}
			return m
		}
		at += 2 + n
	}
	return m
}

func gifMeta(s *source) meta {
	s.grow(smallHead)
	return meta{}
}

// bmpMeta reads the pixels per metre of a BITMAPINFOHEADER.
func bmpMeta(s *source) meta {
	s.grow(smallHead)
	var m meta
	if len(s.head) >= 46 && binary.LittleEndian.Uint32(s.head[14:]) >= 40 {
		x, y := binary.LittleEndian.Uint32(s.head[38:]), binary.LittleEndian.Uint32(s.head[42:])
		m.densities = []density{{x: float64(x), y: float64(y), perInch: 0.0254, from: "BMP header"}}
	}
	return m
}

func tiffMeta(s *source) meta {
	s.growAll()
	var m meta
	m.addTags(s.head, "TIFF tags")
	return m
}

// webpMeta looks for the EXIF chunk, which follows the pixels (RFC 9649, 2.7).
func webpMeta(s *source) meta {
	s.growAll()
	var m meta
	for at := 12; at+8 <= len(s.head); {
		n := int(binary.LittleEndian.Uint32(s.head[at+4:]))
		if n > len(s.head)-at-8 {
			break
		}
		if string(s.head[at:at+4]) == "EXIF" {
			m.addTags(bytes.TrimPrefix(s.head[at+8:at+8+n], []byte("Exif\x00\x00")), "EXIF")
		}
		at += 8 + n + n&1
	}
	return m
}
