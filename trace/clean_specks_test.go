package trace

import (
	"image"
	"math"
	"strings"
	"testing"
)

// speckGrid reads # as ink and anything else as paper.
func speckGrid(rows string) *image.Gray {
	lines := strings.Fields(rows)
	g := image.NewGray(image.Rect(0, 0, len(lines[0]), len(lines)))
	for y, line := range lines {
		for x, r := range line {
			if r != '#' {
				g.Pix[y*g.Stride+x] = 255
			}
		}
	}
	return g
}

func speckRows(g *image.Gray) string {
	var b strings.Builder
	for y := range g.Rect.Dy() {
		for x := range g.Rect.Dx() {
			b.WriteByte("#."[g.Pix[y*g.Stride+x]>>7])
		}
		b.WriteByte('\n')
	}
	return b.String()
}

func TestDropSpecks(t *testing.T) {
	for name, tt := range map[string]struct {
		in, want    string
		min, width  float64
		dust, holes int
	}{
		"dust goes, the block stays": {`
			.........
			.#...###.
			.....###.
			..##.###.
			.........`, `
			.........
			.....###.
			.....###.
			.....###.
			.........`, 4, 0, 2, 0},
		"pinholes fill, the hole stays": {`
			#########
			#.##...##
			####...##
			#########`, `
			#########
			####...##
			####...##
			#########`, 4, 0, 0, 1},
		"ink hangs together at corners": {`
			#....
			.#...
			..#..
			...#.`, `
			#....
			.#...
			..#..
			...#.`, 4, 0, 0, 0},
		"paper does not": {`
			######
			#.####
			##.###
			######`, `
			######
			######
			######
			######`, 2, 0, 0, 2},
		"a ring of dust leaves no dot": {`
			.......
			..###..
			..#.#..
			..###..
			.......`, `
			.......
			.......
			.......
			.......
			.......`, 9, 0, 1, 1},
		"dust in a pinhole leaves no dot": {`
			#########
			###...###
			###.#.###
			###...###
			#########`, `
			#########
			#########
			#########
			#########
			#########`, 9, 0, 1, 1},
		"paper at the border is no hole": {`
			.####
			#####
			####.`, `
			.####
			#####
			####.`, 4, 0, 0, 0},
		"a hair goes": {`
			..........
			.########.
			..........
			..######..
			..######..
			..######..
			..######..`, `
			..........
			..........
			..........
			..######..
			..######..
			..######..
			..######..`, 2, 1.5, 1, 0},
	} {
		t.Run(name, func(t *testing.T) {
			g := speckGrid(tt.in)
			s := dropSpecks(g, tt.min, tt.width)
			if got, want := speckRows(g), speckRows(speckGrid(tt.want)); got != want {
				t.Errorf("got\n%swant\n%s", got, want)
			}
			if len(s.dust) != tt.dust || len(s.holes) != tt.holes {
				t.Errorf("dust %v, holes %v; want %d, %d", s.dust, s.holes, tt.dust, tt.holes)
			}
		})
	}
}

// A stroke's width is known at any angle.
func TestPartWidth(t *testing.T) {
	for _, angle := range []float64{0, 20, 45, 70, 90} {
		s := &scene{w: 200, h: 200, toPixel: func(p vec2) vec2 { return p }}
		d := vec2{math.Cos(angle * math.Pi / 180), math.Sin(angle * math.Pi / 180)}.mul(80)
		m := vec2{100.3, 100.2}
		g := image.NewGray(image.Rect(0, 0, 200, 200))
		for i, c := range s.coverage([][]vec2{thickLine([]vec2{m.sub(d), m.add(d)}, 6)}) {
			g.Pix[i] = uint8(255 - 255*c)
		}
		runs, parts := partsOf(g, inkBelow)
		for i, p := range parts {
			if p.pixels > 0 && runs[i].ink && math.Abs(p.width()-6) > 0.5 {
				t.Errorf("at %v degrees: width %.2f, want 6", angle, p.width())
			}
		}
	}
}

// Labels by runs against flood filling, on random pictures.
func TestPartsAgainstFlooding(t *testing.T) {
	for seed := range 50 {
		g := image.NewGray(image.Rect(0, 0, 30, 20))
		state := uint32(seed + 1)
		for i := range g.Pix {
			state = state*1664525 + 1013904223
			if state>>24 > 110 {
				g.Pix[i] = 255
			}
		}
		runs, parts := partsOf(g, inkBelow)
		inks, papers := 0, 0
		for i, p := range parts {
			if p.pixels > 0 && runs[i].ink {
				inks++
			} else if p.pixels > 0 && !meetsBorder(runs, int32(i), g.Rect) {
				papers++
			}
		}
		wantInks, wantPapers := countParts(g)
		if inks != wantInks || papers != wantPapers-1 {
			t.Fatalf("seed %d: %d ink and %d inner paper, want %d and %d", seed, inks, papers, wantInks, wantPapers-1)
		}
	}
}

func meetsBorder(runs []run, root int32, r image.Rectangle) bool {
	for _, q := range runs {
		if q.parent == root && (q.x0 == 0 || q.y == 0 || int(q.x1) == r.Dx() || int(q.y) == r.Dy()-1) {
			return true
		}
	}
	return false
}
