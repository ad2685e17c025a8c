package offset

import (
	"math"
	"math/rand/v2"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/ring"
)

// lacePage is a page of paper lace of about n vertices, most of them in small
// rings of 7 to 14: the curved bands of a large pattern, some 8 mm wide, are
// filled with a mesh on a lattice of 2.46 mm: with small islands where the band
// is cut, with small openings where it is paper.
func lacePage(n int, seed uint64) *geom.MultiPolygon {
	const pitch, step = 2.46, 0.6
	side := math.Sqrt(float64(n)*0.77) + 4 // mm
	rng := rand.New(rand.NewPCG(seed, 1))
	cells := int(side/step) + 1
	field := noise(cells, cells, 11/step, seed)
	rings := contour(field, cells, cells, step)
	for row := 0; float64(row)*pitch*math.Sqrt(3)/2 < side; row++ {
		for col := 0; float64(col)*pitch < side; col++ {
			x := (float64(col) + 0.5*float64(row%2)) * pitch
			y := float64(row) * pitch * math.Sqrt(3) / 2
			corners := 7 + rng.IntN(8)
			size := 0.6 + 0.4*rng.Float64()
			a, b := rng.Float64()*2*math.Pi, rng.Float64()*2*math.Pi
			if !clear(field, cells, x/step, y/step, 1.5/step) {
				continue
			}
			var r []float64
			for k := range corners {
				t := 2 * math.Pi * (float64(k) + 0.3*rng.Float64()) / float64(corners)
				rad := size * (0.84 + 0.1*math.Cos(2*t+a) + 0.1*math.Cos(3*t+b))
				r = append(r, x+rad*math.Cos(t), y+rad*math.Sin(t))
			}
			rings = append(rings, append(r, r[0], r[1]))
		}
	}
	return ring.Nest(rings)
}

// clear reports whether the field keeps its sign, and the page goes on, within
// reach of (x, y).
func clear(f []float64, n int, x, y, reach float64) bool {
	i0, i1, j0, j1 := int(x-reach), int(x+reach)+1, int(y-reach), int(y+reach)+1
	if i0 < 1 || j0 < 1 || i1 > n-2 || j1 > n-2 {
		return false
	}
	for j := j0; j <= j1; j++ {
		for i := i0; i <= i1; i++ {
			if (f[j*n+i] > 0) != (f[j0*n+i0] > 0) {
				return false
			}
		}
	}
	return true
}

// noisePage is the contour at level 0 of smooth random noise whose features are
// about size mm wide, by marching squares with linear interpolation on a grid of
// step mm: curves that wind, nest and come near each other in every way.
func noisePage(width, height, size, step float64, seed uint64) *geom.MultiPolygon {
	nx, ny := int(width/step)+1, int(height/step)+1
	field := noise(nx, ny, size/step, seed)
	return ring.Nest(contour(field, nx, ny, step))
}

// noise sums two octaves of lattice noise, smoothly interpolated.
func noise(nx, ny int, cell float64, seed uint64) []float64 {
	rng := rand.New(rand.NewPCG(seed, 2))
	out := make([]float64, nx*ny)
	for octave, amp := 0, 1.0; octave < 2; octave, amp, cell = octave+1, amp*0.5, cell*0.47 {
		lx := int(float64(nx)/cell) + 3
		ly := int(float64(ny)/cell) + 3
		lat := make([]float64, lx*ly)
		for i := range lat {
			lat[i] = rng.Float64()*2 - 1
		}
		smooth := func(t float64) float64 { return t * t * t * (t*(6*t-15) + 10) }
		for j := range ny {
			fy := float64(j) / cell
			jy := int(fy)
			ty := smooth(fy - float64(jy))
			for i := range nx {
				fx := float64(i) / cell
				ix := int(fx)
				tx := smooth(fx - float64(ix))
				k := jy*lx + ix
				top := lat[k] + tx*(lat[k+1]-lat[k])
				bottom := lat[k+lx] + tx*(lat[k+lx+1]-lat[k+lx])
				out[j*nx+i] += amp * (top + ty*(bottom-top))
			}
		}
	}
	return out
}

// contour returns the rings around the cells of positive value; the border is
// taken as negative.
func contour(f []float64, nx, ny int, step float64) [][]float64 {
	at := func(i, j int) float64 {
		if i <= 0 || j <= 0 || i >= nx-1 || j >= ny-1 {
			return -1
		}
		if v := f[j*nx+i]; v != 0 {
			return v
		}
		return 1e-9
	}
	// A crossing is named by its grid edge: 2·(j·nx+i), plus 1 if upright.
	next := make(map[int]int)
	point := func(e int) (float64, float64) {
		i, j := e/2%nx, e/2/nx
		a := at(i, j)
		if e%2 == 0 {
			b := at(i+1, j)
			return (float64(i) + a/(a-b)) * step, float64(j) * step
		}
		b := at(i, j+1)
		return float64(i) * step, (float64(j) + a/(a-b)) * step
	}
	var order []int
	for j := range ny - 1 {
		for i := range nx - 1 {
			v := [4]float64{at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1)}
			e := [4]int{2 * (j*nx + i), 2*(j*nx+i+1) + 1, 2 * ((j+1)*nx + i), 2*(j*nx+i) + 1}
			var in, out []int // crossings where a walk around the cell enters and leaves the area
			for k := range 4 {
				if a, b := v[k] > 0, v[(k+1)%4] > 0; !a && b {
					in = append(in, e[k])
				} else if a && !b {
					out = append(out, e[k])
				}
			}
			add := func(a, b int) {
				next[a] = b
				order = append(order, a)
			}
			switch len(in) {
			case 1:
				add(out[0], in[0])
			case 2: // a saddle: each corner of the area by itself
				first := v[0] > 0
				for k := range 2 {
					if first {
						add(out[k], in[(k+1)%2])
					} else {
						add(out[k], in[k])
					}
				}
			}
		}
	}
	var rings [][]float64
	for _, s := range order {
		if _, ok := next[s]; !ok {
			continue
		}
		var r []float64
		for e := s; ; {
			n, ok := next[e]
			if !ok {
				break
			}
			x, y := point(e)
			r = append(r, x, y)
			delete(next, e)
			e = n
		}
		rings = append(rings, append(r, r[0], r[1]))
	}
	return rings
}
