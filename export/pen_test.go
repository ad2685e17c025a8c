package export

import (
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

func TestAppendFixed(t *testing.T) {
	for _, c := range []struct {
		v             int64
		places, least int
		want          string
	}{
		{0, 3, 0, "0"}, {0, 3, 1, "0.0"}, {1, 3, 0, "0.001"}, {-1, 3, 0, "-0.001"}, {139700, 3, 0, "139.7"},
		{10000, 3, 0, "10"}, {10000, 3, 1, "10.0"}, {-1500000, 6, 1, "-1.5"}, {1000001, 6, 1, "1.000001"}, {100010, 3, 0, "100.01"},
	} {
		if got := string(appendFixed(nil, c.v, c.places, c.least)); got != c.want {
			t.Errorf("appendFixed(%d, %d, %d) = %s, want %s", c.v, c.places, c.least, got, c.want)
		}
	}
}

// The standard library's own formatting is the judge of ours.
func TestAppendFixedLikeStrconv(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	for range 20000 {
		v := rnd.Int64N(1<<(1+rnd.IntN(40))) - 1<<10
		want := strconv.FormatFloat(float64(v)/1000, 'f', 3, 64)
		want = strings.TrimRight(strings.TrimRight(want, "0"), ".")
		if want == "-0" || want == "" {
			want = "0"
		}
		if got := string(appendFixed(nil, v, 3, 0)); got != want {
			t.Fatalf("appendFixed(%d) = %s, want %s", v, got, want)
		}
	}
}
