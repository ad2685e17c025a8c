package stencil

import (
	"fmt"
	"testing"
)

// Pages of lace by number of cut areas; each is some 35 vertices.
var laceSizes = []int{100, 1000, 10000}

func BenchmarkCheck(b *testing.B) {
	for _, n := range laceSizes {
		cut, sheet := lace(n, 1)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for range b.N {
				if _, err := Check(cut, sheet, nil); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(cut.NumCoords()), "ns/vertex")
		})
	}
}

func BenchmarkBridge(b *testing.B) {
	for _, n := range laceSizes {
		cut, sheet := lace(n, 1)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for range b.N {
				if _, _, err := Bridge(cut, &BridgeOptions{Sheet: sheet}); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(cut.NumCoords()), "ns/vertex")
		})
	}
}

// Nearly every cut area of the page has webs to its neighbours that are too thin.
func BenchmarkThicken(b *testing.B) {
	for _, n := range laceSizes {
		cut, _ := lace(n, 1)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for range b.N {
				if _, _, err := Thicken(cut, 1.3); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(cut.NumCoords()), "ns/vertex")
		})
	}
}
