package offset

import (
	"fmt"
	"math"

	"github.com/twpayne/go-geom"
)

// kerfLimit keeps the path of a tool near the edge it follows: the tips of
// corners sharper than 60 degrees are cut off.
const kerfLimit = 2

// Kerf returns the path of a tool's centre for cutting out the areas of cut,
// where the tool removes width millimetres: every edge moved half the width
// inside, corners kept sharp up to a reach of one width, so that the opening comes
// out as drawn. A width of 0, as for a knife, returns a copy. Areas that
// the tool is too wide for are missing from the result.
func Kerf(cut *geom.MultiPolygon, width float64) (*geom.MultiPolygon, error) {
	if !(width >= 0) || math.IsInf(width, 0) {
		return nil, fmt.Errorf("offset: kerf %g mm, need 0 or more", width)
	}
	return Polygons(cut, -width/2, &Options{Join: Miter, MiterLimit: kerfLimit})
}

// Outline is the counterpart of Kerf for the parts that are kept: the path of
// the tool's centre around part, every edge moved half the width outside and
// its holes' edges inside the hole, so that the part comes out as drawn.
func Outline(part *geom.MultiPolygon, width float64) (*geom.MultiPolygon, error) {
	if !(width >= 0) || math.IsInf(width, 0) {
		return nil, fmt.Errorf("offset: kerf %g mm, need 0 or more", width)
	}
	return Polygons(part, width/2, &Options{Join: Miter, MiterLimit: kerfLimit})
}
