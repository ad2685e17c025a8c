package export

import (
	"math"
)

// A trayView places points of a tray in a figure: x along its width, y along its height (away from the viewer's left),
// z upward, in mm, seen from above at equal angles to the three axes (isometric, ISO 5456-3).
type trayView struct {
	k    float64
	zero spot
}

func (v trayView) at(x, y, z float64) spot {
	c, s := math.Cos(math.Pi/6), math.Sin(math.Pi/6)
	return spot{v.zero.x + v.k*(x-y)*c, v.zero.y + v.k*((x+y)*s-z)}
}

// fitted returns the view that shows all of the points.
func fitted(points ...[3]float64) trayView {
	v := trayView{k: 1}
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, p := range points {
		q := v.at(p[0], p[1], p[2])
		x0, y0, x1, y1 = min(x0, q.x), min(y0, q.y), max(x1, q.x), max(y1, q.y)
	}
	v.k = min((figureWidth-8)/(x1-x0), (figureHeight-8)/(y1-y0))
	v.zero = spot{figureWidth/2 - v.k*(x0+x1)/2, figureHeight/2 - v.k*(y0+y1)/2}
	return v
}

// block lists the corners of a box, for fitted.
func block(x0, y0, z0, x1, y1, z1 float64) (out [][3]float64) {
	for _, x := range []float64{x0, x1} {
		for _, y := range []float64{y0, y1} {
			for _, z := range []float64{z0, z1} {
				out = append(out, [3]float64{x, y, z})
			}
		}
	}
	return out
}

// panel draws a flat piece of paper through four or more points in space.
func (s *sketch) panel(v trayView, fill, extra string, points ...[3]float64) {
	var spots []spot
	for _, p := range points {
		spots = append(spots, v.at(p[0], p[1], p[2]))
	}
	s.path(outline(true, spots...), fill, "ink", thin, extra)
}

// trayFigure shows the trays of a box of the guide's proportions.
func trayFigure(g *Guide, f Figure) string {
	w, h, d := g.Face.Max(0)-g.Face.Min(0), g.Face.Max(1)-g.Face.Min(1), g.Depth
	d = min(d, 0.6*min(w, h)) // deep walls would hide the rest
	switch f {
	case FoldFigure:
		return foldFigure(w, h, d)
	case GlueFigure:
		return glueFigure(w, h, d)
	case LineFigure:
		return lineFigure(w, h, d)
	case JoinFigure:
		return joinFigure(g, w, h, d)
	}
	return hangFigure(g, w, h, d)
}

// shaded is how dark walls away from the light are.
const shaded = ` fill-opacity="0.55"`

// openTray draws a tray with its face down: the floor, then the walls from the back to the front. The walls along x (at
// y = 0 and y = h) have tabs at their ends. angle is how far all walls are folded up, in radians, that of the other two
// separately.
func (s *sketch) openTray(v trayView, w, h, d, angle, others float64, tab string) {
	out, up := d*math.Cos(angle), d*math.Sin(angle)
	sideOut, sideUp := d*math.Cos(others), d*math.Sin(others)
	s.panel(v, "paper", "", [3]float64{0, 0, 0}, [3]float64{w, 0, 0}, [3]float64{w, h, 0}, [3]float64{0, h, 0})
	wallX := func(x, dir float64) {
		s.panel(v, "desk", "", [3]float64{x, 0, 0}, [3]float64{x, h, 0}, [3]float64{x + dir*sideOut, h, sideUp}, [3]float64{x + dir*sideOut, 0, sideUp})
	}
	wallY := func(y, dir float64) {
		// Tabs stand at a right angle to their wall once that is up; before they lie in its plane.
		t := 0.55 * d
		for _, x := range []float64{0, w} {
			in := [3]float64{0, -dir * t * math.Sin(angle), 0}
			if x == 0 {
				in[0] = -t * math.Cos(angle)
			} else {
				in[0] = t * math.Cos(angle)
			}
			a, b := [3]float64{x, y + dir*out*0.12, up * 0.12}, [3]float64{x, y + dir*out*0.88, up * 0.88}
			s.panel(v, tab, "", a, b, [3]float64{b[0] + in[0], b[1] + in[1], b[2]}, [3]float64{a[0] + in[0], a[1] + in[1], a[2]})
		}
		s.panel(v, "desk", "", [3]float64{0, y, 0}, [3]float64{w, y, 0}, [3]float64{w, y + dir*out, up}, [3]float64{0, y + dir*out, up})
	}
	wallX(0, -1)
	wallY(0, -1)
	wallY(h, 1)
	wallX(w, 1)
}

func foldFigure(w, h, d float64) string {
	s := newSketch("a tray with its walls half folded up")
	const angle = 16 * math.Pi / 180
	out, up := d*math.Cos(angle), d*math.Sin(angle)
	v := fitted(append(block(-out, -out, 0, w+out, h+out, up), block(-d, 0, 0, w+d, h, 0)...)...)
	s.openTray(v, w, h, d, angle, angle, "desk")
	s.arrow(v.at(w+d, h/2, d*0.35), v.at(w+d*0.4, h/2, d*1.1), 3)
	s.arrow(v.at(w/2, h+d, d*0.35), v.at(w/2, h+d*0.4, d*1.1), -3)
	return s.done()
}

