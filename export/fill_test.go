package export

import (
	"slices"

	"github.com/twpayne/go-geom"
)

// A bitmap holds, row by row, whether the centre of each pixel is filled.
type bitmap []bool

func (b bitmap) count() (n int) {
	for _, set := range b {
		if set {
			n++
		}
	}
	return n
}

// fill fills the closed lines by the even-odd or the nonzero rule: a pixel is set by the crossings of the row through
// its centre to the left of it.
func fill(lines []readLine, width, height, pixel float64, rule string) bitmap {
	w, h := int(width/pixel), int(height/pixel)
	out := make(bitmap, w*h)
	type crossing struct {
		x   float64
		dir int
	}
	rows := make([][]crossing, h)
	for _, l := range lines {
		if !l.closed {
			continue
		}
		for i, a := range l.points {
			b, dir := l.points[(i+1)%len(l.points)], 1
			if a[1] > b[1] {
				a, b, dir = b, a, -1
			}
			for row := max(0, int(a[1]/pixel)-1); row < h; row++ {
				y := (float64(row) + 0.5) * pixel
				if y >= b[1] {
					break
				}
				if y >= a[1] {
					rows[row] = append(rows[row], crossing{a[0] + (b[0]-a[0])*(y-a[1])/(b[1]-a[1]), dir})
				}
			}
		}
	}
	for row, cs := range rows {
		slices.SortFunc(cs, func(a, b crossing) int {
			if a.x < b.x {
				return -1
			}
			return 1
		})
		k, crossed, winding := 0, 0, 0
		for col := range w {
			for x := (float64(col) + 0.5) * pixel; k < len(cs) && cs[k].x <= x; k++ {
				crossed++
				winding += cs[k].dir
			}
			out[row*w+col] = rule == "evenodd" && crossed%2 == 1 || rule == "nonzero" && winding != 0
		}
	}
	return out
}

// given returns the rings of a drawing of MultiPolygons as they are, unrounded.
func given(d *Drawing) (lines []readLine) {
	for _, l := range d.Layers {
		for _, s := range l.Shapes {
			for _, poly := range s.(*geom.MultiPolygon).Coords() {
				for _, ring := range poly {
					line := readLine{closed: true}
					for _, c := range ring[:len(ring)-1] {
						line.points = append(line.points, [2]float64{c[0], c[1]})
					}
					lines = append(lines, line)
				}
			}
		}
	}
	return lines
}
