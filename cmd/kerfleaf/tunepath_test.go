package main

import (
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/twpayne/go-geom"
)

// strconv is the judge.
func TestMicrometres(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	values := []float64{0, 1, -1, 0.0004, -0.0004, 0.0006, -0.0006, 0.1, -0.1, 0.05, 12.30, 999.9995, -40.125, 1234567}
	for range 2000 {
		values = append(values, (r.Float64()-0.5)*600)
	}
	for _, v := range values {
		want := strconv.FormatFloat(round3(v)+0, 'f', -1, 64) // + 0 takes the sign from nothing
		if got := string(appendMicrometres(nil, v)); got != want {
			t.Errorf("%v is written %s, want %s", v, got, want)
		}
	}
}

// A polygon with a hole, and another: the last point of a ring is not said again.
func TestPathOf(t *testing.T) {
	mp := geom.NewMultiPolygonFlat(geom.XY, []float64{
		0, 0, 9, 0, 9, 9, 0, 0,
		6, 2, 8, 2.5, 8, 4, 6, 2,
		20, 0, 21.0004, 0, 21, 1, 20, 0,
	}, [][]int{{8, 16}, {24}})
	if got, want := pathOf(mp), "M0 0L9 0L9 9ZM6 2L8 2.5L8 4Z M20 0L21 0L21 1Z"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func BenchmarkMicrometres(b *testing.B) {
	for name, write := range map[string]func([]byte, float64) []byte{
		"own": appendMicrometres, "strconv": func(b []byte, v float64) []byte { return strconv.AppendFloat(b, round3(v), 'f', -1, 64) },
	} {
		b.Run(name, func(b *testing.B) {
			var text []byte
			for i := range b.N {
				text = write(text[:0], float64(i%300000)/1000.0+0.0001)
			}
		})
	}
}
