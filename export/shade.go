package export

import (
	"image"
	"image/color"

	"github.com/fogleman/gg"
)

// A mask holds how much of each pixel is covered, 0 to 1, row by row.
type mask struct {
	w, h int
	v    []float32
}

// masked returns the coverage of what draw draws, in any opaque colour.
func masked(w, h int, draw func(dc *gg.Context)) mask {
	dc := gg.NewContext(w, h)
	dc.SetRGB(0, 0, 0)
	draw(dc)
	img := dc.Image().(*image.RGBA)
	m := mask{w, h, make([]float32, w*h)}
	for i := range m.v {
		m.v[i] = float32(img.Pix[4*i+3]) / 255
	}
	return m
}

// at is the coverage at a pixel, off the mask that of its nearest pixel.
func (m mask) at(x, y int) float32 {
	return m.v[min(max(y, 0), m.h-1)*m.w+min(max(x, 0), m.w-1)]
}

// near is the coverage at a place between pixel centres, by bilinear interpolation.
func (m mask) near(x, y float64) float32 {
	ix, iy := floor(x), floor(y)
	fx, fy := float32(x-float64(ix)), float32(y-float64(iy))
	top := m.at(ix, iy)*(1-fx) + m.at(ix+1, iy)*fx
	bottom := m.at(ix, iy+1)*(1-fx) + m.at(ix+1, iy+1)*fx
	return top*(1-fy) + bottom*fy
}

func floor(v float64) int {
	i := int(v)
	if v < float64(i) {
		i--
	}
	return i
}

// blurred returns the mask under a bell of about the given standard deviation in pixels: three means over a square, one
// after the other, whose variances (side² - 1)/12 add up to about that of the bell. Beyond the edge counts as the edge.
func (m mask) blurred(sigma float64) mask {
	radius := int(sigma + 0.5) // three squares of side 2r+1 have the variance r(r+1), so sigma is about r + 1/2
	out := mask{m.w, m.h, append([]float32(nil), m.v...)}
	if radius < 1 {
		return out
	}
	other := make([]float32, len(out.v))
	for range 3 {
		for y := range m.h {
			meanRow(other[y*m.w:(y+1)*m.w], out.v[y*m.w:(y+1)*m.w], radius)
		}
		meanColumns(out.v, other, m.w, m.h, radius)
	}
	return out
}

// meanRow sets each value of dst to the mean of those of src within radius.
func meanRow(dst, src []float32, radius int) {
	n := len(src)
	share := 1 / float32(2*radius+1)
	sum := src[0] * float32(radius)
	for i := 0; i <= radius; i++ {
		sum += src[min(i, n-1)]
	}
	for i := range dst {
		dst[i] = sum * share
		sum += src[min(i+radius+1, n-1)] - src[max(i-radius, 0)]
	}
}

// meanColumns does the same for the columns of w by h values, row by row since memory lies that way.
func meanColumns(dst, src []float32, w, h, radius int) {
	share := 1 / float32(2*radius+1)
	row := func(y int) []float32 { y = min(max(y, 0), h-1); return src[y*w : y*w+w] }
	sum := make([]float32, w)
	for y := -radius; y <= radius; y++ {
		for x, v := range row(y) {
			sum[x] += v
		}
	}
	for y := range h {
		out, in, gone := dst[y*w:y*w+w], row(y+radius+1), row(y-radius)
		for x := range out {
			out[x] = sum[x] * share
			sum[x] += in[x] - gone[x]
		}
	}
}

// paint lays the colour over img where the mask, moved by (dx, dy) pixels, covers it, at the given strength.
func (m mask) paint(img *image.RGBA, c color.NRGBA, strength float32, dx, dy int) {
	for y := range m.h {
		for x := range m.w {
			a := m.at(x-dx, y-dy) * strength
			if a <= 0 {
				continue
			}
			p := img.Pix[img.PixOffset(x, y):]
			p[0] = blend(p[0], c.R, a)
			p[1] = blend(p[1], c.G, a)
			p[2] = blend(p[2], c.B, a)
		}
	}
}

func blend(under, over uint8, a float32) uint8 {
	return uint8(float32(under)*(1-a) + float32(over)*a + 0.5)
}
