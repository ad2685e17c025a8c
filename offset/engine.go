package offset

import (
	"math"

	"github.com/twpayne/go-geom"
)

// polygons grows mp by distance, or shrinks it: it moves all edges, keeps what
// nothing else covers of them, links that to rings and checks those.
func polygons(mp *geom.MultiPolygon, distance float64, s settings) (*geom.MultiPolygon, error) {
	rings, err := read(mp)
	if err != nil {
		return nil, err
	}
	if distance >= -nearest && distance <= nearest {
		return repair(rings, 0)
	}
	var out [][]float64
	for i, fewest := 0, math.MaxInt; i < len(nudges) && fewest > 0; i++ {
		moved, loose := move(newSource(rings, distance*(1+nudges[i]), s))
		if loose < fewest {
			out, fewest = moved, loose
		}
	}
	if distance < 0 {
		for _, r := range out {
			reverse(r)
		}
	}
	return repair(out, s.tolerance*s.tolerance)
}

// nudges are relative changes of the distance to try in turn. Where four moved
// edges or circles meet in one point, as on art that keeps to a grid, rounding
// may make two pieces disagree on which of them ends where; at another
// distance they do not meet in one point.
var nudges = [...]float64{0, 1.3e-9, -2.7e-9}

// move returns the rings around what the source covers once it has grown, and
// the number of loose ends that were joined to the nearest.
func move(src *source) ([][]float64, int) {
	w := newWalker(src)
	for i := range src.blocks {
		w.walk(&src.blocks[i])
	}
	l := &linker{source: src, runs: w.runs, points: w.points}
	if src.join == Miter {
		l.dropInside()
	}
	return l.link(), l.loose
}

func reverse(r []float64) {
	for i, j := 0, len(r)-2; i < j; i, j = i+2, j-2 {
		r[i], r[i+1], r[j], r[j+1] = r[j], r[j+1], r[i], r[i+1]
	}
}
