package trace

import "github.com/twpayne/go-geom"

// polygons gathers rings into polygons with holes, scaled. Rings without
// vertices are left out.
func polygons(rings []loop, scale float64) *geom.MultiPolygon {
	// A polygon's rings stand together: count them, then give out places.
	shell := func(i int) int {
		if rings[i].hole {
			return rings[i].parent
		}
		return i
	}
	size, shells := 0, 0
	holes := make([]int32, len(rings)) // of a shell: its rings
	floats := make([]int, len(rings))  // of a shell: its polygon's coordinates
	for i := range rings {
		if n := len(rings[i].xy); n > 0 {
			s := shell(i)
			if s == i {
				shells++
			}
			holes[s]++
			floats[s] += n + 2
			size += n + 2
		}
	}
	flat := make([]float64, size)
	ends := make([]int, 0, len(rings))
	endss := make([][]int, 0, shells)
	number := make([]int32, len(rings))
	at := 0
	for i := range rings {
		if n := len(ends); len(rings[i].xy) > 0 && !rings[i].hole {
			number[i] = int32(len(endss))
			ends = ends[:n+int(holes[i])]
			endss = append(endss, ends[n:n:n+int(holes[i])])
			floats[i], at = at, at+floats[i]
		}
	}
	for i := range rings {
		xy := rings[i].xy
		if len(xy) == 0 {
			continue
		}
		s := shell(i)
		to := flat[floats[s] : floats[s]+len(xy)+2]
		copy(to, xy)
		if scale != 1 {
			for j := range xy {
				to[j] *= scale
			}
		}
		to[len(xy)], to[len(xy)+1] = to[0], to[1]
		floats[s] += len(to)
		endss[number[s]] = append(endss[number[s]], floats[s])
	}
	return geom.NewMultiPolygonFlat(geom.XY, flat, endss)
}
