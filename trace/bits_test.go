package trace

import (
	"math/rand/v2"
	"testing"
)

func TestCutBits(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 5))
	for last := range 255 {
		for _, flip := range []bool{false, true} {
			row := make([]byte, rnd.IntN(300))
			for i := range row {
				switch rnd.IntN(4) {
				case 0:
					row[i] = byte(rnd.IntN(256))
				case 1:
					row[i] = byte(last + rnd.IntN(3) - 1)
				case 2:
					row[i] = 255
				}
				if i >= 64 && i < 128 {
					row[i] = byte(last % 2 * 255)
				}
			}
			dst := make([]byte, bitBytes(len(row)))
			n := cutBits(dst, row, byte(last), flip)
			for i := -1; i < len(dst)*8-1; i++ {
				want := i >= 0 && i < len(row) && (int(row[i]) <= last) != flip
				if got := dst[(i+1)/8]>>((i+1)%8)&1 == 1; got != want {
					t.Fatalf("last %d flip %v: pixel %d of %d is %v", last, flip, i, len(row), got)
				}
				if want {
					n--
				}
			}
			if n != 0 {
				t.Fatalf("last %d: count off by %d", last, n)
			}
		}
	}
}
