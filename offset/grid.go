package offset

import (
	"math"

	"example.org/kerfleaf/internal/ring"
)

// stretch is a range of consecutive edges of a ring, and the place plus one of
// the next in a list.
type stretch struct{ first, last, next int32 }

// grid finds the edges near a place: for each of its cells, which hold about
// half an edge each, it lists the stretches that come into the cell's
// neighbourhood. It serves distances that are small compared with its cells.
type grid struct {
	x, y, scale float64 // cells a mm
	cols, rows  int
	heads       []int32     // per cell: the place plus one of its list in its band
	band        []uint8     // per row
	stretches   [][]stretch // per band
}

// bands of rows are filled by themselves. Their number does not depend on the
// number of processors.
const bands = 8

// newGrid returns a grid over the edges of s, or nil where none serves.
func newGrid(s *source) *grid {
	n := float64(len(s.edges))
	if n == 0 {
		return nil
	}
	all := s.all
	width, height := all.MaxX-all.MinX, all.MaxY-all.MinY
	side := math.Sqrt(width * height / (2 * n))
	if !(s.d+4*s.tolerance < 0.6*side) || !(max(width, height) < n*side) {
		return nil
	}
	g := &grid{x: all.MinX, y: all.MinY, scale: 1 / side, cols: int(width/side) + 1, rows: int(height/side) + 1}
	g.heads = make([]int32, g.cols*g.rows)
	g.band = make([]uint8, g.rows)
	g.stretches = make([][]stretch, bands)
	ring.Parts(bands, 1, func(band, _, _ int) {
		top, bottom := band*g.rows/bands, (band+1)*g.rows/bands
		for y := top; y < bottom; y++ {
			g.band[y] = uint8(band)
		}
		g.stretches[band] = g.enter(s, top, bottom)
	})
	return g
}

// columns returns the first and last column that a range of x meets.
func (g *grid) columns(lo, hi float64) (int, int) {
	return max(int((lo-g.x)*g.scale), 0), min(int((hi-g.x)*g.scale), g.cols-1)
}

// rowsOf returns the first and last row that a range of y meets.
func (g *grid) rowsOf(lo, hi float64) (int, int) {
	return max(int((lo-g.y)*g.scale), 0), min(int((hi-g.y)*g.scale), g.rows-1)
}

// enter enters the edges into the rows from top to before bottom and returns
// the stretches of their lists.
func (g *grid) enter(s *source, top, bottom int) []stretch {
	out := make([]stretch, 0, len(s.edges)*3/2/bands)
	for i := range s.blocks {
		box := &s.index.Blocks[i].Box
		if from, to := g.rowsOf(box.MinY, box.MaxY); from >= bottom || to < top {
			continue
		}
		b := &s.blocks[i]
		edges := s.edges[b.first : b.end+1]
		for k := range edges[1:] {
			e, f := &edges[k], &edges[k+1]
			x0, x1 := g.columns(min(e.x, f.x), max(e.x, f.x))
			y0, y1 := g.rowsOf(min(e.y, f.y), max(e.y, f.y))
			id := b.first + int32(k)
			for y := max(y0, top); y <= min(y1, bottom-1); y++ {
				row := g.heads[y*g.cols : (y+1)*g.cols]
				for x := x0; x <= x1; x++ {
					if h := row[x]; h > 0 && out[h-1].last >= id-1 {
						out[h-1].last = id
					} else {
						out = append(out, stretch{id, id, h})
						row[x] = int32(len(out))
					}
				}
			}
		}
	}
	return out
}

// near appends to out stretches of edges, among them all that meet box. The
// members next mean nothing.
func (g *grid) near(box *ring.Box, out []stretch) []stretch {
	x0, x1 := g.columns(box.MinX, box.MaxX)
	y0, y1 := g.rowsOf(box.MinY, box.MaxY)
	for y := y0; y <= y1; y++ {
		list := g.stretches[g.band[y]]
		for _, h := range g.heads[y*g.cols+x0 : y*g.cols+x1+1] {
			for ; h > 0; h = list[h-1].next {
				t := &list[h-1]
				i := 0
				for ; i < len(out); i++ {
					if o := &out[i]; t.first <= o.last+1 && t.last >= o.first-1 {
						o.first, o.last = min(o.first, t.first), max(o.last, t.last)
						break
					}
				}
				if i == len(out) {
					out = append(out, *t)
				}
			}
		}
	}
	return out
}
