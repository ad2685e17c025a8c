package offset

import (
	"fmt"
	"testing"

	"github.com/twpayne/go-geom"
)

// pages of about n vertices, shaped like traced art.
var pages = []struct {
	name string
	make func(n int) *geom.MultiPolygon
}{
	{"lace", func(n int) *geom.MultiPolygon { return lacePage(n, 1) }},
	// About 1.46 vertices for each mm² at a step of 0.4 mm.
	{"noise", func(n int) *geom.MultiPolygon {
		side := 0.0
		for side*side*1.46 < float64(n) {
			side++
		}
		return noisePage(side, side, 2.4, 0.4, 1)
	}},
}

func BenchmarkPolygons(b *testing.B) {
	for _, p := range pages {
		for _, n := range []int{10_000, 100_000, 1_000_000} {
			mp := p.make(n)
			vertices := mp.NumCoords()
			for _, d := range []float64{0.1, -0.1, 1, -1, 3, -3} {
				b.Run(fmt.Sprintf("%s/n=%d/d=%g", p.name, n, d), func(b *testing.B) {
					b.ReportAllocs()
					for b.Loop() {
						if _, err := Polygons(mp, d, nil); err != nil {
							b.Fatal(err)
						}
					}
					b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(vertices), "ns/vertex")
				})
			}
		}
	}
}
