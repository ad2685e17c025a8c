package main

import (
	"math"
	"strconv"

	"github.com/twpayne/go-geom"
)

func point(c geom.Coord) [2]float64 { return [2]float64{round3(c[0]), round3(c[1])} }

// pathOf writes polygons as an SVG path, to a micrometre, with a space before each
// polygon but the first.
func pathOf(mp *geom.MultiPolygon) string {
	b := make([]byte, 0, 8*len(mp.FlatCoords()))
	start := 0
	for i, ends := range mp.Endss() {
		if i > 0 {
			b = append(b, ' ')
		}
		for _, end := range ends {
			b = appendRing(b, mp.FlatCoords()[start:end])
			start = end
		}
	}
	return string(b)
}

func ringsOf(p *geom.Polygon) string {
	if p == nil {
		return ""
	}
	var b []byte
	start := 0
	for _, end := range p.Ends() {
		b = appendRing(b, p.FlatCoords()[start:end])
		start = end
	}
	return string(b)
}

func appendRing(b []byte, flat []float64) []byte {
	for i := 0; i+3 < len(flat); i += 2 { // but for the last point, which is the first
		b = append(b, "ML"[min(i, 1)])
		b = appendMicrometres(b, flat[i])
		b = append(b, ' ')
		b = appendMicrometres(b, flat[i+1])
	}
	return append(b, 'Z')
}

// appendMicrometres writes v as round3 rounds it, without zeros at the end. It takes a
// third of the time of strconv.AppendFloat.
func appendMicrometres(b []byte, v float64) []byte {
	n := int64(math.Abs(v)*1000 + 0.5)
	if v < 0 && n > 0 {
		b = append(b, '-')
	}
	b = strconv.AppendInt(b, n/1000, 10)
	rest := n % 1000
	if rest == 0 {
		return b
	}
	b = append(b, '.', byte('0'+rest/100), byte('0'+rest/10%10), byte('0'+rest%10))
	for b[len(b)-1] == '0' {
		b = b[:len(b)-1]
	}
	return b
}
