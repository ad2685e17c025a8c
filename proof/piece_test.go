package proof_test

import (
	"math"
	"strings"
	"testing"

	"example.org/kerfleaf/proof"
)

// What comes off is given whole: 20 mm square within an opening, and the smaller part of a sheet that a slot parts but for 0.1 mm at
// either end, which the kerf takes. Areas by hand.
func TestPiecesThatComeOff(t *testing.T) {
	for _, c := range []struct {
		name, paths string
		kerf, area  float64
	}{
		{"an island", `<path d="M5 0H55V40H5Z"/><path d="M10 1H50V39H10Z"/><path d="M20 10H40V30H20Z"/>`, 0.1, 400},
		{"a neck as wide as the kerf", `<path d="M0 0H60V40H0Z"/><path d="M20 0.1H21V39.9H20Z"/>`, 0.2, 19.8 * 39.8},
	} {
		f, err := proof.Read(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">` + c.paths + `</svg>`))
		if err != nil {
			t.Fatal(err)
		}
		r, err := proof.Cut(f.Drawing, c.kerf, nil)
		if err != nil {
			t.Fatal(err)
		}
		var areas []float64
		for _, claim := range r.Claims {
			if claim.Piece != nil {
				if claim.OK {
					t.Errorf("%s: %v has a piece", c.name, claim)
				}
				areas = append(areas, claim.Piece.Area())
			}
		}
		if len(areas) != 1 || math.Abs(areas[0]-c.area) > 0.02*c.area {
			t.Errorf("%s: pieces of %v mm² come off, want one of about %g: %v", c.name, areas, c.area, r.Claims)
		}
	}
}
