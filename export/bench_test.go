package export

import (
	"fmt"
	"io"
	"testing"

	"github.com/twpayne/go-geom"
)

func BenchmarkWriters(b *testing.B) {
	for _, n := range []int{10_000, 100_000, 1_000_000} {
		d := page(n)
		for _, name := range []string{"SVG", "DXF", "DXF, in", "PDF", "SVG, curves", "DXF, curves"} {
			b.Run(fmt.Sprintf("%s/%d", name, n), func(b *testing.B) {
				for b.Loop() {
					if err := writers[name](io.Discard, d); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

func BenchmarkPNG(b *testing.B) {
	for _, n := range []int{1_000, 100_000} {
		d := page(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if err := PNG(io.Discard, d, &PNGOptions{Openings: true}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkMockup(b *testing.B) {
	for _, n := range []int{1_000, 100_000} {
		d := page(n)
		face := geom.NewBounds(geom.XY).Set(0, 0, d.Width, d.Height)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if err := Mockup(io.Discard, d, face, 25.4, nil); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
