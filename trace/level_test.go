package trace

import (
	"image"
	"math"
	"math/rand"
	"testing"
)

// The six-level histogram 8 7 2 6 9 4 that textbooks work through after Otsu
// 1979: the best parting is below level 3, with a variance between the classes
// of 2.6287 (weights 0.4722 and 0.5278, means 0.6471 and 3.8947).
func TestOtsuWorkedExample(t *testing.T) {
	g := image.NewGray(image.Rect(0, 0, 6, 6))
	i := 0
	for level, n := range []int{8, 7, 2, 6, 9, 4} {
		for range n {
			g.Pix[i] = uint8(level)
			i++
		}
	}
	h := histogramOf(g)
	if got := h.otsu(); got != 5 {
		t.Errorf("level %g, want between 2 and 3", float64(got)/2)
	}
	if got := Otsu(g) * 255; math.Abs(got-2.5) > 1e-12 {
		t.Errorf("Otsu: %g of 255", got)
	}
}

func TestHistogram(t *testing.T) {
	g := image.NewGray(image.Rect(0, 0, 67, 1100))
	var want histogram
	for i := range g.Pix {
		v := uint8(i * i >> 7)
		if i/67%3 == 0 {
			v = uint8(i / 67 % 2 * 255)
		}
		g.Pix[i] = v
	}
	part := g.SubImage(image.Rect(3, 1, 64, 1099)).(*image.Gray)
	for y := 1; y < 1099; y++ {
		for x := 3; x < 64; x++ {
			want[g.GrayAt(x, y).Y]++
		}
	}
	if got := histogramOf(part); got != want {
		t.Errorf("%v, want %v", got, want)
	}
}

func TestLevel(t *testing.T) {
	for _, c := range []struct {
		values    []uint8
		threshold float64
		level2    int
		hard      bool
	}{
		{[]uint8{0, 255}, 0, 255, true},
		{[]uint8{0, 255}, 0.9, 255, true},
		{[]uint8{10, 210}, 0.3, 220, true},
		{[]uint8{100, 200}, 0.2, 103, true}, // all paper
		{[]uint8{0, 3, 255}, 0.5, 255, false},
		{[]uint8{0, 3, 255}, 1, 509, false},
		{[]uint8{0, 3, 255}, 0.002, 1, false},
		{[]uint8{0}, 0, 255, false},
		{[]uint8{255}, 0, 255, false},
	} {
		var h histogram
		for _, v := range c.values {
			h[v]++
		}
		if level2, hard := h.level2(c.threshold); level2 != c.level2 || hard != c.hard {
			t.Errorf("%v at %g: %d %v, want %d %v", c.values, c.threshold, level2, hard, c.level2, c.hard)
		}
	}
}

// Ink of 12 and paper of 230 meet at 121, whatever greys there are between; the level must be no pixel's value. Where
// neither is plain Otsu's level stays.
func TestHalfWay(t *testing.T) {
	rnd := rand.New(rand.NewSource(4))
	for range 50 {
		var h histogram
		h[12], h[230] = 300, 900
		for range 400 {
			h[13+rnd.Intn(217)]++
		}
		h[121] = rnd.Intn(2)
		if level2, hard := h.level2(0); level2 != 242+h[121] || hard {
			t.Errorf("level %g, want 121", float64(level2)/2)
		}
	}
	var soft histogram
	for v := range 100 {
		soft[v], soft[155+v] = v, 100-v
	}
	if level2, _ := soft.level2(0); level2 != soft.otsu() {
		t.Errorf("level %g without plain ink or paper, Otsu's is %g", float64(level2)/2, float64(soft.otsu())/2)
	}
}
