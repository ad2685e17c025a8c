package stencil

import (
	"testing"

	"github.com/twpayne/go-geom"
)

// With borders divided beside every narrow place, corners or not, the webs are the same.
func TestCornersHoldNoWebs(t *testing.T) {
	const limit = 1.3
	webs := func(cut *geom.MultiPolygon, sheet *geom.Bounds, leave func(*plane) func(*blind, passage) bool) ([]web, *survey) {
		t.Helper()
		p, err := newPlane(cut, sheet)
		if err != nil {
			t.Fatal(err)
		}
		p.divideBut(limit, leave(p))
		s := p.survey()
		return s.webs(limit), s
	}
	fewer := false
	for seed := range int64(5) {
		cut, sheet := lace(60, seed)
		got, s := webs(cut, sheet, func(p *plane) func(*blind, passage) bool {
			return func(b *blind, w passage) bool { return b.leads(p, w) }
		})
		want, all := webs(cut, sheet, func(*plane) func(*blind, passage) bool {
			return func(*blind, passage) bool { return false }
		})
		fewer = fewer || s.Triangles() < all.Triangles()
		if len(got) != len(want) || len(want) == 0 {
			t.Errorf("lace %d: %d webs, want %d", seed, len(got), len(want))
			continue
		}
		find := func(w web) bool {
			for _, o := range want {
				if all.middle(o.passage).distance(s.middle(w.passage)) < 1e-6 && near(o.width, w.width, 1e-6) && near(o.length, w.length, 1e-6) && (o.off >= 0) == (w.off >= 0) {
					return true
				}
			}
			return false
		}
		for _, w := range got {
			if !find(w) {
				t.Errorf("lace %d: a web %.3f mm wide and %.3f long at %v only so", seed, w.width, w.length, s.middle(w.passage))
			}
		}
	}
	if !fewer {
		t.Error("no corner was left alone")
	}
}

// A bay that widens again is no corner, nor is one that is long enough for a tongue.
func TestBlind(t *testing.T) {
	for _, c := range []struct {
		name   string
		bay    []float64 // paper that reaches from the left into a cut area, from its mouth on and back
		corner bool
	}{
		{"a point", []float64{10, 20, 11.5, 20.25, 10, 20.5}, true},
		{"a long point", []float64{10, 20, 16, 20.25, 10, 20.5}, false},
		{"a bulb", []float64{10, 20, 11, 20, 11.5, 19.5, 12, 20.25, 11.5, 21, 11, 20.5, 10, 20.5}, false},
	} {
		flat := []float64{10, 10, 30, 10, 30, 30, 10, 30}
		for i := len(c.bay) - 2; i >= 0; i -= 2 {
			flat = append(flat, c.bay[i], c.bay[i+1])
		}
		flat = append(flat, 10, 10)
		cut := geom.NewMultiPolygonFlat(geom.XY, flat, [][]int{{len(flat)}})
		p, err := newPlane(cut, bounds(0, 0, 40, 40))
		if err != nil {
			t.Fatal(err)
		}
		ways := p.passages()
		b := p.blind(ways)
		narrow, corners := 0, 0
		for _, w := range ways {
			if w.width < 1 {
				narrow++
				if b.leads(p, w) {
					corners++
				}
			}
		}
		if narrow == 0 || (corners == narrow) != c.corner {
			t.Errorf("%s: %d of %d narrow passages lead into a corner only", c.name, corners, narrow)
		}
	}
}
