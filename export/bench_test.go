package export

import (
	"fmt"
	"io"
	"testing"
)

func BenchmarkWriters(b *testing.B) {
	for _, n := range []int{10_000, 100_000, 1_000_000} {
		d := page(n)
		for _, name := range []string{"SVG", "DXF", "DXF, in"} {
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
