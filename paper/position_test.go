package paper_test

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/paper"
)

// The grain law: where the grains of sheet and part are known, the part's runs along
// the sheet's, whether turning is allowed or not.
func TestGrain(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 5))
	grains := []paper.Grain{paper.AnyGrain, paper.AlongWidth, paper.AlongHeight}
	for range 100 {
		o := &paper.PlaceOptions{Grain: grains[r.IntN(3)], Turn: r.IntN(2) == 0}
		var parts []*geom.Bounds
		for range 1 + r.IntN(8) {
			parts = append(parts, part(20+100*r.Float64(), 20+100*r.Float64()))
			o.Grains = append(o.Grains, grains[r.IntN(3)])
		}
		ps, err := paper.Place(parts, sheet(t, "a4"), o)
		if err != nil {
			t.Fatal(err)
		}
		for i, p := range ps {
			switch {
			case o.Grain == paper.AnyGrain || o.Grains[i] == paper.AnyGrain:
				if p.Turned && !o.Turn {
					t.Errorf("%+v was turned", p)
				}
			case p.Turned != (o.Grains[i] != o.Grain):
				t.Errorf("%+v: grain %d on a sheet of grain %d", p, o.Grains[i], o.Grain)
			}
		}
	}
	// a strip along the sheet's height that has to lie across it
	o := &paper.PlaceOptions{Grain: paper.AlongHeight, Grains: []paper.Grain{paper.AlongWidth}, Turn: true}
	_, err := paper.Place([]*geom.Bounds{part(50, 280)}, sheet(t, "a4"), o)
	var e *paper.FitError
	if !errors.As(err, &e) {
		t.Fatalf("got %v", err)
	}
	near(t, "too high", e.TooHigh, 70, 1e-9)
}

func TestPlaceAtAndCentre(t *testing.T) {
	a4, lid := sheet(t, "a4"), part(5.5*inch, 5.5*inch)
	p, err := paper.PlaceAt(lid, a4, 10, 20, &paper.PlaceOptions{Margin: 5})
	if err != nil || p.X != 10 || p.Y != 20 || p.Turned {
		t.Errorf("got %+v, %v", p, err)
	}
	for _, c := range []struct {
		x, y float64
		side string
		over float64
	}{
		{4, 20, "left", 1}, {70, 20, "right", 4.7}, {10, 3, "top", 2}, {10, 160, "bottom", 7.7},
	} {
		_, err := paper.PlaceAt(lid, a4, c.x, c.y, &paper.PlaceOptions{Margin: 5, Names: []string{"front"}})
		var e *paper.OffSheetError
		if !errors.As(err, &e) || e.Side != c.side || e.Name != "front" {
			t.Errorf("got %v", err)
			continue
		}
		near(t, c.side, e.Over, c.over, 1e-9)
	}
	long := part(280, 100)
	if p, err = paper.Centre(long, a4, &paper.PlaceOptions{Turn: true}); err != nil || !p.Turned {
		t.Fatalf("got %+v, %v", p, err)
	}
	near(t, "x", p.X, 55, 1e-9)
	near(t, "y", p.Y, 8.5, 1e-9)
	var e *paper.FitError
	if _, err = paper.Centre(long, a4, nil); !errors.As(err, &e) {
		t.Errorf("got %v", err)
	}
	if p, err = paper.PlaceAt(long, a4.Turned(), 5, 5, &paper.PlaceOptions{Turn: true}); err != nil || p.Turned {
		t.Errorf("got %+v, %v", p, err)
	}
}

func ExamplePlaceAt() {
	moth := geom.NewBounds(geom.XY).Set(0, 0, 60, 40)
	a5 := paper.Size{Name: "a5", Width: 148, Height: 210}
	p, err := paper.PlaceAt(moth, a5, 80, 12, nil)
	fmt.Println(p.X, p.Y, err)
	_, err = paper.PlaceAt(moth, a5, 90, 12, &paper.PlaceOptions{Names: []string{"moth"}})
	fmt.Println(err)
	// Output:
	// 80 12 <nil>
	// paper: moth lies 2 mm beyond the right margin of a5 (148 x 210 mm)
}

func ExampleCentre() {
	moth := geom.NewBounds(geom.XY).Set(0, 0, 60, 40)
	p, err := paper.Centre(moth, paper.Size{Width: 100, Height: 100}, nil)
	fmt.Println(p.X, p.Y, err)
	// Output:
	// 20 30 <nil>
}
