package main

import (
	"bytes"
	"context"
	"fmt"
	"os"

	"example.org/kerfleaf/export"
	"github.com/twpayne/go-geom"
)

// stages are the way from a drawing to a mock-up, in the order of the commands,
// with what each stage made kept under what it was made of: the stage before, and
// the flags that it reads.
type stages struct {
	drawing string // a path
	picture memo[*source]
	traced  memo[*design]
	steps   [4]memo[*design] // as settings.steps has them
	tool    memo[*geom.MultiPolygon]
	trays   memo[*trays]
	look    memo[[]byte]
}

// newStages keeps few pictures, which are large.
func newStages(drawing string) *stages {
	return &stages{drawing: drawing, picture: memo[*source]{keep: 2}}
}

// shaped is a design on its way, with what it came from.
type shaped struct {
	*design
	src  *source
	bare *geom.MultiPolygon // the cut areas before anything was tied
	key  string
	pic  string // the picture's key
}

// read reads the drawing, and again once its file has changed.
func (st *stages) read(ctx context.Context, s *settings) (*source, string, error) {
	info, err := os.Stat(st.drawing)
	if err != nil {
		return nil, "", fmt.Errorf("cannot open %s: %w", st.drawing, plain(err))
	}
	key := fmt.Sprint(info.ModTime().UnixNano(), info.Size())
	if s.cleans() {
		key += fmt.Sprint(" clean ", s.minArea.mm2)
	}
	src, err := st.picture.get(ctx, key, func() (*source, error) { return s.readDrawing(st.drawing) })
	return src, key, err
}

// shape takes the drawing through all stages that change the cut areas. box says
// that a box goes around them.
func (st *stages) shape(ctx context.Context, s *settings, box bool) (*shaped, error) {
	stock, err := s.stock(s.paper)
	if err != nil {
		return nil, err
	}
	src, key, err := st.read(ctx, s)
	if err != nil {
		return nil, err
	}
	stock = s.own(stock)
	sh := &shaped{src: src, pic: key}
	key += fmt.Sprint(" trace ", s.threshold, s.invert, s.minArea.mm2, s.toPixels(stock, src.picture.MMPerPixel, false).Tolerance, stock.Smooth)
	traced, err := st.traced.get(ctx, key, func() (*design, error) {
		return s.traceDrawing(ctx, src, stock, &progress{})
	})
	if err != nil {
		return nil, err
	}
	d := *traced
	d.stock = s.toPixels(stock, src.picture.MMPerPixel, d.traced.Hard)
	if box {
		s.frameBox(&d)
	}
	sh.design, sh.key, sh.bare = &d, key, d.cut
	for i, p := range s.steps()[:stepCheck] {
		if p.skip {
			continue
		}
		if err := st.step(ctx, s, sh, i, p); err != nil {
			return nil, err
		}
		if i == stepGrow {
			sh.bare = sh.cut
		}
	}
	return sh, ctx.Err()
}

// The steps by their place in settings.steps.
const (
	stepGrow = iota
	stepTie
	stepThicken
	stepCheck
)

// reads is what a step makes its result of, beside the cut areas.
func (s *settings) reads(i int, d *design) (string, error) {
	switch i {
	case stepGrow:
		return fmt.Sprint(" grow ", s.grow.mm), nil
	case stepTie:
		o, err := s.bridgeOptions(d)
		if err != nil {
			return "", err
		}
		return fmt.Sprint(" tie ", o.Width, o.Flare, o.Pins, o.Avoid, rect(d.frame)), nil
	case stepThicken:
		return fmt.Sprint(" thicken ", d.stock.MinWeb), nil
	default:
		limits := *d.limits()
		limits.Fold = nil // a pointer, which says nothing
		return fmt.Sprint(" check ", limits, rect(d.frame), rect(d.fold)), nil
	}
}

// step takes sh through one step.
func (st *stages) step(ctx context.Context, s *settings, sh *shaped, i int, p step) error {
	reads, err := s.reads(i, sh.design)
	if err != nil {
		return err
	}
	was := *sh.design
	done, err := st.steps[i].get(ctx, sh.key+reads, func() (*design, error) {
		d := was
		return &d, p.do(&d)
	})
	if err != nil {
		return err
	}
	now := was // the cut may be an earlier one's, the paper round it is not
	now.cut, now.straps, now.thin, now.faults = done.cut, done.straps, done.thin, done.faults
	sh.design, sh.key = &now, sh.key+reads
	return ctx.Err()
}

// check finds out whether the paper will hold.
func (st *stages) check(ctx context.Context, s *settings, sh *shaped) (*design, error) {
	c := *sh
	if err := st.step(ctx, s, &c, stepCheck, s.steps()[stepCheck]); err != nil {
		return nil, err
	}
	return c.design, nil
}

// path is where the tool runs.
func (st *stages) path(ctx context.Context, sh *shaped) (*geom.MultiPolygon, error) {
	return st.tool.get(ctx, sh.key+fmt.Sprint(" kerf ", sh.stock.Kerf), sh.path)
}

// lay lays out the box.
func (st *stages) lay(ctx context.Context, s *settings, sh *shaped) (*trays, error) {
	base, err := s.stock(s.box.basePaper)
	if err != nil {
		return nil, err
	}
	base.Kerf = s.kerf.or(base.Kerf)
	path, err := st.path(ctx, sh)
	if err != nil {
		return nil, err
	}
	spec, err := s.spec(sh.design, base)
	if err != nil {
		return nil, err
	}
	key := sh.key + fmt.Sprint(" box ", spec, sh.stock, base)
	return st.trays.get(ctx, key, func() (*trays, error) { return s.layTrays(sh.design, path, base) })
}

// edge lets openings end at a sheet's edge: in mm, the paper that the mock-up of
// a cut-out without a box has beyond it.
const edge = 0.01

// mockup draws the finished front, or the cut-out lying flat, as a PNG file.
func (st *stages) mockup(ctx context.Context, s *settings, box bool, pixels int) ([]byte, error) {
	sh, err := st.shape(ctx, s, box)
	if err != nil {
		return nil, err
	}
	var d *export.Drawing
	var face *geom.Bounds
	depth := 0.0
	key := sh.key + fmt.Sprint(" look ", pixels)
	if box {
		t, err := st.lay(ctx, s, sh)
		if err != nil {
			return nil, err
		}
		d, face, depth = t.front.pattern, t.face, t.spec.Depth
		key += fmt.Sprint(t.spec)
	} else {
		w, h := sh.frame.Max(0)+2*edge, sh.frame.Max(1)+2*edge
		d, face = cutOut(w, h, moved(sh.cut, edge, edge)), rectangle(w, h)
	}
	return st.look.get(ctx, key, func() ([]byte, error) {
		var b bytes.Buffer
		err := export.Mockup(&b, d, face, depth, &export.MockupOptions{Pixels: pixels})
		return b.Bytes(), err
	})
}

// rect is a rectangle as left, top, right and bottom; nil for none.
func rect(b *geom.Bounds) []float64 {
	if b == nil {
		return nil
	}
	return []float64{b.Min(0), b.Min(1), b.Max(0), b.Max(1)}
}
