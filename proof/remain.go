package proof

import (
	"fmt"
	"math"

	"example.org/kerfleaf/internal/region"
	"example.org/kerfleaf/internal/ring"
	"example.org/kerfleaf/offset"
	"github.com/twpayne/go-geom"
)

// round are the joins of what a round tool leaves; their chords are much finer than any tolerance.
var round = &offset.Options{Join: offset.Round, Tolerance: 0.001}

// grow is mp grown by d mm, or a copy.
func grow(mp *geom.MultiPolygon, d float64) (*geom.MultiPolygon, error) {
	if d == 0 || mp.Empty() {
		return mp.Clone(), nil
	}
	return offset.Polygons(mp, d, round)
}

// remove takes the kerf along all cuts out of the paper.
func (r *run) remove() error {
	var err error
	if r.opts.Reading == Outlines {
		r.paper, err = grow(r.nested, -r.kerf/2)
	} else if r.gone, err = grow(r.nested, r.kerf/2); err == nil {
		r.paper, err = without(rectangle(r.sheetBounds()), r.gone)
	}
	if err != nil {
		return err
	}
	r.result.Paper = r.paper
	if len(r.open) > 0 {
		slits, err := bands(r.open, max(r.kerf, noWidth)/2)
		if err != nil {
			return err
		}
		if r.result.Paper, err = without(r.paper, slits); err != nil {
			return err
		}
	}
	r.result.Area = r.result.Paper.Area()
	return nil
}

// sheetBounds is the sheet that openings are cut from. Where the closed cuts reach to all its edges nobody knew the sheet, and it was taken to
// end with them: then it reaches beyond.
func (r *run) sheetBounds() *geom.Bounds {
	const beyond = 10
	b := geom.NewBounds(geom.XY).Set(0, 0, r.d.Width, r.d.Height)
	if r.nested.Empty() {
		return b
	}
	c := r.nested.Bounds()
	if c.Min(0) <= grid && c.Min(1) <= grid && c.Max(0) >= r.d.Width-grid && c.Max(1) >= r.d.Height-grid {
		b.Set(-beyond, -beyond, r.d.Width+beyond, r.d.Height+beyond)
	}
	return b
}

func rectangle(b *geom.Bounds) *geom.MultiPolygon {
	x0, y0, x1, y1 := b.Min(0), b.Min(1), b.Max(0), b.Max(1)
	return geom.NewMultiPolygonFlat(geom.XY, []float64{x0, y0, x1, y0, x1, y1, x0, y1, x0, y0}, [][]int{{10}})
}

// bands is what is within radius of open cuts.
func bands(open []track, radius float64) (*geom.MultiPolygon, error) {
	var all []*geom.Polygon
	for _, t := range open {
		b, err := region.Along(t.pts, radius)
		if err != nil {
			return nil, fmt.Errorf("proof: %w", err)
		}
		for i := range b.NumPolygons() {
			all = append(all, b.Polygon(i))
		}
	}
	u, err := region.UnionAll(all)
	if err != nil {
		return nil, fmt.Errorf("proof: %w", err)
	}
	return u, nil
}

// without is what of the paper lies in none of the areas that are removed. Only rings that can meet are overlaid: an area within the
// paper, clear of its edges, simply becomes a hole, and a hole clear of all areas stays one.
func without(paper, areas *geom.MultiPolygon) (*geom.MultiPolygon, error) {
	if areas.Empty() {
		return paper, nil
	}
	of := func(flat []float64) ring.Box {
		b := ring.EmptyBox()
		for i := 0; i < len(flat); i += 2 {
			b = b.Add(flat[i], flat[i+1])
		}
		return b
	}
	edges := newSegments(ring.Rings(paper))
	in := newInside(paper)
	var rings [][]float64
	meeting := geom.NewMultiPolygon(geom.XY)
	var boxes []ring.Box
	for i := range areas.NumPolygons() {
		p := areas.Polygon(i)
		flat := p.LinearRing(0).FlatCoords()
		box := of(flat)
		if _, within := in.polygon(flat[0], flat[1]); within && !edges.enter(box.Grow(noWidth)) {
			rings = append(rings, ring.Rings(geom.NewMultiPolygonFlat(geom.XY, p.FlatCoords(), [][]int{p.Ends()}))...)
			continue
		}
		if err := meeting.Push(p); err != nil {
			return nil, err
		}
		boxes = append(boxes, box)
	}
	rest := paper
	if !meeting.Empty() {
		tree := ring.NewTree(boxes)
		rest = geom.NewMultiPolygon(geom.XY)
		var found []int32
		for i := range paper.NumPolygons() {
			p := paper.Polygon(i)
			near := geom.NewPolygon(geom.XY)
			for j := range p.NumLinearRings() {
				flat := p.LinearRing(j).FlatCoords()
				if found = tree.Search(of(flat).Grow(noWidth), found[:0]); j > 0 && len(found) == 0 {
					rings = append(rings, flat)
					continue
				}
				if err := near.Push(p.LinearRing(j)); err != nil {
					return nil, err
				}
			}
			if err := rest.Push(near); err != nil {
				return nil, err
			}
		}
		var err error
		if rest, err = region.Difference(rest, meeting); err != nil {
			return nil, fmt.Errorf("proof: %w", err)
		}
	}
	return ring.Nest(append(ring.Rings(rest), rings...)), nil
}

