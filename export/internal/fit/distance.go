package fit

// slack is the share of the tolerance that stands for the difference between a curve and the chords that it is judged by.
const slack = 1.0 / 16

// near says whether the chords in f.flat, which differ from their curve by at most slack times the tolerance, keep to the vertices from..to. Both
// lines are walked side by side and matched in pairs of points: every vertex of either with a place on the other. Between two pairs
// in a row both lines are straight, so nothing there is further apart than one of these pairs.
func (f *fitter) near(from, to int) bool {
	limit := f.tolerance * (1 - slack)
	last := len(f.flat) - 2 // edge of flat
	if f.flat[0].sub(f.pts[from]).length() > limit || f.flat[last+1].sub(f.pts[to]).length() > limit {
		return false
	}
	edge := 0
	for v := from; v < to; v++ {
		next := last
		if v+1 < to {
			var d float64
			if next, d = f.nearest(f.pts[v+1], edge); d > limit {
				return false
			}
		}
		for k := edge + 1; k <= next; k++ {
			if toEdge(f.flat[k], f.pts[v], f.pts[v+1]) > limit {
				return false
			}
		}
		edge = next
	}
	return true
}

// nearest walks flat from an edge on as long as some edge of the next few is nearer to p.
func (f *fitter) nearest(p Point, edge int) (int, float64) {
	best := toEdge(p, f.flat[edge], f.flat[edge+1])
	for k := edge + 1; k < len(f.flat)-1 && k <= edge+4; k++ {
		if d := toEdge(p, f.flat[k], f.flat[k+1]); d < best {
			best, edge = d, k
		}
	}
	return edge, best
}

// toEdge is the distance of p from the edge from a to b.
func toEdge(p, a, b Point) float64 {
	d := b.sub(a)
	t := 0.0
	if n := d.dot(d); n > 0 {
		t = min(max(p.sub(a).dot(d)/n, 0), 1)
	}
	return p.sub(a.add(d.times(t))).length()
}
