// Package export writes a drawing of cut and fold lines to the files that cutters, printers and people read.
//
// A [Drawing] is measured in millimetres, x to the right and y down, with the origin at the top left corner of
// a sheet of Width by Height. Polygons and rings are closed lines (first coordinate = last); LineStrings are
// open ones. Of coordinates with more than two ordinates the first two count. No function changes what it is
// given, and equal input gives equal bytes.
//
// [SVG] and [DXF] are for machines: continuous lines, the meaning in the group or layer and not in a colour or dash.
// Lines are written on a grid of one micrometre, so no written point is further than 0.0005 mm from the given one along
// either axis (DXF in inches: 0.00052 mm); points that fall together on that grid become one, and a ring or line that
// shrinks to a single point is left out. Where asked, curves within a stated tolerance take the place of short edges.
// [PDF], [HTML], [PNG] and [Mockup] are for people: a pattern to print and cut by hand, a guide, a plan and a picture of
// the finished box.
package export

import "github.com/twpayne/go-geom"

// Role says what is done along the lines of a layer.
type Role int

// The roles of a layer. Mountain and Valley are seen from the outer face of the paper, which lies up: along
// a Mountain line the panel folds away from the viewer, along a Valley line toward the viewer.
const (
	Cut         Role = iota // cut through
	Mountain                // score, fold away from the viewer
	Valley                  // score, fold toward the viewer
	Perforation             // cut in short dashes, to tear or to fold
	Note                    // for the reader only, never cut: sheet, ruler, grain
)

// roles are the names of each role: the id of its group in an SVG file and its layer in a DXF file.
var roles = [...]struct{ id, layer string }{
	Cut:         {"cut", "CUT"},
	Mountain:    {"score-mountain", "SCORE_MOUNTAIN"},
	Valley:      {"score-valley", "SCORE_VALLEY"},
	Perforation: {"perforation", "PERFORATION"},
	Note:        {"note", "NOTE"},
}

func (r Role) known() bool { return r >= 0 && int(r) < len(roles) }

// String returns the id that the role's group has in an SVG file, such as "score-mountain".
func (r Role) String() string {
	if !r.known() {
		return "unknown role"
	}
	return roles[r].id
}

// A Layer holds lines that are treated alike. Shapes may be *geom.Polygon, *geom.MultiPolygon and
// *geom.LinearRing, whose rings are closed lines, and *geom.LineString and *geom.MultiLineString, which are open
// lines even where their ends meet.
type Layer struct {
	Role   Role
	Shapes []geom.T
}

// A Drawing is one sheet: Width and Height in millimetres, and its layers in the order in which they are worked.
// Layers of one role become one group, which stands where the first of them stands.
type Drawing struct {
	Width, Height float64
	Layers        []Layer
}

// groups collects the shapes of each role, in the order in which the roles first appear.
func (d *Drawing) groups() []Layer {
	var out []Layer
	at := map[Role]int{}
	for _, l := range d.Layers {
		i, seen := at[l.Role]
		if !seen {
			i = len(out)
			at[l.Role] = i
			out = append(out, Layer{Role: l.Role})
		}
		out[i].Shapes = append(out[i].Shapes, l.Shapes...)
	}
	return out
}

// bounds is the smallest rectangle around all lines of d but notes, or around all of them if there are only notes.
func (d *Drawing) bounds() *geom.Bounds {
	b, notes := geom.NewBounds(geom.XY), geom.NewBounds(geom.XY)
	for _, l := range d.Layers {
		for _, s := range l.Shapes {
			if l.Role == Note {
				notes.Extend(s)
			} else {
				b.Extend(s)
			}
		}
	}
	if b.IsEmpty() {
		return notes
	}
	return b
}
