package proof

import (
	"errors"
	"math"
	"strings"

	"example.org/kerfleaf/export"
)

// frame is where entities stand: the way to mm, and the layer that those of layer 0 belong to.
type frame struct {
	m     matrix
	layer string
	depth int
}

// passed are the entities that are no lines for a tool.
var passed = map[string]bool{
	"TEXT": true, "MTEXT": true, "ATTRIB": true, "ATTDEF": true, "POINT": true, "DIMENSION": true, "LEADER": true, "VIEWPORT": true,
	"IMAGE": true, "TOLERANCE": true, "SEQEND": true, "WIPEOUT": true,
}

// draw follows the entities in their order.
func (d *dxfReader) draw(list []record, f frame) error {
	for i := range list {
		r := &list[i]
		if d.used++; d.used > maxUsed {
			return &FileError{"DXF", r.line, "too many entities are drawn"}
		}
		layer := r.text(8)
		if f.layer != "" && (layer == "0" || layer == "") {
			layer = f.layer
		}
		if r.has(67, "1") || r.has(60, "1") || d.hidden[layer] {
			d.skipped["hidden "+r.name]++
			continue
		}
		if passed[r.name] {
			d.skipped[r.name]++
			continue
		}
		m, err := r.plane(f.m)
		if err != nil {
			return err
		}
		if r.name == "INSERT" {
			err = d.insert(r, frame{m, layer, f.depth})
		} else {
			role, _ := roleOf(layer)
			err = d.line(r, m, role)
		}
		var at *FileError
		if err != nil && !errors.As(err, &at) {
			err = r.fault("%v", err)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// inPlane are the entities whose coordinates count in a plane of their own, which groups 210 to 230 may turn over.
var inPlane = map[string]bool{"LWPOLYLINE": true, "POLYLINE": true, "ARC": true, "CIRCLE": true, "INSERT": true}

// plane turns an entity over if its plane faces down: x is mirrored then. A plane at a slant is an error.
func (r *record) plane(m matrix) (matrix, error) {
	v := values{r: r}
	x, y, z := v.number(210, 0), v.number(220, 0), v.number(230, 1)
	switch {
	case v.err != nil || !inPlane[r.name]:
		return m, v.err
	case math.Abs(x) > 1e-9 || math.Abs(y) > 1e-9 || z == 0:
		return m, r.fault("it does not lie flat")
	case z < 0:
		return m.mul(scaling(-1, 1)), nil
	}
	return m, nil
}

// insert places a block.
func (d *dxfReader) insert(r *record, f frame) error {
	b := d.blocks[strings.ToUpper(r.text(2))]
	if b == nil {
		return r.fault("there is no block %.40q", r.text(2))
	}
	if f.depth++; f.depth > maxDepth {
		return r.fault("blocks are nested too deeply, or hold one another in a circle")
	}
	v := values{r: r}
	m := translation(v.number(10, 0), v.number(20, 0)).mul(rotation(v.number(50, 0)))
	sx, sy := v.number(41, 1), v.number(42, 1)
	cols, rows := max(1, v.integer(70)), max(1, v.integer(71))
	dx, dy := v.number(44, 0), v.number(45, 0)
	if v.err != nil {
		return v.err
	}
	if cols > maxUsed || rows > maxUsed || cols*rows > maxUsed {
		return r.fault("too many columns and rows")
	}
	for i := range rows {
		for j := range cols {
			if d.used++; d.used > maxUsed {
				return r.fault("too many entities are drawn")
			}
			at := m.mul(translation(float64(j)*dx, float64(i)*dy)).mul(scaling(sx, sy)).mul(translation(-b.x, -b.y))
			if err := d.draw(b.entities, frame{f.m.mul(at), f.layer, f.depth}); err != nil {
				return err
			}
		}
	}
	return nil
}

// line follows an entity that is a line.
func (d *dxfReader) line(r *record, m matrix, role export.Role) error {
	v := &values{r: r}
	o := &outline{m: m}
	closed := false
	var err error
	switch r.name {
	case "LINE":
		o.to(v.number(10, 0), v.number(20, 0))
		o.to(v.number(11, 0), v.number(21, 0))
	case "CIRCLE":
		x, y, radius := v.number(10, 0), v.number(20, 0), math.Abs(v.number(40, 0))
		closed, err = true, o.oval(x, y, radius, radius)
	case "ARC":
		x, y, radius := v.number(10, 0), v.number(20, 0), math.Abs(v.number(40, 0))
		from, to := v.number(50, 0), v.number(51, 360)
		closed, err = o.turn(x, y, radius, 0, 0, radius, from*math.Pi/180, to*math.Pi/180)
	case "ELLIPSE":
		x, y, ux, uy, ratio := v.number(10, 0), v.number(20, 0), v.number(11, 1), v.number(21, 0), v.number(40, 1)
		if v.number(230, 1) < 0 {
			ratio = -ratio
		}
		closed, err = o.turn(x, y, ux, uy, -uy*ratio, ux*ratio, v.number(41, 0), v.number(42, 2*math.Pi))
	case "LWPOLYLINE":
		closed, err = o.polyline(v, r.vertices())
	case "POLYLINE":
		closed, err = o.polyline(v, r.parts)
	case "SPLINE":
		closed, err = o.spline(v)
	default:
		return r.fault("this kind of entity is not understood; explode it to lines and arcs, or draw it otherwise")
	}
	if err = errors.Join(v.err, err); err != nil {
		return err
	}
	return d.out.add(role, o.flat, closed)
}

// turn follows an ellipse from one angle on to another, in radians, and reports whether that is all round.
func (o *outline) turn(cx, cy, ux, uy, vx, vy, from, to float64) (closed bool, err error) {
	sweep := math.Mod(to-from, 2*math.Pi)
	if sweep <= 1e-9 {
		sweep += 2 * math.Pi
	}
	closed = sweep > 2*math.Pi-1e-9
	at := func(t float64) {
		s, c := math.Sincos(t)
		o.to(cx+ux*c+vx*s, cy+uy*c+vy*s)
	}
	at(from)
	err = o.ellipse(cx, cy, ux, uy, vx, vy, from, sweep)
	if !closed {
		at(from + sweep)
	}
	return closed, err
}

// vertices cuts the groups of an LWPOLYLINE into one record a vertex: each begins with group 10.
func (r *record) vertices() []record {
	var out []record
	for i, g := range r.groups {
		if g.code == 10 {
			out = append(out, record{name: "VERTEX", line: g.line, groups: r.groups[i : i+1]})
		} else if n := len(out); n > 0 {
			out[n-1].groups = out[n-1].groups[:len(out[n-1].groups)+1]
		}
	}
	return out
}

// polyline follows vertices with their bulges: the tangent of a quarter of the angle of the arc to the next vertex, positive
// where it turns counter-clockwise with y up (DXF reference).
func (o *outline) polyline(v *values, list []record) (closed bool, err error) {
	flags := v.integer(70)
	if v.r.name == "POLYLINE" && flags&(16|64) != 0 {
		return false, errors.New("a mesh is no line")
	}
	type vertex struct{ x, y, bulge float64 }
	var at []vertex
	for i := range list {
		w := values{r: &list[i]}
		if v.r.name == "POLYLINE" && w.integer(70)&16 != 0 {
			continue // a control point of a spline that the other vertices follow
		}
		at = append(at, vertex{w.number(10, 0), w.number(20, 0), w.number(42, 0)})
		if w.err != nil {
			return false, w.err
		}
	}
	closed = flags&1 == 1
	for i, a := range at {
		if i == 0 {
			o.to(a.x, a.y)
		}
		if i+1 == len(at) && !closed {
			break
		}
		b := at[(i+1)%len(at)]
		if a.bulge != 0 && (a.x != b.x || a.y != b.y) {
			if err := o.bulge(a.x, a.y, b.x, b.y, a.bulge); err != nil {
				return closed, err
			}
		}
		o.to(b.x, b.y)
	}
	return closed, nil
}

// bulge follows the arc from (x0, y0) to (x1, y1), both exclusive.
func (o *outline) bulge(x0, y0, x1, y1, b float64) error {
	// The centre lies on the chord's middle normal, (1 - b²)/(4b) chords to its left.
	k := (1 - b*b) / (4 * b)
	dx, dy := x1-x0, y1-y0
	cx, cy := (x0+x1)/2-k*dy, (y0+y1)/2+k*dx
	r := math.Hypot(x0-cx, y0-cy)
	return o.ellipse(cx, cy, r, 0, 0, r, math.Atan2(y0-cy, x0-cx), 4*math.Atan(b))
}
