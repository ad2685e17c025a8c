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
	number := make([]int32, len(rings)) // of a shell: its polygon
	at := 0
	for i := range rings {
		if n := len(ends); len(rings[i].xy) > 0 && !rings[i].hole {
			number[i] = int32(len(endss))
			ends = ends[:n+int(holes[i])]
			endss = append(endss, ends[n:n:n+int(holes[i])])
			floats[i], at = at, at+floats[i]
		}
	}
	place := make([][]float64, len(rings))
	for i := range rings {
		if n := len(rings[i].xy); n > 0 {
			s := shell(i)
			place[i] = flat[floats[s] : floats[s]+n+2]
			floats[s] += n + 2
			endss[number[s]] = append(endss[number[s]], floats[s])
		}
	}
	inBatches(len(rings), func(from, to int) {
		for i := from; i < to; i++ {
			xy, to := rings[i].xy, place[i]
			if len(xy) == 0 {
				continue
			}
			copy(to, xy)
			to[len(xy)], to[len(xy)+1] = xy[0], xy[1]
			if scale != 1 {
				for j := range to {
					to[j] *= scale
				}
			}
		}
	})
	return geom.NewMultiPolygonFlat(geom.XY, flat, endss)
}
