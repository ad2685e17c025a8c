package trace

import (
	"bytes"
	"image"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"sync"
	"testing"

	"golang.org/x/image/vector"
)

// A scene is what a degraded picture shows, in true sheet millimetres, and how
// the picture was taken. It is seeded: the same seed gives the same bytes.
type scene struct {
	rng    *rand.Rand
	ink    [][]vec2 // rings in sheet mm, filled by the nonzero rule
	sheetW float64
	sheetH float64

	w, h    int               // pixels of the picture
	toPixel func(p vec2) vec2 // sheet mm to picture pixels

	table   func(s *scene) []float32 // reflectance round the sheet, nil: all is sheet
	over    func(s *scene) []blot    // what lies on the sheet, nil: nothing
	paper   float64                  // reflectances, linear
	inkTone float64
	grain   float64 // spread of the ink's reflectance
	rough   float64 // mm by which the ink's edge wanders
	pencil  int     // guide lines
	dust    int     // specks, dark on paper and light on ink
	hairs   int
	blur    float64                    // sigma in pixels
	light   func(x, y float64) float64 // of picture position 0..1, linear
	noise   float64                    // sigma, linear, at paper white
	quality int                        // of the JPEG, 0 for none
}

// A blot is one ring drawn at a tone.
type blot struct {
	ring []vec2 // mm
	tone float64
}

// take renders the scene: coverage by area, in linear light, then blur, light,
// noise, sRGB (IEC 61966-2-1) and JPEG.
func (s *scene) take(t testing.TB) *image.Gray {
	t.Helper()
	img := make([]float32, s.w*s.h)
	for i := range img {
		img[i] = float32(s.paper)
	}
	if s.table != nil {
		under := s.table(s)
		sheet := s.coverage([][]vec2{rectRing(0, 0, s.sheetW, s.sheetH)})
		for i, c := range sheet {
			img[i] = under[i] + (float32(s.paper)-under[i])*c
		}
	}
	for range s.pencil {
		y := s.sheetH * (0.1 + 0.8*s.rng.Float64())
		s.blot(img, blot{thickLine([]vec2{{0.05 * s.sheetW, y}, {0.95 * s.sheetW, y + 3*s.rng.Float64()}}, 0.35), 0.55 + 0.1*s.rng.Float64()})
	}
	edge := s.ink
	if s.rough > 0 {
		edge = roughened(edge, s.rough, s.rng)
	}
	for i, c := range s.coverage(edge) {
		if c == 0 {
			continue
		}
		tone := s.inkTone
		if s.grain > 0 {
			tone = max(0.01, tone+s.grain*s.rng.NormFloat64())
		}
		img[i] += (float32(tone) - img[i]) * c
	}
	for i := range s.dust {
		x, y := s.sheetW*s.rng.Float64(), s.sheetH*s.rng.Float64()
		tone := 0.05
		if i%3 == 0 {
			tone = 0.8
		}
		s.blot(img, blot{discRing(x, y, 0.05+0.1*s.rng.Float64()), tone})
	}
	for range s.hairs {
		s.blot(img, blot{thickLine(curl(s.sheetW*s.rng.Float64(), s.sheetH*s.rng.Float64(), s.rng), 0.09), 0.15})
	}
	if s.over != nil {
		for _, b := range s.over(s) {
			s.blot(img, b)
		}
	}
	img = blurredBy(img, s.w, s.h, s.blur)
	g := image.NewGray(image.Rect(0, 0, s.w, s.h))
	encode := encodeTable()
	for y := range s.h {
		for x := range s.w {
			v := float64(img[y*s.w+x])
			if s.light != nil {
				v *= s.light((float64(x)+0.5)/float64(s.w), (float64(y)+0.5)/float64(s.h))
			}
			v += s.noise * math.Sqrt(0.1+0.9*max(v, 0)) * s.rng.NormFloat64()
			g.Pix[y*g.Stride+x] = encode[int(min(max(v, 0), 1)*encodeSteps+0.5)]
		}
	}
	if s.quality == 0 {
		return g
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, g, &jpeg.Options{Quality: s.quality}); err != nil {
		t.Fatal(err)
	}
	p, err := Read(&b, nil)
	if err != nil {
		t.Fatal(err)
	}
	return p.Gray
}

const encodeSteps = 1<<16 - 1

// encodeTable holds the sRGB values of light in steps.
var encodeTable = sync.OnceValue(func() []uint8 {
	t := make([]uint8, encodeSteps+1)
	for i := range t {
		t[i] = uint8(math.Round(255 * encodeSRGB(float64(i)/encodeSteps)))
	}
	return t
})

func encodeSRGB(v float64) float64 {
	if v <= 0.0031308 {
		return 12.92 * v
	}
	return 1.055*math.Pow(v, 1/2.4) - 0.055
}

// coverage is the share of each pixel that the rings, given in mm, fill.
func (s *scene) coverage(rings [][]vec2) []float32 {
	z := vector.NewRasterizer(s.w, s.h)
	for _, ring := range rings {
		for i, p := range ring {
			q := ring[(i+1)%len(ring)]
			// Short steps, as the way to pixels need not keep lines straight.
			n := max(1, int(math.Ceil(math.Hypot(q.x-p.x, q.y-p.y)/2)))
			for k := range n {
				f := float64(k) / float64(n)
				d := s.toPixel(vec2{p.x + f*(q.x-p.x), p.y + f*(q.y-p.y)})
				if i == 0 && k == 0 {
					z.MoveTo(float32(d.x), float32(d.y))
				} else {
					z.LineTo(float32(d.x), float32(d.y))
				}
			}
		}
		z.ClosePath()
	}
	mask := image.NewAlpha(image.Rect(0, 0, s.w, s.h))
	z.Draw(mask, mask.Rect, image.Opaque, image.Point{})
	c := make([]float32, len(mask.Pix))
	for i, v := range mask.Pix {
		c[i] = float32(v) / 255
	}
	return c
}

