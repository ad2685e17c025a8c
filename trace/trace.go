// Package trace turns a picture into cut areas.
//
// A picture is a grid of grey values; what is darker than a level is cut away,
// and the line between is followed through the grid to a fraction of a pixel
// (marching squares). The result is a *geom.MultiPolygon of layout XY in mm, x
// right and y down, its origin the top-left corner of the picture, where pixel
// (i, j) has its centre at ((i+0.5), (j+0.5)) times the size of a pixel. Rings
// are closed, shells have positive Area and holes negative, and no two rings
// cross or touch.
//
// Read and Clean make a picture fit to be traced, Image traces one, Simplify
// thins out the vertices of any polygons.
package trace

import (
	"context"
	"errors"
	"fmt"
	"image"
	"math"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/internal/ring"
)

// Options change how Image and Outline trace; nil means the defaults.
type Options struct {
	// Threshold is the level between cut and paper, from 0, black, to 1,
	// white. Zero, the default, finds it in the picture: half way between ink
	// and paper where both are plain, or else see Otsu. In a
	// picture of two values it only says which of them are cut.
	Threshold float64

	// Invert cuts the light areas instead of the dark ones.
	Invert bool

	// MinArea is the smallest area in mm² that is kept, of cut areas and of
	// islands in them alike. Default 0: everything.
	MinArea float64

	// Tolerance is the greatest distance in mm of the traced edge from the
	// result's lines, which average out what noise and pixel steps there are.
	// Of a picture in hard black and white the edge is known to half a pixel
	// only: that half comes on top, and both count from where it most likely
	// ran. Corners that the pixels cut off are made sharp again, up to three
	// pixels further out; beside one the traced edge may be half a pixel off
	// however small the Tolerance. What is round within the noise of pixels is
	// drawn as a regular polygon, but not where that takes more than the
	// Tolerance. Discs and round holes whose radii are within a tenth
	// of a pixel of one another get one radius, which may add as much. Default
	// 0: half a pixel. Below 0 every traced vertex is kept, and nothing else
	// done.
	Tolerance float64

	// Smooth is the length in mm of the wobble that is evened out: what swings
	// to and fro within it along an outline. Corners stay sharp; see the
	// function Smooth. The wobble's own height may come to the Tolerance, and
	// half of that more where it is less than 0.6 of a pixel.
	// Default 0: none.
	Smooth float64

	// Progress, if not nil, is called now and then, by one goroutine at a
	// time, with the part of the work that is done, from 0 to 1.
	Progress func(done float64)
}

// Result is what Outline found.
type Result struct {
	// Cut is the cut areas; see the package's comment.
	Cut *geom.MultiPolygon
	// Level is the level between cut and paper, from 0, black, to 1, white.
	Level float64
	// Hard says that the picture was black and white without greys, so that
	// its outlines are known to half a pixel only.
	Hard bool
	// Covered is the part of the picture's pixels that is cut: 0 where there
	// is nothing to cut, 1 where nothing would be left.
	Covered float64
	// Traced is the number of vertices of the traced edge, Nodes that of Cut.
	Traced, Nodes int
	// Corners is the number of places where outlines turn sharply.
	Corners int
	// Departure is the greatest distance in mm of the traced edge from Cut, or
	// from what Cut was before its wobble was evened out.
	Departure float64
	// Length is the length of all outlines in mm: the way of the blade.
	Length float64
}

// Image traces a picture whose pixels are squares with sides of mmPerPixel mm.
// Colours count by their luma, transparent pixels lie over white. Paper is
// thought all round the picture, so that every outline closes; a cut area
// that reaches the picture's edge ends there.
//
// Two cut pixels that touch by a corner alone belong together in hard black
// and white; among greys the asymptotic decider rules (Nielson and Hamann
// 1991). The result has the picture's topology under this rule: but for
// MinArea no ring is lost, and none is joined or parted. A picture with
// nothing to cut gives a MultiPolygon without polygons and no error, one that
// is cut all over a single polygon of its size.
func Image(img image.Image, mmPerPixel float64, opts *Options) (*geom.MultiPolygon, error) {
	res, err := Outline(context.Background(), img, mmPerPixel, opts)
	if err != nil {
		return nil, err
	}
	return res.Cut, nil
}

