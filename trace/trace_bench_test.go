package trace

import (
	"context"
	"fmt"
	"image"
	"math"
	"testing"
)

// BenchmarkPage is tracing alone, from pixels in memory to nested polygons of
// every vertex, at a given level: compare testdata/yardstick.py.
func BenchmarkPage(b *testing.B) {
	g := a4()
	b.SetBytes(int64(len(g.Pix)))
	var n int
	for b.Loop() {
		r := newRaster(g, 255, false, 25.4/600)
		t, err := outlines(context.Background(), r, r.bandRows(), nil)
		if err != nil {
			b.Fatal(err)
		}
		n = len(t.loops)
		polygons(t.loops, 1)
		t.release()
	}
	b.ReportMetric(float64(n), "rings")
}

// BenchmarkImage is all of Image with no options, from pixels in memory to
// straight lines that do not cross. Compare CPU times with -cpu 1.
func BenchmarkImage(b *testing.B) {
	g := a4()
	m, err := Image(g, 25.4/600, &Options{Tolerance: -1})
	if err != nil {
		b.Fatal(err)
	}
	vertices := nodesOf(m)
	for b.Loop() {
		if m, err = Image(g, 25.4/600, nil); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(vertices), "ns/vertex")
	b.ReportMetric(float64(nodesOf(m)), "nodes")
}

func BenchmarkPixels(b *testing.B) {
	for _, pixels := range []int{1e5, 1e6, 1e7, 1e8} {
		side := int(math.Sqrt(float64(pixels)))
		benchmarkSweep(b, fmt.Sprintf("%.0e", float64(pixels)), page(side, side, 100))
	}
}

func BenchmarkRings(b *testing.B) {
	for _, rings := range []int{10, 100, 1000, 10000, 100000} {
		benchmarkSweep(b, fmt.Sprint(rings), page(6000, 6000, rings))
	}
}

func benchmarkSweep(b *testing.B, name string, g *image.Gray) {
	b.Run(name, func(b *testing.B) {
		var n int
		for b.Loop() {
			m, err := Image(g, 0.05, &Options{Threshold: 0.5, Tolerance: -1})
			if err != nil {
				b.Fatal(err)
			}
			n = nodesOf(m)
		}
		ns := float64(b.Elapsed().Nanoseconds()) / float64(b.N)
		b.ReportMetric(ns/float64(len(g.Pix)), "ns/pixel")
		b.ReportMetric(ns/float64(n), "ns/vertex")
		b.ReportMetric(float64(n), "vertices")
	})
}

// BenchmarkThin is Simplify's choice of vertices alone, without the check that
// nothing crosses: what approxPolyDP does, in testdata/yardstick.py.
func BenchmarkThin(b *testing.B) {
	g := a4()
	r := newRaster(g, 255, false, 1)
	t, err := outlines(context.Background(), r, r.bandRows(), nil)
	if err != nil {
		b.Fatal(err)
	}
	var chosen []int32
	for b.Loop() {
		chosen = chosen[:0]
		for _, l := range t.loops {
			chosen = thin(chosen, l.xy, 0.5)
		}
	}
	b.ReportMetric(float64(len(chosen)), "nodes")
}

func BenchmarkSimplify(b *testing.B) {
	m, err := Image(a4(), 1, &Options{Threshold: 0.5, Tolerance: -1})
	if err != nil {
		b.Fatal(err)
	}
	var n int
	for b.Loop() {
		n = nodesOf(Simplify(m, 0.5))
	}
	b.ReportMetric(float64(nodesOf(m)), "vertices")
	b.ReportMetric(float64(n), "nodes")
}
