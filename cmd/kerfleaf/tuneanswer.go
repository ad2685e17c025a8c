package main

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"example.org/kerfleaf/box"
	"example.org/kerfleaf/internal/length"
)

// The answer to a wish comes in pieces, each as soon as it is known: lines,
// verdict, box, done; or failed, which is the last. Lengths are mm in the
// drawing's frame.

type linesPiece struct {
	Piece   string             `json:"piece"`
	Line    string             `json:"line"` // the command line
	Picture string             `json:"picture"`
	Size    [2]float64         `json:"size"` // of the drawing
	Frame   []float64          `json:"frame"`
	Fold    []float64          `json:"fold,omitempty"`
	Cut     string             `json:"cut"`            // the openings, as an SVG path
	Bare    string             `json:"bare,omitempty"` // the same before anything was tied, if it was
	Tool    string             `json:"tool,omitempty"` // the tool's path, if it is another
	Straps  []strapPiece       `json:"straps"`
	Values  map[string]float64 `json:"values"` // what each knob comes to
	Level   float64            `json:"level"`
	About   string             `json:"about"`
}

type strapPiece struct {
	From   [2]float64 `json:"from"`
	To     [2]float64 `json:"to"`
	Width  float64    `json:"width"`
	Length float64    `json:"length"`
	Second bool       `json:"second"`
	Pinned bool       `json:"pinned"`
	Shape  string     `json:"shape"`
}

type verdictPiece struct {
	Piece   string       `json:"piece"`
	Verdict string       `json:"verdict"`
	Fails   int          `json:"fails"`
	Faults  []faultPiece `json:"faults"`
	More    int          `json:"more"` // that are not listed
}

type faultPiece struct {
	Kind    string       `json:"kind"`
	Text    string       `json:"text"`
	At      [2]float64   `json:"at"`
	Across  [][2]float64 `json:"across,omitempty"`
	Width   float64      `json:"width"`
	Area    float64      `json:"area"`
	Shape   string       `json:"shape,omitempty"`
	Caution bool         `json:"caution"`
}

type boxPiece struct {
	Piece string   `json:"piece"`
	Facts []string `json:"facts"`
}

type donePiece struct {
	Piece string `json:"piece"`
}

type failedPiece struct {
	Piece string `json:"piece"`
	Why   string `json:"why"`
	Line  string `json:"line,omitempty"`
}

// answer takes a wish through the stages and sends the pieces as they come.
func (t *tuner) answer(ctx context.Context, w wish, send func(...any) error) error {
	args, s, err := t.settings(w)
	line := ""
	if args != nil {
		line = shellLine(t.goos, args)
	}
	if err == nil {
		err = t.pieces(ctx, s, w.Command == "box", line, send)
	}
	if err == nil || canceled(err) || errors.Is(err, errSend) {
		return err
	}
	return send(failedPiece{Piece: "failed", Why: err.Error(), Line: line})
}

// errSend says that nobody listens any more.
var errSend = errors.New("the page is gone")

// together is how long the lines wait for the verdict: half of what a page takes to
// paint twice, which it saves if they come as one.
const together = 10 * time.Millisecond

func (t *tuner) pieces(ctx context.Context, s *settings, isBox bool, line string, send func(...any) error) error {
	sh, err := t.stages.shape(ctx, s, isBox)
	if err != nil {
		return err
	}
	var checked *design
	var checkErr error
	found := make(chan struct{})
	go func() { // beside the path
		defer close(found)
		checked, checkErr = t.stages.check(ctx, s, sh)
	}()
	lines, pathErr := t.lines(ctx, s, sh, line)
	if pathErr != nil {
		<-found
		if err := send(lines); err != nil {
			return err
		}
		return pathErr
	}
	ready := []any{lines}
	select {
	case <-found:
	case <-time.After(together):
		if err := send(lines); err != nil {
			return err
		}
		ready = nil
		<-found
	}
	if checkErr == nil {
		ready = append(ready, verdictOf(checked))
	}
	if err := send(ready...); err != nil {
		return err
	}
	if checkErr != nil {
		return checkErr
	}
	done := []any{donePiece{"done"}}
	if isBox {
		laid, err := t.stages.lay(ctx, s, sh)
		if err != nil {
			return err
		}
		done = []any{boxPiece{"box", laid.facts()}, done[0]}
	}
	return send(done...)
}

