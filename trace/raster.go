package trace

import "image"

// one is a pixel's width in the integer coordinates of outlines.
const one = 1 << 16

// raster is what is traced: the pixels and the level between cut and paper.
type raster struct {
	pix    []byte // row by row, stride apart
	stride int
	w, h   int
	level2 int     // twice the level, which no pixel has
	last   byte    // the greatest value below the level
	flip   bool    // what is lighter is cut
	unit   float64 // of coordinates, for 1/65536 pixel

	// inverse holds 2^32/(2d) for the difference d of two pixels, at d+255:
	// a division would cost as much as all else that a vertex needs.
	inverse [511]int64
	alongs  [16]along
}

// newRaster makes a raster of g; a pixel is so many units of the coordinates.
func newRaster(g *image.Gray, level2 int, flip bool, pixel float64) *raster {
	b := g.Bounds()
	r := &raster{
		pix: g.Pix[g.PixOffset(b.Min.X, b.Min.Y):], stride: g.Stride,
		w: b.Dx(), h: b.Dy(),
		level2: level2, last: byte((level2 - 1) / 2), flip: flip, unit: pixel / one,
	}
	r.alongs = alongs(r.stride)
	for d := 1; d < 256; d++ {
		r.inverse[255+d] = 1 << 31 / int64(d)
		r.inverse[255-d] = -r.inverse[255+d]
	}
	return r
}

// row returns the pixels of row y.
func (r *raster) row(y int) []byte {
	o := y * r.stride
	return r.pix[o : o+r.w : o+r.w]
}

// cutAt says whether a pixel is cut.
func (r *raster) cutAt(x, y int32) bool {
	return (r.pix[int(y)*r.stride+int(x)] <= r.last) != r.flip
}
