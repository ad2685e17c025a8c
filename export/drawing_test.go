package export

import (
	"math"
	"math/rand/v2"

	"github.com/twpayne/go-geom"
)

// polygon makes a polygon of the rings, each x, y, x, y, … without its last point.
func polygon(rings ...[]float64) *geom.Polygon {
	var flat []float64
	var ends []int
	for _, r := range rings {
		flat = append(append(flat, r...), r[0], r[1])
		ends = append(ends, len(flat))
	}
	return geom.NewPolygonFlat(geom.XY, flat, ends)
}

func square(x, y, side float64) []float64 {
	return []float64{x, y, x + side, y, x + side, y + side, x, y + side}
}

func reversed(ring []float64) []float64 {
	var out []float64
	for i := len(ring) - 2; i >= 0; i -= 2 {
		out = append(out, ring[i], ring[i+1])
	}
	return out
}

func multi(polygons ...*geom.Polygon) *geom.MultiPolygon {
	mp := geom.NewMultiPolygon(geom.XY)
	for _, p := range polygons {
		if err := mp.Push(p); err != nil {
			panic(err)
		}
	}
	return mp
}

// lantern is a small tray blank of 60 x 50 mm with a window, scores, slits and a note: something of every role and
// type.
func lantern() *Drawing {
	return &Drawing{Width: 70, Height: 60, Layers: []Layer{
		{Mountain, []geom.T{
			geom.NewMultiLineStringFlat(geom.XY, []float64{15, 5, 15, 55, 55, 5, 55, 55}, []int{4, 8}),
			geom.NewLineStringFlat(geom.XY, []float64{5, 15, 65, 15}),
		}},
		{Valley, []geom.T{geom.NewLineStringFlat(geom.XY, []float64{5, 45, 65, 45})}},
		{Cut, []geom.T{multi(
			polygon([]float64{25, 22, 45, 22, 35, 40}, reversed([]float64{33, 25, 37, 25, 35, 29.125})),
			polygon([]float64{20.5, 20, 23, 20, 23, 24}),
		)}},
		{Perforation, []geom.T{geom.NewLineStringFlat(geom.XY, []float64{5, 30, 15, 30})}},
		{Cut, []geom.T{geom.NewLinearRingFlat(geom.XY, []float64{5, 5, 65, 5, 65, 55, 5, 55, 5, 5})}},
		{Note, []geom.T{geom.NewLineStringFlat(geom.XY, []float64{1, 58, 51, 58})}},
	}}
}

// page is a sheet of wavy ring-shaped areas with n vertices in all.
func page(n int) *Drawing {
	const perRing, side = 250, 300.0
	rnd := rand.New(rand.NewPCG(7, 11))
	mp := geom.NewMultiPolygon(geom.XY)
	count := n / (2 * perRing)
	columns := int(math.Ceil(math.Sqrt(float64(count))))
	cell := side / float64(columns)
	for i := range count {
		cx, cy := (float64(i%columns)+0.5)*cell, (float64(i/columns)+0.5)*cell
		ring := func(r float64) (flat []float64) {
			phase := rnd.Float64()
			for k := range perRing {
				a := 2 * math.Pi * float64(k) / perRing
				r := r * (1 + 0.1*math.Sin(9*a+phase))
				flat = append(flat, cx+r*math.Cos(a), cy+r*math.Sin(a))
			}
			return flat
		}
		if err := mp.Push(polygon(ring(0.4*cell), reversed(ring(0.2*cell)))); err != nil {
			panic(err)
		}
	}
	return &Drawing{Width: side, Height: side, Layers: []Layer{{Cut, []geom.T{mp}}}}
}
