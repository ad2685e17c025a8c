package main

import (
	"context"
	"fmt"

	"example.org/kerfleaf/internal/length"
	"example.org/kerfleaf/offset"
	"example.org/kerfleaf/paper"
	"example.org/kerfleaf/stencil"
	"example.org/kerfleaf/trace"
	"github.com/twpayne/go-geom"
)

// design is one cut-out on its way through the stages.
type design struct {
	stock  paper.Stock   // of the sheet it is cut from, flags applied
	frame  *geom.Bounds  // the sheet that it is cut from, in mm: the drawing's own, or the middle of a box's net
	fold   *geom.Bounds  // the scores around it, or nil
	traced *trace.Result // nil where it did not come from a picture
	invert bool          // what is light was cut
	cut    *geom.MultiPolygon
	straps []stencil.Strap
	thin   int // webs that --thicken could not help
	faults []stencil.Fault
}

// traceDrawing is the way from a picture to cut areas.
func (s *settings) traceDrawing(ctx context.Context, src *source, stock paper.Stock, bar *progress) (*design, error) {
	bar.step("tracing")
	p, threshold := src.picture, s.threshold
	if threshold == 0 && src.explain != nil {
		threshold = 0.5 // where a cleaned picture's ink ends
	}
	res, err := trace.Outline(ctx, p.Gray, p.MMPerPixel, &trace.Options{
		Threshold: threshold, Invert: s.invert, MinArea: s.minArea.mm2,
		Smooth: stock.Smooth, Tolerance: s.toPixels(stock, p.MMPerPixel, false).Tolerance / 2, // the other half is for the curves in the files
		Progress: bar.show,
	})
	if err != nil {
		return nil, err
	}
	size := p.Gray.Rect.Size()
	d := &design{
		stock: s.toPixels(stock, p.MMPerPixel, res.Hard), traced: res, cut: res.Cut,
		frame: geom.NewBounds(geom.XY).Set(0, 0, float64(size.X)*p.MMPerPixel, float64(size.Y)*p.MMPerPixel),
	}
	dark, light := "dark", "light"
	if d.invert = s.invert; d.invert {
		dark, light = light, dark
	}
	switch {
	case d.cut.NumPolygons() == 0 && res.Covered > 0:
		return nil, fmt.Errorf("nothing to cut: every %s spot is smaller than --min-area %g mm²", dark, s.minArea.mm2)
	case d.cut.NumPolygons() == 0:
		return nil, fmt.Errorf("nothing to cut: the drawing has no %s area (try --threshold or --invert)", dark)
	case res.Covered >= 1:
		return nil, fmt.Errorf("nothing would be left: the drawing has no %s area (try --threshold or --invert)", light)
	}
	return d, nil
}

// openDesign reads and traces a drawing. Its pixels are let go, but for the picture that explains the cleaning.
func (s *settings) openDesign(ctx context.Context, path string, bar *progress) (*design, *source, error) {
	stock, err := s.stock(s.paper)
	if err != nil {
		return nil, nil, err
	}
	bar.step("reading")
	src, err := s.readDrawing(path)
	if err != nil {
		return nil, nil, err
	}
	d, err := s.traceDrawing(ctx, src, s.own(stock), bar)
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", path, err)
	}
	if src.explain == nil {
		src.picture.Gray = nil
	}
	return d, src, nil
}

// A step changes the cut areas as the flags ask, or finds out about them.
type step struct {
	name string
	skip bool
	do   func(*design) error
}

// steps are what is done to cut areas before their path is known, in that order.
func (s *settings) steps() []step {
	return []step{
		{"growing", s.grow.mm == 0, s.growCut},
		{"tying islands", !s.bridge.wanted(s.tie), s.tieIslands},
		{"thickening webs", !s.ties.thicken, s.thicken},
		{"checking", false, s.checkPaper},
	}
}

// prepare takes a design through all steps.
func (s *settings) prepare(d *design, bar *progress) error { return take(d, s.steps(), bar) }

// change takes a design through all steps but the last, the check.
func (s *settings) change(d *design, bar *progress) error {
	steps := s.steps()
	return take(d, steps[:len(steps)-1], bar)
}