// crumb is the area in mm² below which a piece that comes off is a crumb.
const crumb = 0.01

// onePiece claims that every part is one piece.
func (r *run) onePiece() error {
	solid := r.result.Paper
	if r.kerf < noWidth {
		// Paper that hangs together by less is cut through.
		var err error
		if solid, err = grow(solid, -noWidth/2); err != nil {
			return err
		}
	}
	parts := r.nested
	if r.opts.Reading == Openings {
		parts = rectangle(r.sheetBounds())
	}
	in := newInside(parts)
	pieces := make([][]int, parts.NumPolygons())
	for i := range solid.NumPolygons() {
		if p := solid.Polygon(i); math.Abs(p.Area()) > crumb {
			flat := p.FlatCoords()
			if k, ok := in.polygon((flat[0]+flat[2])/2, (flat[1]+flat[3])/2); ok {
				pieces[k] = append(pieces[k], i)
			} else if r.opts.Reading == Openings { // on the sheet's edge
				pieces[0] = append(pieces[0], i)
			}
		}
	}
	falls := loose(parts)
	var faults []Claim
	whole := 0
	for k, list := range pieces {
		at := middle(parts.Polygon(k))
		if falls[k] {
			faults = append(faults, Claim{Text: fmt.Sprintf("a piece of %.2f mm² within an opening at %s falls out", parts.Polygon(k).Area(), spot(at)), At: at, Piece: parts.Polygon(k)})
			continue
		}
		if len(list) == 0 {
			if parts.Polygon(k).Area() > crumb {
				faults = append(faults, Claim{Text: fmt.Sprintf("nothing remains of the part at %s", spot(at)), At: at})
			}
			continue
		}
		whole++
		main, most := 0, 0.0
		for _, i := range list {
			if size := ring.Area(solid.Polygon(i).LinearRing(0).FlatCoords()); size > most {
				main, most = i, size
			}
		}
		for _, i := range list {
			if i != main {
				p := middle(solid.Polygon(i))
				faults = append(faults, Claim{Text: fmt.Sprintf("a piece of %.2f mm² at %s comes off", solid.Polygon(i).Area(), spot(p)), At: p, Piece: solid.Polygon(i)})
			}
		}
	}
	if r.opts.Reading == Openings {
		r.claims(faults, "the sheet stays in one piece: %.1f mm² of paper", r.result.Area)
	} else {
		r.claims(faults, "every part stays in one piece: %d, of %.1f mm² of paper", whole, r.result.Area)
	}
	return nil
}

// loose tells which polygons lie within an opening of another: their outer rings are holes among the outer rings of all.
func loose(mp *geom.MultiPolygon) []bool {
	out := make([]bool, mp.NumPolygons())
	outers := make([][]float64, len(out))
	number := map[[2]float64]int{}
	for i := range out {
		outers[i] = mp.Polygon(i).LinearRing(0).FlatCoords()
		number[[2]float64(outers[i][:2])] = i
	}
	nested := ring.Nest(outers)
	for i := range nested.NumPolygons() {
		for j := 1; j < nested.Polygon(i).NumLinearRings(); j++ {
			out[number[[2]float64(nested.Polygon(i).LinearRing(j).FlatCoords()[:2])]] = true
		}
	}
	return out
}

// middle is a point of a polygon's edge: what is to be seen of it.
func middle(p *geom.Polygon) geom.Coord {
	b := p.Bounds()
	c := geom.Coord{(b.Min(0) + b.Max(0)) / 2, (b.Min(1) + b.Max(1)) / 2}
	if contains(p, c[0], c[1]) {
		return c
	}
	return geom.Coord{p.FlatCoords()[0], p.FlatCoords()[1]}
}
