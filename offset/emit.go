package offset

import "math"

// run is a stretch of the result: consecutive pieces, or parts of them, that
// nothing covers, as points along them, both ends included.
type run struct {
	first, last       int32 // pieces
	firstBy, lastBy   int32 // what bounds it there: a piece, follows, or loose
	points, endPoints int32 // its points, as a range of its walker's
	part              int32 // its walker
	sure              bool  // it is of pieces of free edges
}

// emit adds the stretch s of p to the runs.
func (w *walker) emit(p *piece, s span) {
	goesOn := w.goesOn(p.id, s.loBy, false)
	if !goesOn {
		w.start(p.id, s.loBy, false)
		w.points = w.appendAt(p, s.lo)
	}
	r := &w.runs[len(w.runs)-1]
	if p.isArc {
		if goesOn && s.loBy == follows && s.hiBy == follows && p.arc.end <= w.blunt {
			// Too slight a corner for two points: one amid the arc.
			n := len(w.points)
			w.points[n-2], w.points[n-1] = p.arc.x+w.d*p.arc.mx, p.arc.y+w.d*p.arc.my
			r.last = p.id
			return
		}
		if tan := tanBetween(s.lo, s.hi); tan > w.tanStep {
			w.appendChords(&p.arc, s.lo, tan)
		}
	}
	switch e := &w.edges[p.id/2+1]; {
	case s.hiBy != follows:
		w.points = w.appendAt(p, s.hi)
	case p.isArc:
		k := &w.edges[p.id/2]
		w.points = append(w.points, k.x+w.d*k.uy, k.y-w.d*k.ux)
	case p.id%2 == 1:
		// From the end of the edge, whose coordinates are exact.
		t := p.hi - w.edges[p.id/2].length
		l := &p.line
		w.points = append(w.points, e.x+w.d*l.uy+t*l.ux, e.y-w.d*l.ux+t*l.uy)
	default:
		w.points = w.appendAt(p, s.hi)
	}
	r.finish(p.id, s.hiBy, len(w.points))
}

// goesOn reports whether the last run goes on with a stretch of piece id that
// piece by bounds at its start.
func (w *walker) goesOn(id, by int32, sure bool) bool {
	if len(w.runs) == 0 {
		return false
	}
	r := &w.runs[len(w.runs)-1]
	if by == follows {
		return w.open && r.sure == sure
	}
	return r.lastBy == id && r.last == by && r.sure == sure
}

// start starts a run.
func (w *walker) start(id, by int32, sure bool) {
	w.runs = append(w.runs, run{first: id, firstBy: by, points: int32(len(w.points)), sure: sure})
}

// emitFree adds to the runs the pieces of edge k, which is free and follows edge
// p in the ring of edges first to end-1.
func (w *walker) emitFree(k, p, first, end int32) {
	e, d, t := &w.edges[k], w.d, w.trim[k]
	x, y := e.x+d*e.uy, e.y-d*e.ux
	if t < 0 { // a join
		before := &w.edges[p]
		goesOn := w.goesOn(joinAt(k), follows, true)
		if !goesOn {
			w.start(joinAt(k), follows, true)
			w.points = append(w.points, e.x+d*before.uy, e.y-d*before.ux)
		}
		if tan := -t / d; goesOn && tan <= w.tanBlunt {
			// Toward where the tangents of its ends meet.
			n := len(w.points)
			f := 1 / math.Sqrt(1+tan*tan)
			w.points[n-2], w.points[n-1] = e.x+f*(d*e.uy+t*e.ux), e.y+f*(t*e.uy-d*e.ux)
		} else {
			if tan > w.tanStep {
				a := newArc(before, e)
				w.appendChords(&a, -a.end, tan)
			}
			w.points = append(w.points, x, y)
		}
		w.open = true
	}
	by := follows
	if t > 0 {
		by = movedBy(p)
	}
	if !w.goesOn(movedBy(k), by, true) {
		t := max(t, 0)
		w.start(movedBy(k), by, true)
		w.points = append(w.points, x+t*e.ux, y+t*e.uy)
	}
	f, by := &w.edges[k+1], follows
	t = w.trim[k+1]
	if t > 0 {
		if by = movedBy(k + 1); k+1 == end {
			by = movedBy(first)
		}
	}
	t = max(t, 0)
	w.points = append(w.points, f.x+d*e.uy-t*e.ux, f.y-d*e.ux-t*e.uy)
	w.runs[len(w.runs)-1].finish(movedBy(k), by, len(w.points))
	w.open = by == follows
}

// finish says where the run ends as far as is known.
func (r *run) finish(last, by int32, points int) {
	r.last, r.lastBy, r.endPoints = last, by, int32(points)
}

// appendChords appends the points between the chords of a stretch of an arc
// which starts at place t, given the tangent of half its angle.
func (w *walker) appendChords(a *arc, t, tan float64) {
	half := math.Atan(tan)
	chords := math.Ceil(half / w.halfStep)
	sin, cos := math.Sincos(2 * half / chords)
	f := w.d / (1 + t*t)
	x, y := (1-t*t)*f, 2*t*f
	for i := 1.0; i < chords; i++ {
		x, y = x*cos-y*sin, y*cos+x*sin
		w.points = append(w.points, a.x+x*a.mx-y*a.my, a.y+x*a.my+y*a.mx)
	}
}

func (w *walker) appendAt(p *piece, t float64) []float64 {
	var x, y float64
	if p.isArc {
		x, y = p.arc.at(w.d, t)
	} else {
		x, y = p.line.at(t)
	}
	return append(w.points, x, y)
}
