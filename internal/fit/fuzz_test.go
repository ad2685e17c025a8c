package fit

import (
	"encoding/binary"
	"math"
	"math/rand/v2"
	"testing"
)

// FuzzFit: whatever the points, lines and curves and lines and arcs keep the tolerance, and numbers stay finite.
func FuzzFit(f *testing.F) {
	f.Add([]byte{0, 0, 0, 0, 0, 9, 0, 0, 0, 9, 0, 9, 0, 0, 0, 0}, 0.5)
	f.Add([]byte{1, 2, 3, 4, 1, 2, 3, 4, 5, 6, 7, 8}, 1.0)
	f.Fuzz(func(t *testing.T, data []byte, tolerance float64) {
		var p []float64
		for ; len(data) >= 4 && len(p) < 80; data = data[4:] {
			p = append(p, float64(int16(binary.BigEndian.Uint16(data))), float64(int16(binary.BigEndian.Uint16(data[2:]))))
		}
		if len(p) == 0 || !(tolerance < 1e4) || tolerance > 0 && tolerance < 1e-3 {
			return
		}
		// Points as far apart as the int16 go cannot be told closer than this.
		slack := max(tolerance, 0)*1.000001 + 1e-6
		s := Curves(nil, p, tolerance)
		for _, g := range s {
			if v := g.X1 + g.Y1 + g.X2 + g.Y2 + g.X + g.Y; math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%v", g)
			}
		}
		if s[0].Kind != Move {
			t.Fatal("no move")
		}
		got := flatten(s)
		if d := max(furthest(got, p), furthest(p, got)); d > slack {
			t.Fatalf("curves: %g off, want %g", d, tolerance)
		}
		n := len(p)
		closed := n > 4 && p[0] == p[n-2] && p[1] == p[n-1]
		got = unfold(Arcs(nil, p, tolerance), closed)
		if d := max(furthest(got, p), furthest(p, got)); d > slack {
			t.Fatalf("arcs: %g off, want %g", d, tolerance)
		}
	})
}

func BenchmarkCurves(b *testing.B) {
	rnd := rand.New(rand.NewPCG(9, 9))
	var rings [][]float64
	points := 0
	for range 100 {
		p := wavy(rnd, 40)
		rings = append(rings, p)
		points += len(p) / 2
	}
	var s []Segment
	for b.Loop() {
		for _, p := range rings {
			s = Curves(s[:0], p, 0.05)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*points), "ns/point")
}