// take does the steps in turn.
func take(d *design, steps []step, bar *progress) error {
	for _, st := range steps {
		if st.skip {
			continue
		}
		bar.step(st.name)
		if err := st.do(d); err != nil {
			return err
		}
	}
	return nil
}

func (s *settings) growCut(d *design) error {
	cut, err := offset.Polygons(d.cut, s.grow.mm, nil)
	if err != nil {
		return err
	}
	if cut.NumPolygons() == 0 {
		return fmt.Errorf("nothing to cut: no opening is wider than twice --grow %s", length.MM(s.grow.mm))
	}
	d.cut = cut
	return nil
}

func (s *settings) tieIslands(d *design) error {
	opts, err := s.bridgeOptions(d)
	if err != nil {
		return err
	}
	d.cut, d.straps, err = stencil.Bridge(d.cut, opts)
	return err
}

// checkPaper finds out whether the paper will hold.
func (s *settings) checkPaper(d *design) (err error) {
	d.faults, err = stencil.Check(d.cut, d.frame, d.limits())
	return err
}

// tensileIndex is the strength of paper across its grain in N·m/g (from
// memory): times g/m² over 1000 it is newtons a mm of width.
const tensileIndex = 25

// visibleDroop is how far in mm a tongue may sag before one sees it (common
// practice, no source).
const visibleDroop = 1.0

// limits is what the stock bears, for the check.
func (d *design) limits() *stencil.Options {
	o := &stencil.Options{MinWeb: d.stock.MinWeb, Caution: d.stock.Caution, Strength: tensileIndex * d.stock.GSM / 1000, Fold: d.fold,
		Sag: stencil.Overhang(d.stock.GSM, d.stock.Thickness, visibleDroop)}
	if o.MinWeb == 0 {
		o.MinWeb, o.Caution = anyWeb, anyWeb
	}
	return o
}

// anyWeb stands for --min-web 0, any width will do: a hundredth of the thinnest
// paper's thickness.
const anyWeb = 0.001

// within makes the sheet what lies up to margin around the cut-out: a box has
// paper there, whatever the drawing had.
func (d *design) within(margin float64) { d.frame = widened(d.window(), margin) }

// own lets the flags override what a paper needs.
func (s *settings) own(p paper.Stock) paper.Stock {
	p.Tolerance = s.tolerance.or(p.Tolerance)
	p.Smooth = s.smooth.or(p.Smooth)
	p.Kerf = s.kerf.or(p.Kerf)
	p.MinWeb = s.minWeb.or(p.MinWeb)
	p.Caution = max(s.caution.or(p.Caution), p.MinWeb)
	if s.bridge.mm > 0 {
		p.Bridge = s.bridge.mm
	}
	return p
}

// pixelTolerance is the part of a drawing's pixel to which its edges are worth following, hardPixelTolerance that of one in
// hard black and white: finer lines and curves draw the pixels.
const (
	pixelTolerance     = 0.5
	hardPixelTolerance = 0.8
)

// toPixels lets a drawing of coarse pixels have a tolerance that suits these, unless one is asked for.
func (s *settings) toPixels(p paper.Stock, mmPerPixel float64, hard bool) paper.Stock {
	part := pixelTolerance
	if hard {
		part = hardPixelTolerance
	}
	if !s.tolerance.given {
		p.Tolerance = max(p.Tolerance, part*mmPerPixel)
	}
	return p
}

// path is where the tool's centre runs to cut the design's openings.
func (d *design) path() (*geom.MultiPolygon, error) {
	cut, err := offset.Kerf(d.cut, d.stock.Kerf)
	if err != nil {
		return nil, err
	}
	if cut.NumPolygons() == 0 {
		return nil, fmt.Errorf("a kerf of %s is wider than every opening", length.MM(d.stock.Kerf))
	}
	return cut, nil
}

// window is the bounds of the cut-out.
func (d *design) window() *geom.Bounds { return d.cut.Bounds() }

// islands counts the pieces of paper with cut area all round them: the holes of
// the cut areas.
func (d *design) islands() int {
	n := 0
	for i := range d.cut.NumPolygons() {
		n += d.cut.Polygon(i).NumLinearRings() - 1
	}
	return n
}

// holds reports whether no paper is loose.
func (d *design) holds() bool {
	for _, f := range d.faults {
		if f.Kind == stencil.Island {
			return false
		}
	}
	return true
}
