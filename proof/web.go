package proof

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.org/kerfleaf/internal/region"
	"example.org/kerfleaf/internal/ring"
	"example.org/kerfleaf/stencil"
	"github.com/twpayne/go-geom"
)

// webs claims that no strip of paper is narrower than the stock bears, other than those that are known.
func (r *run) webs() error {
	need := r.opts.MinWeb
	if need == 0 {
		return nil
	}
	var faults []Claim
	known := false
	for i := range r.result.Paper.NumPolygons() {
		p := r.result.Paper.Polygon(i)
		if math.Abs(p.Area()) < crumb {
			continue
		}
		suspects := slices.DeleteFunc(narrow(p, need), func(s stencil.Fault) bool {
			k := r.known(s)
			known = known || k
			return k
		})
		if len(suspects) == 0 {
			continue
		}
		// The survey of the whole piece takes much longer, but tells webs from what only looks like one, and does not repeat itself.
		found, err := thin(p, need)
		if err != nil {
			return err
		}
		for _, f := range found {
			if r.known(f) {
				continue
			}
			faults = append(faults, Claim{Text: f.String(), At: geom.Coord{f.At[0], f.At[1]}})
		}
	}
	text := fmt.Sprintf("no web is narrower than %.2f mm", need)
	if known {
		text += ", but for those reported"
	}
	r.claims(faults, "%s", text)
	return nil
}

func (r *run) known(f stencil.Fault) bool {
	for _, k := range r.opts.Known {
		if len(k.At) >= 2 && math.Hypot(k.At[0]-f.At[0], k.At[1]-f.At[1]) <= max(1, r.opts.MinWeb)+(k.Length+f.Length)/2 {
			return true
		}
	}
	return false
}

// thin finds the webs of one piece of paper that are narrower than need. The sheet around it ends just within its edges, so that they
// are the sheet's where they can be; what is cut off outside of them is a cut area.
func thin(p *geom.Polygon, need float64) ([]stencil.Fault, error) {
	const within = 1e-4
	outer := p.LinearRing(0)
	b := outer.Bounds()
	sheet := geom.NewBounds(geom.XY).Set(b.Min(0)+within, b.Min(1)+within, b.Max(0)-within, b.Max(1)-within)
	shell := geom.NewMultiPolygonFlat(geom.XY, outer.FlatCoords(), [][]int{{len(outer.FlatCoords())}})
	cut, err := region.Difference(rectangle(b), shell)
	if err != nil {
		return nil, fmt.Errorf("proof: %w", err)
	}
	holes := make([][]float64, 0, p.NumLinearRings())
	for i := 1; i < p.NumLinearRings(); i++ {
		holes = append(holes, p.LinearRing(i).FlatCoords())
	}
	openings := ring.Nest(holes)
	for i := range openings.NumPolygons() {
		if err := cut.Push(openings.Polygon(i)); err != nil {
			return nil, err
		}
	}
	all, err := stencil.Check(cut, sheet, &stencil.Options{MinWeb: need, MinCut: -1})
	if errors.Is(err, stencil.ErrNoPaper) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("proof: %w", err)
	}
	var out []stencil.Fault
	for _, f := range all {
		if f.Kind == stencil.ThinWeb && !f.Caution {
			out = append(out, f)
		}
	}
	return out, nil
}
