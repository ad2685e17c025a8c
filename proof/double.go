package proof

import (
	"fmt"
	"math"

	"example.org/kerfleaf/internal/ring"
	"github.com/twpayne/go-geom"
)

const (
	// apart is how far, in mm, two lines may be from each other and still be one.
	apart = 0.003
	// shared is the length in mm that two lines may have in common: as much as curves have that touch.
	shared = 0.5
)

// doubled claims that no line runs along another, and takes those out that repeat an earlier one all along.
func (r *run) doubled() {
	s := newSegments(points(r.tracks))
	r.index = s.Index
	type pair struct{ a, b int }
	length := map[pair]float64{}
	at := map[pair]geom.Coord{}
	var order []pair
	for i, a := range s.Blocks {
		s.found = s.Tree.Search(a.Box.Grow(apart), s.found[:0])
		for _, j := range s.found {
			if int(j) < i {
				continue
			}
			b := s.Blocks[j]
			la, lb := s.Rings[a.Ring], s.Rings[b.Ring]
			near := b.Box.Grow(apart)
			for p := a.First; p < a.End; p++ {
				if !ring.EmptyBox().Add(la[2*p], la[2*p+1]).Add(la[2*p+2], la[2*p+3]).Meets(near) {
					continue
				}
				q := b.First
				if int(j) == i {
					q = p + 1
				}
				for ; q < b.End; q++ {
					n, x, y := together(la[2*p:2*p+4], lb[2*q:2*q+4])
					if n == 0 {
						continue
					}
					k := pair{int(min(a.Ring, b.Ring)), int(max(a.Ring, b.Ring))}
					if length[k] == 0 {
						order = append(order, k)
						at[k] = geom.Coord{x, y}
					}
					length[k] += n
				}
			}
		}
	}
	var faults []Claim
	repeats := map[int]bool{}
	for _, k := range order {
		n := length[k]
		a, b := r.tracks[k.a].length(), r.tracks[k.b].length()
		whole := k.a != k.b && n > 0.95*max(a, b)
		if n < min(shared, 0.9*min(a, b)) {
			continue
		}
		what := fmt.Sprintf("%.2f mm of a line at %s are worked twice", n, spot(at[k]))
		if whole {
			what = fmt.Sprintf("a line of %.2f mm at %s is there twice", b, spot(at[k]))
			if r.tracks[k.a].role == r.tracks[k.b].role {
				repeats[k.b] = true
			}
		}
		faults = append(faults, Claim{Text: what, At: at[k]})
	}
	r.claims(faults, "no line is worked twice")
	if len(repeats) > 0 {
		var once []track
		for i, t := range r.tracks {
			if !repeats[i] {
				once = append(once, t)
			}
		}
		r.tracks = once
	}
}

// together is the length over which two straight pieces run side by side within apart, and a point of it.
func together(a, b []float64) (n, x, y float64) {
	if min(a[0], a[2]) > max(b[0], b[2])+apart || min(b[0], b[2]) > max(a[0], a[2])+apart ||
		min(a[1], a[3]) > max(b[1], b[3])+apart || min(b[1], b[3]) > max(a[1], a[3])+apart {
		return 0, 0, 0
	}
	ux, uy := a[2]-a[0], a[3]-a[1]
	l2 := ux*ux + uy*uy
	if vx, vy := b[2]-b[0], b[3]-b[1]; vx*vx+vy*vy > l2 {
		a, b, ux, uy, l2 = b, a, vx, vy, vx*vx+vy*vy
	}
	// Most are neighbours of one line, b before a or behind it.
	if from, to := ux*(b[0]-a[0])+uy*(b[1]-a[1]), ux*(b[2]-a[0])+uy*(b[3]-a[1]); max(from, to) <= 0 || min(from, to) >= l2 {
		return 0, 0, 0
	}
	la := math.Sqrt(l2)
	ux, uy = ux/la, uy/la
	// b's ends along a and beside it.
	s0, d0 := ux*(b[0]-a[0])+uy*(b[1]-a[1]), ux*(b[1]-a[1])-uy*(b[0]-a[0])
	s1, d1 := ux*(b[2]-a[0])+uy*(b[3]-a[1]), ux*(b[3]-a[1])-uy*(b[2]-a[0])
	// The part of b, from t0 to t1 of its length, that is beside a and near it.
	t0, t1 := 0.0, 1.0
	clip := func(v0, v1, lo, hi float64) {
		if v0 == v1 {
			if v0 < lo || v0 > hi {
				t1 = -1
			}
			return
		}
		p, q := (lo-v0)/(v1-v0), (hi-v0)/(v1-v0)
		t0, t1 = max(t0, min(p, q)), min(t1, max(p, q))
	}
	clip(s0, s1, 0, la)
	clip(d0, d1, -apart, apart)
	if t0 >= t1 {
		return 0, 0, 0
	}
	t := (t0 + t1) / 2
	return (t1 - t0) * math.Abs(s1-s0), b[0] + t*(b[2]-b[0]), b[1] + t*(b[3]-b[1])
}
