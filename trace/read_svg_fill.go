package trace

import (
	"image"
	"math"
	"slices"

	"golang.org/x/image/vector"
)

// fill paints rings over what is there.
func (d *svgDrawing) fill(rings [][]vec2, evenOdd bool, tone uint8, alpha float64) {
	box := image.Rectangle{}
	for _, r := range rings {
		box = box.Union(d.bounds(r))
	}
	if box.Empty() {
		return
	}
	cover := nonZero
	if evenOdd {
		cover = oddOnly
	}
	for i, c := range cover(rings, box) {
		if c > 0 {
			v := &d.out.Pix[(i/box.Dx()+box.Min.Y)*d.out.Stride+i%box.Dx()+box.Min.X]
			*v = uint8(float64(*v) + (float64(tone)-float64(*v))*float64(c)/255*alpha + 0.5)
		}
	}
}

// bounds are the pixels that a ring can touch, none for one that is no number
// or too large to draw.
func (d *svgDrawing) bounds(r []vec2) image.Rectangle {
	const most = 1 << 24
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, p := range r {
		if !(math.Abs(p.x) < most && math.Abs(p.y) < most) {
			return image.Rectangle{}
		}
		x0, y0, x1, y1 = min(x0, p.x), min(y0, p.y), max(x1, p.x), max(y1, p.y)
	}
	return image.Rect(int(math.Floor(x0)), int(math.Floor(y0)), int(math.Ceil(x1)), int(math.Ceil(y1))).Intersect(d.out.Rect)
}

// nonZero gives the share of each pixel of a box that rings go round, 0 to 255.
func nonZero(rings [][]vec2, box image.Rectangle) []uint8 {
	z := vector.NewRasterizer(box.Dx(), box.Dy())
	for _, r := range rings {
		for i, p := range r {
			x, y := float32(p.x-float64(box.Min.X)), float32(p.y-float64(box.Min.Y))
			if i == 0 {
				z.MoveTo(x, y)
			} else {
				z.LineTo(x, y)
			}
		}
		z.ClosePath()
	}
	mask := image.NewAlpha(image.Rect(0, 0, box.Dx(), box.Dy()))
	z.Draw(mask, mask.Rect, image.Opaque, image.Point{})
	return mask.Pix
}

// oddOnly gives the share of each pixel of a box within an odd number of rings,
// 0 to 255: exact along each of 15 lines through a row of pixels.
func oddOnly(rings [][]vec2, box image.Rectangle) []uint8 {
	const lines = 15
	w, h := box.Dx(), box.Dy()
	at := make([][]float32, h*lines) // where rings cross each line
	for _, r := range rings {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			if a.y > b.y {
				a, b = b, a
			}
			// Line k lies at Min.Y + (k + 0.5) / lines.
			first := int(math.Ceil((a.y-float64(box.Min.Y))*lines - 0.5))
			last := int(math.Ceil((b.y-float64(box.Min.Y))*lines - 0.5))
			for k := max(first, 0); k < min(last, h*lines); k++ {
				y := float64(box.Min.Y) + (float64(k)+0.5)/lines
				x := a.x + (b.x-a.x)*(y-a.y)/(b.y-a.y) - float64(box.Min.X)
				at[k] = append(at[k], float32(min(max(x, 0), float64(w))))
			}
		}
	}
	out := make([]uint8, w*h)
	sum := make([]float32, w+1)
	for y := range h {
		clear(sum)
		for _, xs := range at[y*lines : (y+1)*lines] {
			slices.Sort(xs)
			for i := 0; i+1 < len(xs); i += 2 {
				x0, x1 := xs[i], xs[i+1]
				i0, i1 := int(x0), int(x1)
				if i0 == i1 {
					sum[i0] += x1 - x0
					continue
				}
				sum[i0] += float32(i0+1) - x0
				for x := i0 + 1; x < i1; x++ {
					sum[x]++
				}
				sum[i1] += x1 - float32(i1)
			}
		}
		for x := range w {
			out[y*w+x] = uint8(min(sum[x]/lines, 1)*255 + 0.5)
		}
	}
	return out
}