func glueFigure(w, h, d float64) string {
	s := newSketch("tabs glued inside the walls")
	const angle = 25 * math.Pi / 180
	v := fitted(append(block(0, 0, 0, w, h, d), block(-d, 0, 0, w+d, h, 0)...)...)
	s.openTray(v, w, h, d, math.Pi/2, angle, "accent")
	s.arrow(v.at(w+d*1.1, h/2, d*0.35), v.at(w+d*0.45, h/2, d*1.05), 3)
	return s.done()
}

func lineFigure(w, h, d float64) string {
	s := newSketch("the lining paper above its tray")
	lift := d + 0.35*min(w, h)
	v := fitted(block(0, 0, 0, w, h, lift)...)
	s.closedTray(v, w, h, d)
	m := 0.03 * min(w, h)
	s.panel(v, "accent", ` fill-opacity="0.85"`, [3]float64{m, m, lift}, [3]float64{w - m, m, lift}, [3]float64{w - m, h - m, lift}, [3]float64{m, h - m, lift})
	s.arrow(v.at(w, h, lift-0.02*h), v.at(w, h, d+0.08*min(w, h)), 0)
	return s.done()
}

// closedTray draws an open tray with upright walls as one sees it from above: inside first, then the two outer walls in
// front.
func (s *sketch) closedTray(v trayView, w, h, d float64) {
	s.panel(v, "paper", "", [3]float64{0, 0, 0}, [3]float64{w, 0, 0}, [3]float64{w, h, 0}, [3]float64{0, h, 0})
	s.panel(v, "desk", "", [3]float64{0, 0, 0}, [3]float64{0, h, 0}, [3]float64{0, h, d}, [3]float64{0, 0, d})
	s.panel(v, "desk", shaded, [3]float64{0, 0, 0}, [3]float64{w, 0, 0}, [3]float64{w, 0, d}, [3]float64{0, 0, d})
	s.panel(v, "paper", "", [3]float64{0, h, 0}, [3]float64{w, h, 0}, [3]float64{w, h, d}, [3]float64{0, h, d})
	s.panel(v, "desk", "", [3]float64{w, 0, 0}, [3]float64{w, h, 0}, [3]float64{w, h, d}, [3]float64{w, 0, d})
}

func joinFigure(g *Guide, w, h, d float64) string {
	s := newSketch("the front going over the base")
	lift := d + 0.4*min(w, h)
	v := fitted(block(0, 0, 0, w, h, lift+d)...)
	m := 0.03 * min(w, h)
	s.closedTray(trayView{v.k, v.at(m, m, 0)}, w-2*m, h-2*m, d)
	s.panel(v, "paper", "", [3]float64{0, h, lift}, [3]float64{w, h, lift}, [3]float64{w, h, lift + d}, [3]float64{0, h, lift + d})
	s.panel(v, "desk", "", [3]float64{w, 0, lift}, [3]float64{w, h, lift}, [3]float64{w, h, lift + d}, [3]float64{w, 0, lift + d})
	s.panel(v, "paper", "", [3]float64{0, 0, lift + d}, [3]float64{w, 0, lift + d}, [3]float64{w, h, lift + d}, [3]float64{0, h, lift + d})
	s.openings(g, func(x, y float64) spot { return v.at(x, y, lift+d) })
	s.arrow(v.at(w, h, lift-0.03*h), v.at(w, h, d+0.06*min(w, h)), 0)
	return s.done()
}

// openings draws the front's openings; at places a point of the face, in mm from its top left corner.
func (s *sketch) openings(g *Guide, at func(x, y float64) spot) {
	data := shapeData(g.Front, func(r Role, p path) bool { return r == Cut && p.closed && p.within(g.Face) },
		func(x, y float64) spot { return at(x-g.Face.Min(0), y-g.Face.Min(1)) })
	s.path(data, "accent", "none", "0", ` fill-rule="evenodd"`)
}

func hangFigure(g *Guide, w, h, d float64) string {
	s := newSketch("the box on a wall")
	dx, dy := obliqueX*d*1.6, obliqueY*d*1.6
	k := min((figureWidth-30)/(w+dx), (figureHeight-22)/(h+dy))
	w, h, dx, dy = w*k, h*k, dx*k, dy*k
	x, y := (figureWidth-w-dx)/2, 15+(figureHeight-22-h-dy)/2
	nail := spot{x + (w+dx)/2, y - 10}
	s.path(outline(false, spot{x + dx + w*0.25, y + dy*0.6}, nail, spot{x + dx + w*0.75, y + dy*0.6}), "none", "muted", thin, "")
	s.path(outline(true, spot{x + w, y}, spot{x + w + dx, y + dy}, spot{x + w + dx, y + h + dy}, spot{x + w, y + h}), "desk", "ink", thin, "")
	s.path(outline(true, spot{x, y + h}, spot{x + dx, y + h + dy}, spot{x + w + dx, y + h + dy}, spot{x + w, y + h}), "muted", "ink", thin, shaded)
	s.path(outline(true, spot{x, y}, spot{x + w, y}, spot{x + w, y + h}, spot{x, y + h}), "paper", "ink", thin, "")
	s.openings(g, func(u, v float64) spot { return spot{x + u*k, y + v*k} })
	s.path(outline(true, spot{nail.x - 1.3, nail.y - 1.3}, spot{nail.x + 1.3, nail.y - 1.3}, spot{nail.x + 1.3, nail.y + 1.3}, spot{nail.x - 1.3, nail.y + 1.3}), "accent", "none", "0", "")
	return s.done()
}