// lines is the piece for what was shaped, with the tool's path; without it if that
// fails.
func (t *tuner) lines(ctx context.Context, s *settings, sh *shaped, line string) (linesPiece, error) {
	p := linesPiece{
		Piece: "lines", Line: line, Picture: sh.pic, Size: sh.src.size(), Frame: rect(sh.frame), Fold: rect(sh.fold), Cut: pathOf(sh.cut), Straps: []strapPiece{},
		Values: s.values(sh.design), Level: sh.traced.Level, About: sh.about(),
	}
	if len(sh.straps) > 0 {
		p.Bare = pathOf(sh.bare)
	}
	for _, b := range sh.straps {
		p.Straps = append(p.Straps, strapPiece{point(b.From), point(b.To), b.Width, b.Length(), b.Second, b.Pinned, ringsOf(b.Shape)})
	}
	path, err := t.stages.path(ctx, sh)
	if err == nil && sh.stock.Kerf > 0 {
		p.Tool = pathOf(path)
	}
	return p, err
}

// size is the drawing's width and height.
func (src *source) size() [2]float64 {
	p := src.picture
	return [2]float64{float64(p.Gray.Rect.Dx()) * p.MMPerPixel, float64(p.Gray.Rect.Dy()) * p.MMPerPixel}
}

// about says how large the cut-out is and how it was found.
func (sh *shaped) about() string {
	win := sh.window()
	return fmt.Sprintf("%s by %s, %s, %d nodes", length.Format(win.Max(0)-win.Min(0)), length.Format(win.Max(1)-win.Min(1)), openings(sh.cut.NumPolygons()), len(sh.cut.FlatCoords())/2)
}

func openings(n int) string {
	if n == 1 {
		return "1 opening"
	}
	return fmt.Sprintf("%d openings", n)
}

// values is what each knob comes to where it is not set, or as it is: in mm, mm²
// or, of the threshold, a grey.
func (s *settings) values(d *design) map[string]float64 {
	return map[string]float64{
		"threshold": round3(d.traced.Level), "tolerance": round3(d.stock.Tolerance), "smooth": d.stock.Smooth, "min-area": s.minArea.mm2, "grow": s.grow.mm,
		"kerf": d.stock.Kerf, "bridge": d.stock.Bridge, "min-web": d.stock.MinWeb,
		"margin": s.box.margin.or(box.DefaultMargin), "depth": s.box.depth.or(box.DefaultDepth),
	}
}

// facts are a box's measures in words.
func (t *trays) facts() []string {
	both := func(e box.Extent) string { return length.Format(e.Width) + " by " + length.Format(e.Height) }
	return []string{"front " + both(t.measures.FrontBlank), "base " + both(t.measures.BaseBlank), t.measures.SlidesIn()}
}

// mostFaults are listed; the rest is counted.
const mostFaults = 250

func verdictOf(d *design) verdictPiece {
	v := verdictPiece{Piece: "verdict", Verdict: d.verdict(), Fails: d.fails(), Faults: []faultPiece{}}
	listed := d.faults[:min(len(d.faults), mostFaults)]
	v.More = len(d.faults) - len(listed)
	for _, f := range listed {
		p := faultPiece{Kind: f.Kind.String(), Text: strings.TrimPrefix(f.String(), "stencil: "), At: point(f.At), Width: round3(f.Width), Area: round3(f.Area), Shape: ringsOf(f.Shape), Caution: f.Caution}
		if f.Width > 0 && f.Across[0] != nil && f.Across[1] != nil {
			p.Across = [][2]float64{point(f.Across[0]), point(f.Across[1])}
		}
		v.Faults = append(v.Faults, p)
	}
	return v
}
