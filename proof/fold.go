package proof

import "math"

// vector is a point or direction in space: x and y of the flat sheet, z toward the viewer.
type vector [3]float64

func (a vector) add(b vector, k float64) vector {
	return vector{a[0] + k*b[0], a[1] + k*b[1], a[2] + k*b[2]}
}

func (a vector) dot(b vector) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// pose is where a panel is once folded: its point (x, y) lies at o + x u + y v, and its outer face looks along w.
type pose struct{ o, u, v, w vector }

// flat is where all panels are before they are folded.
var flat = pose{u: vector{1, 0, 0}, v: vector{0, 1, 0}, w: vector{0, 0, 1}}

func (s pose) at(x, y float64) vector { return s.o.add(s.u, x).add(s.v, y) }

func (s pose) direction(x, y float64) vector { return vector{}.add(s.u, x).add(s.v, y) }

// over is the pose of a panel that hangs on one with the pose s, beyond a hinge, when it is folded by a right angle: away from the
// outer face, or toward it. n is the direction from the hinge into the panel, of length 1, on the flat sheet, and p a point of the hinge.
func (s pose) over(p [2]float64, n [2]float64, toward bool) pose {
	along := s.direction(-n[1], n[0])
	into, face := s.direction(n[0], n[1]), s.w
	// What pointed on into the panel now points behind the face, and the face looks where the panel went.
	down, out := vector{}.add(face, -1), into
	if toward {
		down, out = face, vector{}.add(into, -1)
	}
	var t pose
	t.u = vector{}.add(down, n[0]).add(along, -n[1])
	t.v = vector{}.add(down, n[1]).add(along, n[0])
	t.w = out
	hinge := s.at(p[0], p[1])
	t.o = hinge.add(t.u, -p[0]).add(t.v, -p[1])
	return t
}

// folded is a panel in space.
type folded struct {
	pose
	panel int
	depth int // hinges between it and the face
}

// find is the pose of a panel among those folded. Panels that hang on no hinge lie flat.
func find(all []folded, panel int) pose {
	for _, f := range all {
		if f.panel == panel {
			return f.pose
		}
	}
	return flat
}

// fold folds all panels up from the face, the panel with most hinges, or of these the largest.
func (n *net) fold() (face int, out []folded) {
	count := make([]int, len(n.panels))
	for _, h := range n.hinges {
		count[h.left]++
		count[h.right]++
	}
	for i := range n.panels {
		if count[i] > count[face] || count[i] == count[face] && math.Abs(n.panels[i].Area()) > math.Abs(n.panels[face].Area()) {
			face = i
		}
	}
	seen := make([]bool, len(n.panels))
	seen[face] = true
	out = []folded{{flat, face, 0}}
	for k := 0; k < len(out); k++ {
		for _, h := range n.hinges {
			dx, dy := h.q[0]-h.p[0], h.q[1]-h.p[1]
			l := math.Hypot(dx, dy)
			into, next := [2]float64{dy / l, -dx / l}, h.left
			if h.left == out[k].panel {
				into, next = [2]float64{-dy / l, dx / l}, h.right
			} else if h.right != out[k].panel {
				continue
			}
			if !seen[next] {
				seen[next] = true
				out = append(out, folded{out[k].over(h.p, into, h.valley), next, out[k].depth + 1})
			}
		}
	}
	return face, out
}
