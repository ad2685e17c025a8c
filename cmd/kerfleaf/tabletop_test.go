package main

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"os"
	"testing"
)

// A tabletop is what a photo shows: a sheet on a wooden table, askew and in
// perspective, and perhaps a scrap of marbled paper on it. Everything is in mm of
// the sheet. The same seed gives the same bytes.
type tabletop struct {
	w, h    float64    // of the sheet
	toPixel [9]float64 // homography
	marbled bool       // the sheet itself
	scrap   *torn      // nil for none
	shadow  float64    // how far it falls from the scrap to the right and the foot
	seed    uint64
}

// A torn piece of paper: its edge is at the distance edge(angle) from (x, y).
type torn struct{ x, y, r float64 }

func (t *torn) edge(a float64) float64 {
	return t.r * (1 + 0.18*math.Sin(2*a+1) + 0.09*math.Sin(3*a+4) + 0.04*math.Sin(7*a+2))
}

// depth is how far in mm a point lies inside the edge, along the ray from the
// middle.
func (t *torn) depth(x, y float64) float64 {
	return t.edge(math.Atan2(y-t.y, x-t.x)) - math.Hypot(x-t.x, y-t.y)
}

const photoWide, photoHigh = 1200, 1600

// camera looks at an A4 sheet from 420 mm, tilted toward its foot and rolled by
// degrees: K [R|t] of a pinhole, for the plane of the sheet.
func camera(tilt, roll float64) [9]float64 {
	const focal, distance = 1500, 420
	st, ct := math.Sincos(tilt * math.Pi / 180)
	sr, cr := math.Sincos(roll * math.Pi / 180)
	axes := [3][2]float64{{cr, -sr}, {ct * sr, ct * cr}, {-st * sr, -st * cr}} // of right, down, away
	var m [9]float64
	for i, f := range [3][2]float64{{focal, photoWide / 2}, {focal, photoHigh / 2}, {0, 1}} {
		a, b := f[0]*axes[i][0]+f[1]*axes[2][0], f[0]*axes[i][1]+f[1]*axes[2][1]
		m[3*i], m[3*i+1], m[3*i+2] = a, b, f[1]*distance-a*105-b*148.5
	}
	return m
}

// marble is the colour of decorated paper at a place, in linear light.
func marble(x, y float64) [3]float64 {
	u := x/9 + 2*math.Sin(y/13) + math.Sin((x+y)/7)
	v := y/11 + 2*math.Sin(x/17+1) + 0.7*math.Sin((x-2*y)/19)
	t := math.Sin(u + 1.6*math.Sin(v))
	switch {
	case t > 0.8:
		return [3]float64{0.75, 0.55, 0.2} // gold veins
	case t > 0.2:
		return [3]float64{0.03, 0.16, 0.2}
	case t > -0.4:
		return [3]float64{0.06, 0.3, 0.3}
	}
	return [3]float64{0.35, 0.06, 0.05}
}

// look is the colour of the scene at a place.
func (t *tabletop) look(x, y float64) [3]float64 {
	onSheet := x >= 0 && y >= 0 && x < t.w && y < t.h
	switch {
	case onSheet && t.scrap != nil && t.scrap.depth(x, y) > 0, onSheet && t.marbled && x > 4 && y > 4 && x < t.w-4 && y < t.h-4:
		return marble(x, y)
	case onSheet && t.shadow > 0:
		v := 1 - 0.45/(1+math.Exp(-3*t.scrap.depth(x-t.shadow, y-t.shadow)))
		return [3]float64{0.74 * v, 0.73 * v, 0.7 * v}
	case onSheet:
		return [3]float64{0.74, 0.73, 0.7}
	}
	g := 1 + 0.15*math.Sin(x/3+4*math.Sin(y/90))
	return [3]float64{0.09 * g, 0.05 * g, 0.03 * g}
}

// picture takes the photo: four samples a pixel, light that falls off, noise.
func (t *tabletop) picture() image.Image {
	rng := rand.New(rand.NewPCG(t.seed, 7))
	m := t.toPixel
	back := [9]float64{ // the adjugate
		m[4]*m[8] - m[5]*m[7], m[2]*m[7] - m[1]*m[8], m[1]*m[5] - m[2]*m[4],
		m[5]*m[6] - m[3]*m[8], m[0]*m[8] - m[2]*m[6], m[2]*m[3] - m[0]*m[5],
		m[3]*m[7] - m[4]*m[6], m[1]*m[6] - m[0]*m[7], m[0]*m[4] - m[1]*m[3],
	}
	out := image.NewRGBA(image.Rect(0, 0, photoWide, photoHigh))
	for y := range photoHigh {
		for x := range photoWide {
			var sum [3]float64
			for k := range 4 {
				px, py := float64(x)+0.25+0.5*float64(k%2), float64(y)+0.25+0.5*float64(k/2)
				d := back[6]*px + back[7]*py + back[8]
				c := t.look((back[0]*px+back[1]*py+back[2])/d, (back[3]*px+back[4]*py+back[5])/d)
				for i := range sum {
					sum[i] += c[i] / 4
				}
			}
			light := 1 - 0.35*float64(x)/photoWide - 0.1*float64(y)/photoHigh
			var rgb [3]uint8
			for i, v := range sum {
				v = max(0, v*light+0.006*rng.NormFloat64())
				rgb[i] = uint8(255*math.Pow(min(v, 1), 1/2.2) + 0.5)
			}
			out.SetRGBA(x, y, color.RGBA{rgb[0], rgb[1], rgb[2], 255})
		}
	}
	return out
}

// taken keeps the photos that tests share.
var taken = map[*tabletop][]byte{}

// save writes the photo as a JPEG.
func (t *tabletop) save(tb testing.TB, name string) {
	tb.Helper()
	if taken[t] == nil {
		var b bytes.Buffer
		if err := jpeg.Encode(&b, t.picture(), &jpeg.Options{Quality: 85}); err != nil {
			tb.Fatal(err)
		}
		taken[t] = b.Bytes()
	}
	if err := os.WriteFile(name, taken[t], 0o644); err != nil {
		tb.Fatal(err)
	}
}

// The photos that the tests use. In lying, the sheet's left side is up.
var (
	marbled  = &torn{110, 150, 80}
	standing = &tabletop{w: 210, h: 297, toPixel: camera(18, 4), scrap: marbled, shadow: 2, seed: 1}
	lying    = &tabletop{w: 210, h: 297, toPixel: camera(15, 93), scrap: marbled, seed: 2}
	whole    = &tabletop{w: 210, h: 297, toPixel: camera(20, -3), marbled: true, seed: 3}
	bare     = &tabletop{w: 210, h: 297, toPixel: camera(18, 4), seed: 4}
)
