package proof

import (
	"fmt"

	"example.org/kerfleaf/export"
	"example.org/kerfleaf/internal/ring"
	"github.com/twpayne/go-geom"
)

// design finds out what of the design a round tool can make: it leaves the corners of openings round. To grow the paper by the tool's radius and to
// shrink it again does the same.
func (r *run) design() error {
	d := r.opts.Design
	if d == nil {
		return nil
	}
	want, out := d.Paper, r.kerf/2
	if want == nil {
		want, out = d.Openings, -r.kerf/2
	}
	grown, err := grow(want, out)
	if err == nil {
		r.wanted, err = grow(grown, -out)
	}
	return err
}

// asDesigned claims that what remains is what was designed, within the tolerance both ways, and that the open lines are those of the
// design.
func (r *run) asDesigned() {
	if r.wanted == nil {
		return
	}
	got, what := r.paper, "the paper that remains"
	if r.opts.Reading == Openings {
		got, what = r.gone, "what is cut away"
	}
	tol := r.opts.Tolerance
	wanted, made := ring.Rings(r.wanted), ring.Rings(got)
	var faults []Claim
	for _, p := range newSegments(made).strays(wanted, tol, nil) {
		at := geom.Coord{p[0], p[1]}
		faults = append(faults, Claim{Text: fmt.Sprintf("no cut is within %g mm of the edge designed at %s", tol, spot(at)), At: at})
	}
	for _, p := range newSegments(wanted).strays(made, tol, nil) {
		at := geom.Coord{p[0], p[1]}
		faults = append(faults, Claim{Text: fmt.Sprintf("the cut at %s is further than %g mm from all edges designed", spot(at), tol), At: at})
	}
	r.claims(faults, "%s is as designed within %g mm: %.1f mm² of %.1f", what, tol, got.Area(), r.wanted.Area())
	r.openLines()
}

// openLines claims that the slits, scores and perforations are those of the design.
func (r *run) openLines() {
	d := r.opts.Design
	if len(d.Lines) == 0 && len(r.open) == 0 && len(r.scores) == 0 {
		return
	}
	in := newInside(r.wanted)
	// A slit may run out beyond the edge of its part, where there is nothing to cut.
	onPaper := func(x, y float64) bool {
		_, ok := in.polygon(x, y)
		return ok == (r.opts.Reading == Outlines)
	}
	tol := r.opts.Tolerance
	n := 0
	var faults []Claim
	for role := export.Cut; role < export.Note; role++ {
		var wanted, made [][]float64
		for _, l := range d.Lines {
			if l.Role != role {
				continue
			}
			for _, s := range l.Shapes {
				for _, line := range shapeLines(s) {
					if line != nil && len(line.FlatCoords()) >= 2*line.Stride() {
						wanted = append(wanted, flatXY(line))
					}
				}
			}
		}
		if role == export.Cut {
			made = points(r.open)
		} else {
			for _, t := range r.scores {
				if t.role == role {
					made = append(made, t.pts)
				}
			}
		}
		n += len(wanted)
		for _, p := range newSegments(made).strays(wanted, tol, nil) {
			at := geom.Coord{p[0], p[1]}
			faults = append(faults, Claim{Text: fmt.Sprintf("the %s line designed at %s is missing", role, spot(at)), At: at})
		}
		extra := onPaper
		if role != export.Cut {
			extra = nil
		}
		for _, p := range newSegments(wanted).strays(made, tol, extra) {
			at := geom.Coord{p[0], p[1]}
			faults = append(faults, Claim{Text: fmt.Sprintf("the %s line at %s is not in the design", role, spot(at)), At: at})
		}
	}
	if n > 0 || len(faults) > 0 {
		r.claims(faults, "all %d slits and scores are where they were designed", n)
	}
}

// flatXY are the first two ordinates of a line.
func flatXY(line geom.T) []float64 {
	flat, stride := line.FlatCoords(), line.Stride()
	out := make([]float64, 0, 2*len(flat)/stride)
	for i := 0; i+1 < len(flat); i += stride {
		out = append(out, flat[i], flat[i+1])
	}
	return out
}
