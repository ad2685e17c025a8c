package trace

import (
	"image"
	"math"
	"runtime"
	"sync"
)

// linear is the light that an sRGB value stands for, 0 to 1 (IEC 61966-2-1).
// Mixed pixels at an edge mix light, so an edge is only where it was drawn when
// it is looked for in light: half-way in encoded values thins ink.
var linear = func() (t [256]float32) {
	for i := range t {
		v := float64(i) / 255
		if v <= 0.04045 {
			v /= 12.92
		} else {
			v = math.Pow((v+0.055)/1.055, 2.4)
		}
		t[i] = float32(v)
	}
	return t
}()

// A field is a grid of numbers that covers a picture, step pixels to a cell.
type field struct {
	w, h int
	step float64 // side of a cell in picture pixels
	v    []float32
}

func newField(w, h int, step float64) *field {
	return &field{w: w, h: h, step: step, v: make([]float32, w*h)}
}

// at interpolates linearly at a point in picture pixels; beyond the outer cell
// centres it keeps their values.
func (f *field) at(x, y float64) float32 {
	x, y = x/f.step-0.5, y/f.step-0.5
	x, y = min(max(x, 0), float64(f.w-1)), min(max(y, 0), float64(f.h-1))
	i, j := min(int(x), max(f.w-2, 0)), min(int(y), max(f.h-2, 0))
	fx, fy := float32(x-float64(i)), float32(y-float64(j))
	right, down := min(1, f.w-1-i), min(1, f.h-1-j)*f.w
	p := f.v[j*f.w+i:]
	top := p[0] + fx*(p[right]-p[0])
	bottom := p[down] + fx*(p[down+right]-p[down])
	return top + fy*(bottom-top)
}

// coarseSide is the most cells that the long side of a coarse picture has: a
// cell of an A4 sheet is then 0.3 mm, smaller than a web that holds.
const coarseSide = 1000

// coarse is the mean light of square blocks of g.
func coarse(g *image.Gray) *field {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	n := max(1, (max(w, h)+coarseSide-1)/coarseSide)
	c := newField((w+n-1)/n, (h+n-1)/n, float64(n))
	eachBand(c.h, func(y0, y1 int) {
		for j := y0; j < y1; j++ {
			row := c.v[j*c.w:][:c.w]
			rows := min(n, h-j*n)
			for y := j * n; y < j*n+rows; y++ {
				src := g.Pix[y*g.Stride:][:w]
				for i := range row {
					var sum float32
					for _, v := range src[i*n : min(i*n+n, w)] {
						sum += linear[v]
					}
					row[i] += sum
				}
			}
			for i := range row {
				row[i] /= float32(rows * min(n, w-i*n))
			}
		}
	})
	return c
}

// eachBand splits n rows into one band for each processor and calls f on all of
// them at once. Bands must not depend on each other.
func eachBand(n int, f func(y0, y1 int)) {
	k := min(runtime.GOMAXPROCS(0), n)
	var wg sync.WaitGroup
	for i := range k {
		wg.Go(func() { f(n*i/k, n*(i+1)/k) })
	}
	wg.Wait()
}
