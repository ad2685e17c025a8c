package trace

import (
	"errors"
	"image"
	"math"

	"github.com/twpayne/go-geom"
)

// ErrNoScrap says that nothing lies on a sheet that stands out from it.
var ErrNoScrap = errors.New("trace: no piece of paper stands out on the sheet")

const (
	scrapEdge  = 0.06 // of the light, over two cells: more is the edge of a piece, less a shadow's
	scrapAlike = 0.05 // share of the sheet's light within which a hole shows the sheet
	scrapHole  = 100  // mm²: a smaller place as light as the sheet is the piece's pattern
	scrapLeast = 100  // mm²: a smaller piece is no use
	scrapRim   = 2    // mm at the sheet's edge that are passed over
)

// A shadow takes light from the sheet but leaves its colour.
const (
	shadowDark = 0.2 // of the sheet's light: nothing under a piece that lies is darker
	shadowTint = 0.1 // by which the share of a colour in the light may differ
	shadowWide = 12  // mm: more is a piece of the sheet's own colour
	shadowRim  = 4   // mm of such a piece's rim that may be shadow
)

// FindScrap finds the usable outline of an irregular piece of paper that lies on
// a plain sheet: the largest piece that stands out from it, inset mm inside its
// edge, as polygons in mm in the sheet's frame. sheet is the sheet seen flat,
// as Flatten gives it.
//
// The sheet is what can be reached from its rim without crossing a sharp edge,
// so that a soft shadow on it does no harm; the piece is the rest. Places
// within the piece that are as light as the sheet are its pattern, but holes
// when larger than 100 mm². Where the sheet has Colours, a shadow of up to 12 mm
// beside the piece is told from it; where the piece is as grey as the sheet, 4 mm
// of its rim are left out, as they may be shadow. The outline is true to 0.3 % of the sheet's longer
// side: an inset of 1 mm on a sheet of A4 stays clear of the edge. The error
// wraps ErrNoScrap; paper whose edge is nowhere seen on a light sheet wants a
// darker one under it.
func FindScrap(sheet *Picture, inset float64) (*geom.MultiPolygon, error) {
	c := coarse(sheet.Gray)
	mm := c.step * sheet.MMPerPixel
	c.step = 1
	c = c.softened(1)
	bare := c.bareSheet(max(1, int(scrapRim/mm)))
	on := make([]bool, len(bare))
	for i, b := range bare {
		on[i] = !b
	}
	on = shrunk(on, c.w, c.h, 2) // what was reached ends short of the edge
	c.cutHoles(on, bare, scrapHole/(mm*mm))
	if sheet.Colours != nil {
		c.dropShadow(on, bare, sheet.Colours, shadowWide/mm, shadowRim/mm)
	}
	g := painted(shrunk(on, c.w, c.h, int(inset/mm+0.999)), c.w, c.h)
	if !keepLargest(g, scrapLeast/(mm*mm)) {
		return nil, ErrNoScrap
	}
	return Image(g, mm, &Options{Threshold: 0.5, Tolerance: mm / 4})
}

// bareSheet tells the cells that can be reached from the sheet's rim, rim cells
// wide, without crossing an edge.
func (f *field) bareSheet(rim int) []bool {
	edge := make([]bool, len(f.v))
	for y := rim; y < f.h-rim; y++ {
		for x := rim; x < f.w-rim; x++ {
			i := y*f.w + x
			dx, dy := f.v[i+1]-f.v[i-1], f.v[i+f.w]-f.v[i-f.w]
			limit := scrapEdge * f.v[i]
			edge[i] = dx*dx+dy*dy > limit*limit
		}
	}
	reached := make([]bool, len(f.v))
	var todo []int
	visit := func(i int) {
		if !reached[i] && !edge[i] {
			reached[i] = true
			todo = append(todo, i)
		}
	}
	for i := range f.v {
		if x, y := i%f.w, i/f.w; x < rim || y < rim || x >= f.w-rim || y >= f.h-rim {
			visit(i)
		}
	}
	for len(todo) > 0 {
		i := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if i%f.w > 0 {
			visit(i - 1)
		}
		if i%f.w < f.w-1 {
			visit(i + 1)
		}
		if i >= f.w {
			visit(i - f.w)
		}
		if i+f.w < len(f.v) {
			visit(i + f.w)
		}
	}
	return reached
}

// cutHoles takes off the places of at least minCells that are as light as the
// sheet would be there, going by the cells of it that are bare.
func (f *field) cutHoles(on, bare []bool, minCells float64) {
	sheet := cellMedians(f, f.v, bare, inkCell, 1)
	alike := make([]bool, len(on))
	for i, share := range f.over(sheet) {
		alike[i] = on[i] && math.Abs(float64(share)-1) < scrapAlike
	}
	runs, parts := partsOf(painted(alike, f.w, f.h), inkBelow)
	for _, r := range runs {
		if r.ink && float64(parts[r.parent].pixels) >= minCells {
			for x := r.x0; x < r.x1; x++ {
				on[int(r.y)*f.w+int(x)] = false
			}
		}
	}
}

// painted has ink where on is set.
func painted(on []bool, w, h int) *image.Gray {
	g := image.NewGray(image.Rect(0, 0, w, h))
	for i, o := range on {
		if !o {
			g.Pix[i] = 255
		}
	}
	return g
}

// shrunk takes n cells off all round: by turns those with one of eight and of
// four neighbours off, which together shrink by an octagon.
func shrunk(on []bool, w, h, n int) []bool {
	for k := range n {
		was := on
		if k%2 == 1 {
			on = eroded(w, h, func(i int) bool { return was[i] })
			continue
		}
		on = make([]bool, len(was))
		for y := range h {
			for x := range w {
				i := y*w + x
				on[i] = was[i] && (x == 0 || was[i-1]) && (x == w-1 || was[i+1]) && (y == 0 || was[i-w]) && (y == h-1 || was[i+w])
			}
		}
	}
	return on
}

// keepLargest clears all ink but the largest part, and says whether that has at
// least minPixels.
func keepLargest(g *image.Gray, minPixels float64) bool {
	runs, parts := partsOf(g, inkBelow)
	best := -1
	for i, p := range parts {
		if p.pixels > 0 && runs[i].ink && (best < 0 || p.pixels > parts[best].pixels) {
			best = i
		}
	}
	for _, r := range runs {
		if r.ink && int(r.parent) != best {
			fillRow(g.Pix[int(r.y)*g.Stride:][r.x0:r.x1])
		}
	}
	return best >= 0 && float64(parts[best].pixels) >= minPixels
}
