package trace

// vertexTurn is the cosine of the turn at one vertex, 25 degrees, that is a
// corner of a smoothed ring: in bends the turn is spread over many.
const vertexTurn = 0.906

// thinBetween is thin for smoothed rings: corners keep their vertices, which
// a cone would else pass by up to the tolerance.
func thinBetween(chosen []int32, xy []float64, tolerance float64) []int32 {
	n, first := len(xy)/2, len(chosen)
	start, before := -1, -1
	add := func(from, to int) {
		for i := from; i < to; {
			v := i % n
			chosen = append(chosen, int32(v))
			i += reach(xy, v, to-i, tolerance)
		}
	}
	for i := range n {
		if !turnsAt(xy, i) {
			continue
		}
		if start < 0 {
			start = i
		} else {
			add(before, i)
		}
		before = i
	}
	if start < 0 {
		return thin(chosen, xy, tolerance)
	}
	add(before, start+n)
	if len(chosen)-first < 3 || chosenArea(xy, chosen[first:])*ringArea(xy) <= 0 {
		return thin(chosen[:first], xy, tolerance)
	}
	return chosen
}

// turnsAt says whether an open ring has a corner at vertex i.
func turnsAt(xy []float64, i int) bool {
	j := 2 * i
	p, q := j-2, j+2
	if p < 0 {
		p = len(xy) - 2
	}
	if q == len(xy) {
		q = 0
	}
	ux, uy, vx, vy := xy[j]-xy[p], xy[j+1]-xy[p+1], xy[q]-xy[j], xy[q+1]-xy[j+1]
	c := ux*vx + uy*vy
	return c < 0 || c*c < vertexTurn*vertexTurn*(ux*ux+uy*uy)*(vx*vx+vy*vy)
}
