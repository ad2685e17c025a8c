package export

import "math"

// A tiling covers a sheet with equal pages' worth of it: tile (i, j) shows what lies from (i·stepX, j·stepY), wide by
// high. Lengths are in mm.
type tiling struct {
	columns, rows int
	wide, high    float64 // of a tile, at most what a page has room for
	stepX, stepY  float64
}

// tiled covers a sheet of w by h with as few tiles of at most wide by high as there can be if neighbours overlap by at
// least overlap, and spreads them evenly.
func tiled(w, h, wide, high, overlap float64) tiling {
	t := tiling{}
	t.columns, t.wide, t.stepX = spread(w, wide, overlap)
	t.rows, t.high, t.stepY = spread(h, high, overlap)
	return t
}

func spread(length, room, overlap float64) (n int, tile, step float64) {
	if length <= room+0.001 {
		return 1, length, 0
	}
	n = int(math.Ceil((length - overlap - 0.001) / (room - overlap)))
	return n, room, (length - room) / float64(n-1)
}

// at is where tile (i, j) starts on the sheet.
func (t tiling) at(i, j int) (x, y float64) { return float64(i) * t.stepX, float64(j) * t.stepY }

// seams are the middles of the strips that neighbours share, along one axis.
func seams(n int, tile, step float64) (at []float64) {
	for i := 1; i < n; i++ {
		at = append(at, (float64(i)*step+float64(i-1)*step+tile)/2)
	}
	return at
}

// crosses are the places of the alignment marks: on every seam, twice for each tile along it, clear of where
// seams meet.
func (t tiling) crosses() (at [][2]float64) {
	for _, x := range seams(t.columns, t.wide, t.stepX) {
		for j := range t.rows {
			_, y := t.at(0, j)
			at = append(at, [2]float64{x, y + t.high*0.25}, [2]float64{x, y + t.high*0.75})
		}
	}
	for _, y := range seams(t.rows, t.high, t.stepY) {
		for i := range t.columns {
			x, _ := t.at(i, 0)
			at = append(at, [2]float64{x + t.wide*0.25, y}, [2]float64{x + t.wide*0.75, y})
		}
	}
	return at
}

// touches says whether a line of d comes within a rectangle of the sheet.
func (d *Drawing) touches(x0, y0, x1, y1 float64) bool {
	for _, l := range d.Layers {
		for _, s := range l.Shapes {
			for p := range paths(s) {
				if p.touches(x0, y0, x1, y1) {
					return true
				}
			}
		}
	}
	return false
}

// touches says whether the bounds of a segment of the path meet a rectangle.
func (p path) touches(x0, y0, x1, y1 float64) bool {
	start := p.start
	for _, end := range p.ends {
		for k := start; k+p.stride < end; k += p.stride {
			ax, ay, bx, by := p.flat[k], p.flat[k+1], p.flat[k+p.stride], p.flat[k+p.stride+1]
			if min(ax, bx) <= x1 && max(ax, bx) >= x0 && min(ay, by) <= y1 && max(ay, by) >= y0 {
				return true
			}
		}
		start = end
	}
	return false
}
