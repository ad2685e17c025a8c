package trace

// filled completes a grid whose cells are known only where weight is positive:
// from ever coarser means, so that a gap takes the mean of what lies round it
// and a large gap is filled smoothly (Gortler et al. 1996, The Lumigraph, 3.3:
// pull and push). With no known cell at all, every cell becomes otherwise.
func filled(v, weight []float32, w, h int, otherwise float32) []float32 {
	if w == 1 && h == 1 {
		if weight[0] > 0 {
			return []float32{v[0]}
		}
		return []float32{otherwise}
	}
	hw, hh := (w+1)/2, (h+1)/2
	mean, total := make([]float32, hw*hh), make([]float32, hw*hh)
	for y := range h {
		for x := range w {
			i, j := y*w+x, y/2*hw+x/2
			mean[j] += v[i] * weight[i]
			total[j] += weight[i]
		}
	}
	for j := range mean {
		if total[j] > 0 {
			mean[j] /= total[j]
			total[j] = min(total[j], 1)
		}
	}
	up := &field{w: hw, h: hh, step: 2, v: filled(mean, total, hw, hh, otherwise)}
	out := make([]float32, w*h)
	for y := range h {
		for x := range w {
			i := y*w + x
			k := min(weight[i], 1)
			out[i] = up.at(float64(x)+0.5, float64(y)+0.5) * (1 - k)
			if k > 0 {
				out[i] += k * v[i]
			}
		}
	}
	return out
}

// softened is f after passes of the 1 2 1 filter both ways.
func (f *field) softened(passes int) *field {
	out := newField(f.w, f.h, f.step)
	copy(out.v, f.v)
	tmp := make([]float32, len(f.v))
	for range passes {
		for y := range f.h {
			row := out.v[y*f.w:][:f.w]
			for x, v := range row {
				tmp[y*f.w+x] = (row[max(x-1, 0)] + 2*v + row[min(x+1, f.w-1)]) / 4
			}
		}
		for y := range f.h {
			up, mid, down := tmp[max(y-1, 0)*f.w:], tmp[y*f.w:], tmp[min(y+1, f.h-1)*f.w:]
			for x := range f.w {
				out.v[y*f.w+x] = (up[x] + 2*mid[x] + down[x]) / 4
			}
		}
	}
	return out
}