// Outline is Image for long work: it ends early with the context's error, it
// can tell its progress, and its Result says how the tracing went.
func Outline(ctx context.Context, img image.Image, mmPerPixel float64, opts *Options) (*Result, error) {
	var o Options
	if opts != nil {
		o = *opts
	}
	if err := o.check(img, mmPerPixel); err != nil {
		return nil, err
	}
	g := grayOf(img)
	h := histogramOf(g)
	level2, hard := h.level2(o.Threshold)
	tol, unit := o.tolerance(mmPerPixel)/mmPerPixel, mmPerPixel // of the rings, in mm
	if tol <= 0 {
		unit = 1
	}
	r := newRaster(g, level2, o.Invert, mmPerPixel/unit)
	t, err := outlines(ctx, r, r.bandRows(), o.rows(r.h))
	if err != nil {
		return nil, fmt.Errorf("trace: %w", err)
	}
	defer t.release()
	rings := t.loops
	res := &Result{
		Level:   float64(level2) / 510,
		Hard:    hard,
		Covered: float64(t.cut) / (float64(g.Rect.Dx()) * float64(g.Rect.Dy())),
	}
	dropSmall(rings, o.MinArea/(unit*unit))
	for i := range rings {
		res.Traced += len(rings[i].xy) / 2
	}
	after := tol
	if tol > 0 {
		if o.Smooth > 0 {
			// A half is for after it, but within less than a third of a pixel
			// what the pixels cut off a corner looks like a bend.
			after = tol / 2
			tol = max(tol/2, min(tol, 0.3))
		}
		d := design{rings: make([][]float64, len(rings)), tolerance: tol, bound: bound(tol, hard)}
		for i := range rings {
			d.rings[i] = rings[i].xy
		}
		d.draw(straightLines(r.w, r.h, tol, hard))
		d.untangle()
		res.Departure = d.departure() * mmPerPixel
		for i, s := range d.spans {
			rings[i].xy = d.at[2*s.from : 2*s.to]
		}
	}
	res.Cut = polygons(rings, unit)
	if o.Smooth > 0 && tol > 0 {
		res.Cut = simplified(Smooth(res.Cut, o.Smooth), after*unit, true)
	}
	if tol > 0 {
		res.Departure += evenRadii(res.Cut, evenSpread*mmPerPixel, o.tolerance(mmPerPixel)+mmPerPixel/4)
	}
	for _, r := range ring.Rings(res.Cut) {
		res.Nodes += len(r)/2 - 1
		res.Corners += sharpTurns(r, max(tol*unit, straightTolerance*mmPerPixel))
	}
	res.Length = res.Cut.Length()
	return res, nil
}

// sharpTurns counts the nodes of a closed ring where it turns more than a curve
// drawn by lines within the tolerance does: between lines of length l that has
// a turn of 8 times twice the tolerance over l. A turn counts from 30 degrees.
func sharpTurns(r []float64, tolerance float64) int {
	count := 0
	n := len(r) - 2
	ax, ay := r[0]-r[n-2], r[1]-r[n-1]
	for i := 0; i < n; i += 2 {
		bx, by := r[i+2]-r[i], r[i+3]-r[i+1]
		// Few segments are so long that any turn would do: look at these alone.
		if l2 := min(ax*ax+ay*ay, bx*bx+by*by); l2*math.Pi*math.Pi > 256*tolerance*tolerance {
			turn := math.Abs(math.Atan2(ax*by-ay*bx, ax*bx+ay*by))
			if turn >= math.Pi/6 && turn*math.Sqrt(l2) > 16*tolerance {
				count++
			}
		}
		ax, ay = bx, by
	}
	return count
}

func (o *Options) tolerance(mmPerPixel float64) float64 {
	if o.Tolerance == 0 {
		return straightTolerance * mmPerPixel
	}
	return o.Tolerance
}

// rows returns what tells the progress of tracing a picture h pixels high.
func (o *Options) rows(h int) func(rows int) {
	if o.Progress == nil {
		return nil
	}
	return func(rows int) { o.Progress(float64(rows) / float64(h)) }
}

// check says what is wrong with a call.
func (o *Options) check(img image.Image, mmPerPixel float64) error {
	switch {
	case img == nil || img.Bounds().Empty():
		return errors.New("trace: the picture has no pixels")
	case !(mmPerPixel > 0) || math.IsInf(mmPerPixel, 0):
		return fmt.Errorf("trace: a pixel of %g mm, need more than 0", mmPerPixel)
	case !(o.Threshold >= 0 && o.Threshold <= 1):
		return fmt.Errorf("trace: threshold %g, need 0 to 1", o.Threshold)
	case !(o.MinArea >= 0) || math.IsInf(o.MinArea, 0):
		return fmt.Errorf("trace: smallest area %g mm², need 0 or more", o.MinArea)
	case !(o.Smooth >= 0) || math.IsInf(o.Smooth, 0):
		return fmt.Errorf("trace: a wobble of %g mm to even out, need 0 or more", o.Smooth)
	case math.IsNaN(o.Tolerance) || math.IsInf(o.Tolerance, 0):
		return fmt.Errorf("trace: tolerance %g mm is no length", o.Tolerance)
	}
	return nil
}

// dropSmall empties the rings that enclose less than area pixels, and those
// inside them.
func dropSmall(rings []loop, area float64) {
	if area <= 0 {
		return
	}
	for i := range rings {
		r := &rings[i]
		if math.Abs(ringArea(r.xy)) < area || r.parent >= 0 && rings[r.parent].xy == nil {
			r.xy = nil
		}
	}
}

// ringArea is the area of an open ring, as in the package's comment.
func ringArea(xy []float64) float64 {
	n := len(xy)
	if n < 6 {
		return 0
	}
	// From the first vertex: far from the origin products lose digits.
	x0, y0 := xy[0], xy[1]
	sum, px, py := 0.0, 0.0, 0.0
	for i := 2; i < n; i += 2 {
		x, y := xy[i]-x0, xy[i+1]-y0
		sum += px*y - x*py
		px, py = x, y
	}
	return sum / 2
}
