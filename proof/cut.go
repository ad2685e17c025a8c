package proof

import (
	"fmt"

	"example.org/kerfleaf/export"
	"example.org/kerfleaf/internal/ring"
	"example.org/kerfleaf/stencil"
	"github.com/twpayne/go-geom"
)

// Reading says what the outermost closed cuts of a drawing are.
type Reading int

const (
	// Either is for drawings of unknown origin. If one closed cut lies around all others, or scores and slits are within closed cuts, the
	// outermost ones are read as Outlines, else as Openings.
	Either Reading = iota
	// Outlines of parts: what is outside of them is waste, as are the openings within.
	Outlines
	// Openings in the sheet itself, which is the part.
	Openings
)

// Design is what a drawing is meant to make, in mm in the drawing's frame. One of Paper and Openings is given.
type Design struct {
	Paper    *geom.MultiPolygon // the parts that remain, with their openings
	Openings *geom.MultiPolygon // or the areas cut out of the sheet itself
	// Lines are the open lines by their roles: slits (export.Cut), scores and perforations. Other layers may be missing; lines of the
	// drawing that are not among them are faults.
	Lines []export.Layer
}

// Options say what is known about a drawing; nil stands for the defaults. Lengths are in mm.
type Options struct {
	Reading Reading // default Either; a Design says it
	Design  *Design // default: not known; what can be said of the drawing alone is said
	// Tolerance is how far what remains may be from the design. Default 0.02.
	Tolerance float64
	// MinWeb is the narrowest strip of paper that the stock bears. Default: not examined.
	MinWeb float64
	// Known are the faults that were reported already, in the drawing's frame: they are not claimed to be absent.
	Known []stencil.Fault
	// Width and Height are what the closed cuts should measure, if that is known without a Design. Default: not examined.
	Width, Height float64
}

// A Claim is one thing that has to be true of a drawing, and whether it is.
type Claim struct {
	Text    string     // for people
	OK      bool       // it is true
	Caution bool       // it is not, but the work may well succeed all the same
	At      geom.Coord // where it is not true, in mm in the drawing's frame; nil: everywhere or nowhere
	// Piece is the paper that comes off, if that is why it is not true, in the same frame.
	Piece *geom.Polygon
}

// String gives the text after "ok", "with care" or "wrong".
func (c Claim) String() string {
	switch {
	case c.OK:
		return "ok: " + c.Text
	case c.Caution:
		return "with care: " + c.Text
	}
	return "wrong: " + c.Text
}

// A Result is what a dry run gave.
type Result struct {
	Claims []Claim
	// Paper is what remains, valid polygons in mm in the drawing's frame; nil if lines cross so that nothing can be said.
	Paper *geom.MultiPolygon
	// Area of Paper in mm²; slits take the kerf's width of it.
	Area float64
}

// OK reports whether all claims are true but those that want care only.
func (r *Result) OK() bool {
	for _, c := range r.Claims {
		if !c.OK && !c.Caution {
			return false
		}
	}
	return true
}

// An InputError says what makes a drawing, a design or an option unfit for a dry run.
type InputError struct{ Problem string }

func (e *InputError) Error() string { return "proof: " + e.Problem }

// noWidth is the width of paper, in mm, that does not hold, even where the tool removes nothing.
const noWidth = 0.01

// grid is how far apart, in mm, the ends of lines may be that are meant to be one point: files round.
const grid = 0.002

// most is how many places of a kind get a claim of their own.
const most = 5

// Cut makes the dry run of a drawing with a tool that removes kerf mm (0: a knife) along the middle of its cuts, one after the other, and
// returns a claim for everything that has to be true of the file and of the paper that remains: that no line is cut twice or left open,
// nothing lies outside the sheet, lines do not cross, every part stays in one piece, is as it was designed, has no web below the smallest, and is
// freed only when it is done. Open cuts whose ends meet are joined; an end that runs on along its own beginning is the overcut
// of a closed one. Curves in corners are those of a round tool. Notes are not looked at.
//
// The dry run takes some n log n steps for n points. Errors: [*InputError], and those of the packages that shrink and examine the paper.
func Cut(d *export.Drawing, kerf float64, opts *Options) (*Result, error) {
	r, err := newRun(d, kerf, opts)
	if err != nil {
		return nil, err
	}
	if len(r.tracks) == 0 {
		r.claim(false, nil, "there is a line to cut")
		return r.result, nil
	}
	if err := r.design(); err != nil {
		return nil, err
	}
	r.sheet()
	r.doubled()
	r.closed, r.open, r.scores = assemble(r.tracks)
	r.scale()
	r.leftOpen()
	if r.crossings() {
		return r.result, nil
	}
	r.nest()
	r.inOrder()
	if err := r.remove(); err != nil {
		return nil, err
	}
	if err := r.onePiece(); err != nil {
		return nil, err
	}
	r.asDesigned()
	if err := r.webs(); err != nil {
		return nil, err
	}
	return r.result, nil
}

