package stencil

import (
	"math"
	"testing"

	"github.com/twpayne/go-geom"
)

// far is, for every cell, the squared distance in cells to the nearest cell that is
// in the set: rows, then columns, each the lower envelope of parabolas (Felzenszwalb
// & Huttenlocher 2012).
func (r *raster) far(in func(int) bool) []float64 {
	const none = 1e12
	d := make([]float64, r.w*r.h)
	for i := range d {
		if !in(i) {
			d[i] = none
		}
	}
	n := max(r.w, r.h)
	f, v, z := make([]float64, n), make([]int, n), make([]float64, n+1)
	pass := func(start, step, n int) {
		for i := range n {
			f[i] = d[start+i*step]
		}
		k := 0
		v[0], z[0], z[1] = 0, math.Inf(-1), math.Inf(1)
		for q := 1; q < n; q++ {
			s := 0.0
			for {
				p := v[k]
				s = (f[q] + float64(q*q) - f[p] - float64(p*p)) / float64(2*(q-p))
				if s > z[k] {
					break
				}
				k--
			}
			k++
			v[k], z[k], z[k+1] = q, s, math.Inf(1)
		}
		k = 0
		for q := range n {
			for z[k+1] < float64(q) {
				k++
			}
			d[start+q*step] = float64((q-v[k])*(q-v[k])) + f[v[k]]
		}
	}
	for y := range r.h {
		pass(y*r.w, 1, r.w)
	}
	for x := range r.w {
		pass(x, r.w, r.h)
	}
	return d
}

// Two worked examples of the transform in one dimension.
func TestFar(t *testing.T) {
	r := &raster{w: 8, h: 1}
	got := r.far(func(i int) bool { return i == 2 || i == 6 })
	for i, want := range []float64{4, 1, 0, 1, 4, 1, 0, 1} {
		if got[i] != want {
			t.Errorf("cell %d: %g, want %g", i, got[i], want)
		}
	}
}

// lost finds the webs that an opening of the paper by a disc of the given radius in
// cells takes away: what is left over between two or more sides. What runs out into a
// corner has one side only, and sides of fewer cells than least do not count. It
// returns the cells of each such web.
func (r *raster) lost(radius float64, least int) [][]int {
	cut := r.far(func(i int) bool { return !r.paper[i] })
	core := r.far(func(i int) bool { return cut[i] > radius*radius })
	open := func(i int) bool { return core[i] <= radius*radius }
	rest := func(i int) bool { return r.paper[i] && !open(i) }
	group := func(cells []int, in func(int) bool, reach int) [][]int {
		member := map[int]int{}
		for _, c := range cells {
			if in(c) {
				member[c] = -1
			}
		}
		var out [][]int
		for _, c := range cells {
			if g, ok := member[c]; !ok || g >= 0 {
				continue
			}
			member[c] = len(out)
			part := []int{c}
			for k := 0; k < len(part); k++ {
				for dy := -reach; dy <= reach; dy++ {
					for dx := -reach; dx <= reach; dx++ {
						n := part[k] + dy*r.w + dx
						if g, ok := member[n]; ok && g < 0 {
							member[n] = len(out)
							part = append(part, n)
						}
					}
				}
			}
			out = append(out, part)
		}
		return out
	}
	all := make([]int, 0, len(r.paper))
	for i := range r.paper {
		if rest(i) {
			all = append(all, i)
		}
	}
	opened := &raster{r.w, r.h, make([]bool, len(r.paper))}
	for i := range opened.paper {
		opened.paper[i] = open(i)
	}
	side, size := opened.label()
	var out [][]int
	for _, part := range group(all, rest, 1) {
		var rim []int
		for _, c := range part {
			for _, n := range [4]int{c - 1, c + 1, c - r.w, c + r.w} {
				if n >= 0 && n < len(r.paper) && open(n) && size[side[n]] >= least {
					rim = append(rim, n)
				}
			}
		}
		if len(group(rim, func(int) bool { return true }, 2)) > 1 {
			out = append(out, part)
		}
	}
	return out
}

// at is the middle of a cell in mm.
func (r *raster) at(i int, sheet *geom.Bounds, cell float64) xy {
	return xy{sheet.Min(0) + (float64(i%r.w)+0.5)*cell, sheet.Min(1) + (float64(i/r.w)+0.5)*cell}
}

// accounted reports whether every web that the opening takes away has a fault on it.
func accounted(t *testing.T, name any, r *raster, sheet *geom.Bounds, cell, radius float64, faults []Fault) {
	t.Helper()
webs:
	for _, part := range r.lost(radius/cell, int(6*radius*radius/cell/cell)) {
		for _, f := range faults {
			for _, c := range part {
				if f.Kind == Island || f.Kind == SmallCut {
					break
				}
				if d := r.at(c, sheet, cell).distance(xy{f.At[0], f.At[1]}); d < 4*cell+radius+f.Length {
					continue webs
				}
			}
		}
		t.Errorf("%v: a web at %v was missed", name, r.at(part[0], sheet, cell))
	}
}

// Zero misses and no false alarms: a web that an opening by a little less than half
// the limit takes away is reported, and what is reported is taken away by an opening
// by a little more than half its width.
func TestThinWebsOfTangles(t *testing.T) {
	const cell = 0.05
	seeds := int64(16)
	if testing.Short() {
		seeds = 3
	}
	for seed := range seeds {
		cut, sheet := tangle(t, 100+seed, 10+2*int(seed))
		r := scan(cut, sheet, cell)
		got := faults(t, cut, sheet, nil)
		accounted(t, seed, r, sheet, cell, 0.4-cell, got)
		for _, f := range got {
			if f.Kind != ThinWeb || f.Caution {
				continue
			}
			a, b := xy{f.Across[0][0], f.Across[0][1]}, xy{f.Across[1][0], f.Across[1][1]}
			if d := a.distance(b); !near(d, f.Width, 1e-9) {
				t.Errorf("seed %d: %v is %.3f wide between its ends", seed, f, d)
			}
			x, y := int((f.At[0]-sheet.Min(0))/cell), int((f.At[1]-sheet.Min(1))/cell)
			if clear := r.far(func(i int) bool { return !r.paper[i] })[y*r.w+x]; math.Sqrt(clear)*cell > f.Width/2+1.5*cell {
				t.Errorf("seed %d: at %v the raster has paper for %.2f mm around", seed, f, math.Sqrt(clear)*cell)
			}
		}
	}
}
