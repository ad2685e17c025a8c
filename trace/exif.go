package trace

import (
	"encoding/binary"
	"image"
)

// Tags of a TIFF image file directory (TIFF 6.0, Adobe 1992, section 8; CIPA
// DC-008, 4.6) that matter here.
const (
	tagOrientation    = 274
	tagXResolution    = 282
	tagYResolution    = 283
	tagResolutionUnit = 296
)

// addTags reads the first directory of the TIFF structure in data, which EXIF
// uses too. What makes no sense is passed over: tags are an extra.
func (m *meta) addTags(data []byte, from string) {
	if len(data) < 8 {
		return
	}
	var order binary.ByteOrder
	switch string(data[:4]) {
	case "II*\x00":
		order = binary.LittleEndian
	case "MM\x00*":
		order = binary.BigEndian
	default:
		return
	}
	at := int64(order.Uint32(data[4:]))
	if at+2 > int64(len(data)) {
		return
	}
	count := int64(order.Uint16(data[at:]))
	d := density{perInch: 1, from: from} // ResolutionUnit defaults to inch
	for i := range count {
		e := at + 2 + 12*i
		if e+12 > int64(len(data)) {
			break
		}
		entry := data[e : e+12]
		short := int(order.Uint16(entry[8:]))
		switch order.Uint16(entry) {
		case tagOrientation:
			if short >= 1 && short <= 8 {
				m.orientation = short
			}
		case tagXResolution:
			d.x = rational(data, order, entry)
		case tagYResolution:
			d.y = rational(data, order, entry)
		case tagResolutionUnit:
			switch short {
			case 1:
				d.perInch = 0
			case 3:
				d.perInch = 2.54
			}
		}
	}
	if d.x > 0 && d.y > 0 {
		m.densities = append(m.densities, d)
	}
}

// rational is the value of an entry of type RATIONAL (5), 0 when it has none.
func rational(data []byte, order binary.ByteOrder, entry []byte) float64 {
	at := int64(order.Uint32(entry[8:]))
	if order.Uint16(entry[2:]) != 5 || at+8 > int64(len(data)) {
		return 0
	}
	num, den := order.Uint32(data[at:]), order.Uint32(data[at+4:])
	if den == 0 {
		return 0
	}
	return float64(num) / float64(den)
}

// orientationNote says what EXIF orientation o asks for, empty for nothing.
func orientationNote(o int) string {
	return [...]string{
		2: "mirrored left to right, as its EXIF orientation asks",
		3: "turned by 180 degrees, as its EXIF orientation asks",
		4: "mirrored top to bottom, as its EXIF orientation asks",
		5: "mirrored and turned by 90 degrees to the left, as its EXIF orientation asks",
		6: "turned by 90 degrees to the right, as its EXIF orientation asks",
		7: "mirrored and turned by 90 degrees to the right, as its EXIF orientation asks",
		8: "turned by 90 degrees to the left, as its EXIF orientation asks",
	}[o]
}

// oriented returns g as it should be seen when stored with EXIF orientation o.
func oriented(g *image.Gray, o int) *image.Gray {
	pix, size := orientedPixels(g.Pix, g.Stride, 1, g.Rect.Size(), o)
	return &image.Gray{Pix: pix, Stride: size.X, Rect: image.Rectangle{Max: size}}
}

// orientedColours is oriented for colours.
func orientedColours(m *image.RGBA, o int) *image.RGBA {
	pix, size := orientedPixels(m.Pix, m.Stride, 4, m.Rect.Size(), o)
	return &image.RGBA{Pix: pix, Stride: 4 * size.X, Rect: image.Rectangle{Max: size}}
}

// orientedPixels turns pixels of n bytes, 1 or 4, and returns them with the size
// of their picture: the stored row 0 is its top (1, 2), bottom (3, 4), left (5, 8)
// or right (6, 7) side, and column 0 follows likewise (CIPA DC-008, tag 274).
func orientedPixels(pix []uint8, stride, n int, size image.Point, o int) ([]uint8, image.Point) {
	w, h := size.X, size.Y
	// Stored pixel (x, y) goes to place start + x*dx + y*dy.
	start, dx, dy := 0, 1, w
	switch o {
	case 2:
		start, dx, dy = w-1, -1, w
	case 3:
		start, dx, dy = w*h-1, -1, -w
	case 4:
		start, dx, dy = w*(h-1), 1, -w
	case 5:
		start, dx, dy = 0, h, 1
	case 6:
		start, dx, dy = h-1, h, -1
	case 7:
		start, dx, dy = w*h-1, -h, -1
	case 8:
		start, dx, dy = h*(w-1), -h, 1
	}
	if o >= 5 {
		size = image.Pt(h, w)
	}
	out := make([]uint8, w*h*n)
	// Blocks keep both sides of a transpose within the cache.
	const block = 64
	for by := 0; by < h; by += block {
		for bx := 0; bx < w; bx += block {
			for y := by; y < min(by+block, h); y++ {
				row := pix[y*stride:]
				at := start + bx*dx + y*dy
				for x := bx; x < min(bx+block, w); x++ {
					if n == 1 {
						out[at] = row[x]
					} else {
						copy(out[4*at:][:4], row[4*x:])
					}
					at += dx
				}
			}
		}
	}
	return out, size
}