// run is a dry run under way.
type run struct {
	d      *export.Drawing
	kerf   float64
	opts   Options
	tracks []track            // all lines, in order
	closed []track            // of these the closed cuts, open ones joined
	index  *ring.Index        // of all lines, then of the closed cuts
	open   []track            // cuts that are no rings
	scores []track            // scores and perforations
	nested *geom.MultiPolygon // what the closed cuts enclose
	paper  *geom.MultiPolygon // what remains
	gone   *geom.MultiPolygon // with Openings: what is removed
	wanted *geom.MultiPolygon // what the design asks for, of paper or of gone
	result *Result
}

func newRun(d *export.Drawing, kerf float64, opts *Options) (*run, error) {
	r := &run{d: d, kerf: kerf, result: &Result{}}
	if opts != nil {
		r.opts = *opts
	}
	o := &r.opts
	if o.Tolerance == 0 {
		o.Tolerance = 0.02
	}
	for _, v := range []float64{kerf, o.Tolerance, o.MinWeb, o.Width, o.Height} {
		if !(v >= 0) || v > largest {
			return nil, &InputError{fmt.Sprintf("a length of %g mm makes no sense", v)}
		}
	}
	if !(d.Width >= 0 && d.Height >= 0) || !finite(d.Width) || !finite(d.Height) {
		return nil, &InputError{fmt.Sprintf("a sheet of %g by %g mm makes no sense", d.Width, d.Height)}
	}
	if o.Design != nil {
		if (o.Design.Paper == nil) == (o.Design.Openings == nil) {
			return nil, &InputError{"a design has either Paper or Openings"}
		}
		o.Reading = Outlines
		if o.Design.Openings != nil {
			o.Reading = Openings
		}
	}
	var err error
	r.tracks, err = gather(d)
	return r, err
}

// claim adds a claim.
func (r *run) claim(ok bool, at geom.Coord, format string, args ...any) {
	r.result.Claims = append(r.result.Claims, Claim{Text: fmt.Sprintf(format, args...), OK: ok, At: at})
}

// claims adds one claim if there are no faults, else one for each of the first and one for how many more there are.
func (r *run) claims(faults []Claim, format string, args ...any) {
	if len(faults) == 0 {
		r.claim(true, nil, format, args...)
		return
	}
	n := min(len(faults), most)
	r.result.Claims = append(r.result.Claims, faults[:n]...)
	if rest := len(faults) - n; rest > 0 {
		last := faults[n]
		last.Text = fmt.Sprintf("and %d more of this kind", rest)
		r.result.Claims = append(r.result.Claims, last)
	}
}

// spot formats a point for people.
func spot(p geom.Coord) string { return fmt.Sprintf("(%.1f, %.1f)", p[0], p[1]) }

// sheet claims that nothing lies outside the sheet.
func (r *run) sheet() {
	var faults []Claim
	for _, t := range r.tracks {
		for i := 0; i < len(t.pts); i += 2 {
			x, y := t.pts[i], t.pts[i+1]
			over := max(-x, -y, x-r.d.Width, y-r.d.Height)
			if over > grid {
				p := geom.Coord{x, y}
				faults = append(faults, Claim{Text: fmt.Sprintf("a line leaves the sheet of %.2f x %.2f mm at %s by %.2f mm", r.d.Width, r.d.Height, spot(p), over), At: p})
				break
			}
		}
	}
	r.claims(faults, "all lines are on the sheet of %.2f x %.2f mm", r.d.Width, r.d.Height)
}
