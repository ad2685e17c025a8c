package stencil

import (
	"math"

	"github.com/twpayne/go-geom"
)

// short is how much narrower, in mm, than asked for paper may be and still do.
const short = 1e-3

func (s *survey) islands() []Fault {
	var out []Fault
	shapes := s.outlines(s.pieces.loose())
	for k, i := range s.pieces.loose() {
		q := s.pieces.list[i]
		out = append(out, Fault{Kind: Island, At: q.in.coord(), Area: q.area, Single: true, Shape: shapes[k]})
	}
	return out
}

// narrow is a fault at passage w, with what hangs on it alone below triangle off.
func (s *survey) narrow(kind Kind, w passage, off int32) Fault {
	at := s.middle(w)
	f := Fault{
		Kind: kind, At: at.coord(), Width: w.width,
		Across: [2]geom.Coord{s.corner(w).coord(), w.foot.coord()},
	}
	if off >= 0 {
		l := &s.hang.below[off]
		f.Single, f.Area, f.Reach, f.off = true, l.area, s.reach(off, at), off
	}
	return f
}

// shapes adds the shape of what hangs on each place alone. Places that hang on one
// another share it: beyond a few times all the paper, the last do without.
func (s *survey) shapes(faults []Fault) {
	left := 8 * int32(s.Triangles())
	for i := range faults {
		f := &faults[i]
		if !f.Single || f.Kind == Island || s.hang.size[f.off] > left {
			continue
		}
		left -= s.hang.size[f.off]
		f.Shape = s.hung(f.off)
	}
}

func (s *survey) thinWebs(o Options) []Fault {
	var out []Fault
	for _, w := range s.webs(o.Caution - short) {
		f := s.narrow(ThinWeb, w.passage, w.off)
		f.Length = w.length
		f.Need, f.Caution = o.MinWeb, w.width >= o.MinWeb-short
		if f.Caution {
			f.Need = o.Caution
		}
		out = append(out, f)
	}
	return out
}

// weakNecks reports necks that hold a part alone and are too narrow for its reach,
// unless they are thin webs anyway.
func (s *survey) weakNecks(o Options) []Fault {
	var out []Fault
	for _, n := range s.necks(o.Caution-short, true) {
		need := snagWidth(o.Snag, n.Reach, o.Strength)
		if n.Width >= need-short {
			continue
		}
		f := s.narrow(WeakNeck, n.way, n.off)
		f.Need = need
		f.Caution = true
		out = append(out, f)
	}
	return out
}

func (s *survey) longTongues(o Options) []Fault {
	var out []Fault
	for _, g := range s.tongues(o.Caution, o.Sag) {
		f := s.narrow(Tongue, g.passage, g.off)
		f.Need = math.Min(o.Sag, hair*g.width)
		if g.width >= o.Caution {
			f.Need = o.Sag
		}
		f.Caution = true
		out = append(out, f)
	}
	return out
}

// smallCuts reports cut areas smaller than the smallest disc that can be lifted out.
func smallCuts(cut *geom.MultiPolygon, o Options) []Fault {
	if o.MinCut < 0 || cut == nil {
		return nil
	}
	need := math.Pi / 4 * o.MinCut * o.MinCut
	var out []Fault
	for i := range cut.NumPolygons() {
		p := cut.Polygon(i)
		if a := p.Area(); a < need {
			b := p.Bounds()
			out = append(out, Fault{
				Kind: SmallCut, At: middle(xy{b.Min(0), b.Min(1)}, xy{b.Max(0), b.Max(1)}).coord(),
				Area: a, Need: need, Caution: true,
			})
		}
	}
	return out
}

// foldWebs reports for each cut area and each fold that runs by it where the paper
// between them is too narrow. A cut area that reaches across a fold leaves none.
func foldWebs(cut *geom.MultiPolygon, o Options) []Fault {
	if o.Fold == nil || cut == nil {
		return nil
	}
	lo, hi := xy{o.Fold.Min(0), o.Fold.Min(1)}, xy{o.Fold.Max(0), o.Fold.Max(1)}
	corners := []xy{lo, {hi.x, lo.y}, hi, {lo.x, hi.y}}
	var out []Fault
	flat := cut.FlatCoords()
	start := 0
	for _, ends := range cut.Endss() {
		if len(ends) == 0 {
			continue
		}
		outer := flat[start:ends[0]] // holes lie farther from any line outside
		start = ends[len(ends)-1]
		for k, a := range corners {
			if f, ok := foldWeb(outer, a, corners[(k+1)%4], o.MinFold); ok {
				f.Caution = f.Width >= o.MinWeb-short // it will hold, but not fold cleanly
				out = append(out, f)
			}
		}
	}
	return out
}

// foldWeb measures the closed ring flat against the fold from a to b.
func foldWeb(flat []float64, a, b xy, need float64) (Fault, bool) {
	dir := b.sub(a)
	dir = dir.times(1 / dir.norm())
	best := math.Inf(1)
	var at, foot xy
	from, to := math.Inf(1), math.Inf(-1)
	side := 0.0
	for i := 0; i+3 < len(flat); i += 2 {
		u, v := xy{flat[i], flat[i+1]}, xy{flat[i+2], flat[i+3]}
		p, q, d := closest(edge{a: u, b: v}, edge{a: a, b: b})
		if d < best || d == best && math.Abs(dir.cross(u.sub(a))) < side {
			best, at, foot = d, p, q
			side = math.Abs(dir.cross(u.sub(a)))
		}
		if d < need {
			along := q.sub(a).dot(dir)
			from, to = math.Min(from, along), math.Max(to, along)
		}
	}
	if best >= need {
		return Fault{}, false
	}
	return Fault{
		Kind: FoldWeb, At: middle(at, foot).coord(), Across: [2]geom.Coord{at.coord(), foot.coord()},
		Width: best, Need: need, Length: to - from,
	}, true
}
