package trace

import (
	"image"
	"image/color"
	"image/draw"
)

// grayOf gives the luma of img over white (ITU-R BT.601 weights). A Gray, and
// the Y plane of a YCbCr, are returned as they are: nothing is copied, and the
// caller must not write to them. The result's Rect starts at (0, 0).
func grayOf(img image.Image) *image.Gray {
	b := img.Bounds()
	rect := image.Rect(0, 0, b.Dx(), b.Dy())
	switch m := img.(type) {
	case *image.Gray:
		return &image.Gray{Pix: m.Pix[m.PixOffset(b.Min.X, b.Min.Y):], Stride: m.Stride, Rect: rect}
	case *image.YCbCr:
		return &image.Gray{Pix: m.Y[m.YOffset(b.Min.X, b.Min.Y):], Stride: m.YStride, Rect: rect}
	}
	g := image.NewGray(rect)
	row := rowReader(img)
	for y := range rect.Dy() {
		row(g.Pix[y*g.Stride:][:rect.Dx()], b.Min.Y+y)
	}
	return g
}

// rowReader returns a function that fills dst with the grey values of row y.
func rowReader(img image.Image) func(dst []uint8, y int) {
	x0 := img.Bounds().Min.X
	switch m := img.(type) {
	case *image.Paletted:
		var table [256]uint8
		for i, c := range m.Palette {
			table[i] = grayOver(c)
		}
		return func(dst []uint8, y int) {
			src := m.Pix[m.PixOffset(x0, y):]
			for i := range dst {
				dst[i] = table[src[i]]
			}
		}
	case *image.Gray16:
		return func(dst []uint8, y int) {
			src := m.Pix[m.PixOffset(x0, y):]
			for i := range dst {
				v := uint32(src[2*i])<<8 | uint32(src[2*i+1])
				dst[i] = uint8((v*255 + 32767) / 65535)
			}
		}
	case *image.NRGBA:
		return func(dst []uint8, y int) {
			src := m.Pix[m.PixOffset(x0, y):]
			for i := range dst {
				p := src[4*i:][:4:4]
				l := luma(uint32(p[0]), uint32(p[1]), uint32(p[2]))
				a := uint32(p[3])
				dst[i] = uint8((l*a + 255*65536*(255-a) + 255*32768) / (255 * 65536))
			}
		}
	case *image.RGBA:
		return func(dst []uint8, y int) {
			src := m.Pix[m.PixOffset(x0, y):]
			for i := range dst {
				p := src[4*i:][:4:4]
				l := luma(uint32(p[0]), uint32(p[1]), uint32(p[2]))
				dst[i] = uint8(min(255, (l+(255-uint32(p[3]))<<16+1<<15)>>16))
			}
		}
	case *image.NYCbCrA:
		return func(dst []uint8, y int) {
			l, a := m.Y[m.YOffset(x0, y):], m.A[m.AOffset(x0, y):]
			for i := range dst {
				dst[i] = uint8((int(l[i])*int(a[i]) + 255*(255-int(a[i])) + 127) / 255)
			}
		}
	}
	return func(dst []uint8, y int) {
		for i := range dst {
			dst[i] = grayOver(img.At(x0+i, y))
		}
	}
}

// coloursOf gives the colours of img over white. The result's Rect starts at
// (0, 0).
func coloursOf(img image.Image) *image.RGBA {
	b := img.Bounds()
	out := image.NewRGBA(image.Rect(0, 0, b.Dx(), b.Dy()))
	draw.Draw(out, out.Rect, image.White, image.Point{}, draw.Src)
	draw.Draw(out, out.Rect, img, b.Min, draw.Over)
	return out
}

// luma is 65536 times the grey value of a colour, in its own units.
func luma(r, g, b uint32) uint32 { return 19595*r + 38470*g + 7471*b }

// grayOver is the grey value of a colour over white.
func grayOver(c color.Color) uint8 {
	r, g, b, a := c.RGBA() // premultiplied, 16 bits
	l := (uint64(19595)*uint64(r) + 38470*uint64(g) + 7471*uint64(b)) >> 16
	return uint8((min(l+uint64(65535-a), 65535)*255 + 32767) / 65535)
}

// onCanvas lays a first frame that covers only part of a GIF's screen on a
// white canvas of the screen's size.
func onCanvas(img image.Image, width, height int) image.Image {
	screen := image.Rect(0, 0, width, height)
	m, ok := img.(*image.Paletted)
	if !ok || m.Rect == screen {
		return img
	}
	canvas := image.NewGray(screen)
	for i := range canvas.Pix {
		canvas.Pix[i] = 255
	}
	draw.Draw(canvas, m.Rect, grayOf(m), image.Point{}, draw.Src)
	return canvas
}
