package words_test

import (
	"fmt"
	"strings"
	"testing"

	"example.org/kerfleaf/words"
)

// guests invents a list of names.
func guests(n int) []string {
	first := []string{"Wren", "Marlo", "Tansy", "Oriel", "Bramble", "Corin", "Ysolde", "Perrin"}
	last := []string{"Tolliver", "Quay", "Sedgewater", "Lanternside", "Moth", "Heronby", "Reedham"}
	var out []string
	for i := range n {
		out = append(out, fmt.Sprintf("%s %s", first[i%len(first)], last[i/len(first)%len(last)]))
	}
	return out
}

// Names a second, each fitted to its own size as in a batch of cards.
func BenchmarkNames(b *testing.B) {
	list := guests(56)
	for _, c := range []struct {
		name string
		opts words.Options
	}{
		{"cut", words.Options{}},
		{"paper on a bar", words.Options{Letters: words.Paper}},
		{"paper touching", words.Options{Letters: words.Paper, Hold: words.Touch}},
	} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				if _, err := words.Text(list[i%len(list)], words.Size{Cap: 15, Width: 80}, &c.opts); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "names/s")
		})
	}
}

// One text of n letters: the time per letter must not grow.
func BenchmarkLetters(b *testing.B) {
	for _, n := range []int{100, 1000, 10_000} {
		s := strings.Repeat("Marlo Quay\n", n/10)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if _, err := words.Text(s, words.Size{Cap: 5}, nil); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*n), "ns/letter")
		})
	}
}
