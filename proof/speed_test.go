package proof_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"testing"

	"example.org/kerfleaf/proof"
)

func page(b *testing.B, side int, kerf float64) madeOf {
	rnd := rand.New(rand.NewPCG(1, 2))
	return opened(b, blobs(rnd, side, side, 2.5, 0.5), kerf)
}

func BenchmarkCut(b *testing.B) {
	for _, side := range []int{10, 32, 100} {
		for _, kerf := range []float64{0, 0.1} {
			p := page(b, side, kerf)
			for name, opts := range map[string]*proof.Options{"alone": {}, "design": {Design: p.design}, "design and webs": {Design: p.design, MinWeb: 0.5}} {
				b.Run(fmt.Sprintf("%d rings, kerf %g, %s", side*side, kerf, name), func(b *testing.B) {
					for range b.N {
						r, err := proof.Cut(p.drawing, kerf, opts)
						if err != nil {
							b.Fatal(err)
						}
						if !r.OK() {
							b.Fatal(wrong(r))
						}
					}
				})
			}
		}
	}
}

func BenchmarkRead(b *testing.B) {
	for _, side := range []int{10, 32, 100} {
		p := page(b, side, 0)
		for _, format := range []string{"SVG", "DXF"} {
			data := file(b, p.drawing, format)
			b.Run(fmt.Sprintf("%s, %d rings", format, side*side), func(b *testing.B) {
				b.SetBytes(int64(len(data)))
				for range b.N {
					if _, err := proof.Read(bytes.NewReader(data)); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