// blot draws a small ring within its own bounds.
func (s *scene) blot(img []float32, b blot) {
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	px := make([]vec2, len(b.ring))
	for i, p := range b.ring {
		px[i] = s.toPixel(p)
		x0, y0 = min(x0, px[i].x), min(y0, px[i].y)
		x1, y1 = max(x1, px[i].x), max(y1, px[i].y)
	}
	r := image.Rect(int(x0)-1, int(y0)-1, int(x1)+2, int(y1)+2).Intersect(image.Rect(0, 0, s.w, s.h))
	if r.Empty() {
		return
	}
	z := vector.NewRasterizer(r.Dx(), r.Dy())
	for i, p := range px {
		x, y := float32(p.x-float64(r.Min.X)), float32(p.y-float64(r.Min.Y))
		if i == 0 {
			z.MoveTo(x, y)
		} else {
			z.LineTo(x, y)
		}
	}
	z.ClosePath()
	mask := image.NewAlpha(image.Rect(0, 0, r.Dx(), r.Dy()))
	z.Draw(mask, mask.Rect, image.Opaque, image.Point{})
	for y := range r.Dy() {
		for x := range r.Dx() {
			c := float32(mask.Pix[y*mask.Stride+x]) / 255
			at := &img[(y+r.Min.Y)*s.w+x+r.Min.X]
			*at += (float32(b.tone) - *at) * c
		}
	}
}

func rectRing(x0, y0, x1, y1 float64) []vec2 {
	return []vec2{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}
}

func discRing(x, y, r float64) []vec2 {
	const n = 180
	ring := make([]vec2, n)
	for i := range ring {
		a := 2 * math.Pi * float64(i) / n
		ring[i] = vec2{x + r*math.Cos(a), y + r*math.Sin(a)}
	}
	return ring
}

func reversedRing(ring []vec2) []vec2 {
	out := make([]vec2, len(ring))
	for i, p := range ring {
		out[len(ring)-1-i] = p
	}
	return out
}

// thickLine is a line of a width as a ring.
func thickLine(line []vec2, width float64) []vec2 {
	var left, right []vec2
	for i, p := range line {
		a, b := line[max(i-1, 0)], line[min(i+1, len(line)-1)]
		d := math.Hypot(b.x-a.x, b.y-a.y)
		nx, ny := (b.y-a.y)/d*width/2, -(b.x-a.x)/d*width/2
		left = append(left, vec2{p.x + nx, p.y + ny})
		right = append(right, vec2{p.x - nx, p.y - ny})
	}
	return append(left, reversedRing(right)...)
}

func curl(x, y float64, rng *rand.Rand) []vec2 {
	a, turn := 2*math.Pi*rng.Float64(), 0.2*rng.NormFloat64()
	line := []vec2{{x, y}}
	for range 20 {
		a += turn
		x, y = x+0.4*math.Cos(a), y+0.4*math.Sin(a)
		line = append(line, vec2{x, y})
	}
	return line
}

// roughened moves the points of rings by smooth noise of about the given size.
func roughened(rings [][]vec2, by float64, rng *rand.Rand) [][]vec2 {
	out := make([][]vec2, len(rings))
	for k, ring := range rings {
		ring = subdividedRing(ring, 0.3)
		n := len(ring)
		out[k] = make([]vec2, n)
		off := make([]float64, n)
		for i := range off {
			off[i] = by * rng.NormFloat64()
		}
		for i, p := range ring {
			a, b := ring[(i+n-1)%n], ring[(i+1)%n]
			d := math.Hypot(b.x-a.x, b.y-a.y)
			if d == 0 {
				out[k][i] = p
				continue
			}
			o := (off[(i+n-1)%n] + 2*off[i] + off[(i+1)%n]) / math.Sqrt(6)
			out[k][i] = vec2{p.x - o*(b.y-a.y)/d, p.y + o*(b.x-a.x)/d}
		}
	}
	return out
}

func subdividedRing(ring []vec2, step float64) []vec2 {
	var out []vec2
	for i, p := range ring {
		q := ring[(i+1)%len(ring)]
		n := max(1, int(math.Ceil(math.Hypot(q.x-p.x, q.y-p.y)/step)))
		for k := range n {
			f := float64(k) / float64(n)
			out = append(out, vec2{p.x + f*(q.x-p.x), p.y + f*(q.y-p.y)})
		}
	}
	return out
}

func blurredBy(img []float32, w, h int, sigma float64) []float32 {
	if sigma == 0 {
		return img
	}
	r := int(math.Ceil(3 * sigma))
	k := make([]float32, 2*r+1)
	var sum float32
	for i := range k {
		k[i] = float32(math.Exp(-float64((i-r)*(i-r)) / (2 * sigma * sigma)))
		sum += k[i]
	}
	tmp, out := make([]float32, w*h), make([]float32, w*h)
	for y := range h {
		row := img[y*w:][:w]
		for x := range w {
			var v float32
			for i, f := range k {
				v += f * row[min(max(x+i-r, 0), w-1)]
			}
			tmp[y*w+x] = v / sum
		}
	}
	for y := range h {
		dst := out[y*w:][:w]
		for i, f := range k {
			src := tmp[min(max(y+i-r, 0), h-1)*w:][:w]
			for x, v := range src {
				dst[x] += f * v / sum
			}
		}
	}
	return out
}
