package trace

import (
	"image"
	"math"
)

// dropShadow takes off what beside the piece has the sheet's colour in less
// light, at most wide cells across, of what is wider a rim, and two cells more, in
// which the colours of both mix. A part of the piece's own that looks so goes with it.
func (f *field) dropShadow(on, bare []bool, m *image.RGBA, wide, rim float64) {
	alike := make([]bool, len(on))
	for i, share := range f.over(cellMedians(f, f.v, bare, inkCell, 1)) {
		alike[i] = on[i] && share > shadowDark
	}
	for _, colour := range colourShares(m, f) {
		local := cellMedians(f, colour.v, bare, inkCell, 1.0/3)
		for i, share := range colour.over(local) {
			alike[i] = alike[i] && math.Abs(float64(share)-1) < shadowTint
		}
	}
	depth := f.depthFrom(on, alike)
	stays := make([]bool, len(on))
	for i := range stays {
		stays[i] = true
	}
	runs, parts := partsOf(painted(alike, f.w, f.h), inkBelow)
	deepest := make([]int, len(parts))
	each := func(do func(root, i int)) {
		for _, r := range runs {
			for x := r.x0; r.ink && x < r.x1; x++ {
				do(int(r.parent), int(r.y)*f.w+int(x))
			}
		}
	}
	each(func(root, i int) { deepest[root] = max(deepest[root], depth[i]) })
	each(func(root, i int) {
		stays[i] = depth[i] == 0 || float64(deepest[root]) > wide && float64(depth[i]) > rim
	})
	for i, s := range shrunk(stays, f.w, f.h, 2) {
		on[i] = on[i] && s
	}
}

// depthFrom counts the steps through alike cells from what is off, by turns to
// four and to eight neighbours, which makes octagons: 0 where no such way leads.
func (f *field) depthFrom(on, alike []bool) []int {
	depth := make([]int, len(on))
	var now, next []int
	for i := range on {
		if !on[i] {
			now = append(now, i)
		}
	}
	for d := 1; len(now) > 0; d++ {
		for _, i := range now {
			x, y := i%f.w, i/f.w
			for dy := -1; dy <= 1; dy++ {
				for dx := -1; dx <= 1; dx++ {
					q := i + dy*f.w + dx
					if dx*dy != 0 && d%2 == 1 || x+dx < 0 || x+dx >= f.w || y+dy < 0 || y+dy >= f.h || !alike[q] || depth[q] > 0 {
						continue
					}
					depth[q] = d
					next = append(next, q)
				}
			}
		}
		now, next = next, now[:0]
	}
	return depth
}

// colourShares gives the parts that red and blue have in the light of f's cells.
func colourShares(m *image.RGBA, f *field) [2]*field {
	n := max(1, (max(m.Rect.Dx(), m.Rect.Dy())+coarseSide-1)/coarseSide)
	out := [2]*field{newField(f.w, f.h, f.step), newField(f.w, f.h, f.step)}
	eachBand(f.h, func(y0, y1 int) {
		for j := y0; j < y1; j++ {
			for i := range f.w {
				var sum [3]float32
				for y := j * n; y < min(j*n+n, m.Rect.Dy()); y++ {
					for x := i * n; x < min(i*n+n, m.Rect.Dx()); x++ {
						for k, v := range m.Pix[m.PixOffset(x, y):][:3] {
							sum[k] += linear[v]
						}
					}
				}
				all := max(sum[0]+sum[1]+sum[2], 1e-6)
				out[0].v[j*f.w+i], out[1].v[j*f.w+i] = sum[0]/all, sum[2]/all
			}
		}
	})
	return out
}
