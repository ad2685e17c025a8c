package main

import (
	"encoding/binary"
	"hash/crc32"
	"io"
	"math"

	"example.org/kerfleaf/internal/length"
)

// pngHead is the length of a PNG file's signature and header chunk (W3C PNG,
// 5.2 and 11.2.1): what must come before the resolution.
const pngHead = 8 + 8 + 13 + 4

// physWriter passes a PNG file on and puts its resolution behind the header, as
// a pHYs chunk (W3C PNG, 11.3.4.3), which image/png does not write.
type physWriter struct {
	w    io.Writer
	dpi  float64
	seen int
}

func (p *physWriter) Write(b []byte) (int, error) {
	n := 0
	if p.seen < pngHead {
		n = min(pngHead-p.seen, len(b))
		if k, err := p.w.Write(b[:n]); err != nil {
			return k, err
		}
		p.seen += n
		if p.seen < pngHead {
			return n, nil
		}
		if _, err := p.w.Write(physChunk(p.dpi)); err != nil {
			return n, err
		}
	}
	k, err := p.w.Write(b[n:])
	return n + k, err
}

// physChunk is the whole chunk: length, name, pixels per metre along x and y,
// the unit 1 (metre), and the checksum of name and data.
func physChunk(dpi float64) []byte {
	perMetre := uint32(math.Round(dpi / length.MMPerInch * 1000))
	c := binary.BigEndian.AppendUint32(nil, 9)
	c = append(c, "pHYs"...)
	c = binary.BigEndian.AppendUint32(c, perMetre)
	c = binary.BigEndian.AppendUint32(c, perMetre)
	c = append(c, 1)
	return binary.BigEndian.AppendUint32(c, crc32.ChecksumIEEE(c[4:]))
}
