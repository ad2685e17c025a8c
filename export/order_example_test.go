package export_test

import (
	"fmt"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/export"
)

// tray is a blank of 40 x 40 mm whose outline was drawn first.
func tray() *export.Drawing {
	ring := func(x, y, side float64) geom.T {
		return geom.NewLinearRingFlat(geom.XY, []float64{x, y, x + side, y, x + side, y + side, x, y + side, x, y})
	}
	return &export.Drawing{Width: 50, Height: 50, Layers: []export.Layer{
		{Role: export.Cut, Shapes: []geom.T{
			ring(5, 5, 40), // outline
			geom.NewLineStringFlat(geom.XY, []float64{15, 5, 15, 15}), // slit
			ring(20, 20, 10), // window
		}},
		{Role: export.Mountain, Shapes: []geom.T{geom.NewLineStringFlat(geom.XY, []float64{45, 15, 5, 15})}},
	}}
}

func ExampleOrder() {
	d, err := export.Order(tray(), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, l := range d.Layers {
		for _, s := range l.Shapes {
			fmt.Println(l.Role, s.FlatCoords())
		}
	}
	// Output:
	// score-mountain [5 15 45 15]
	// cut [30 25 30 30 20 30 20 20 30 20 30 25]
	// cut [15 15 15 5]
	// cut [25 5 45 5 45 45 5 45 5 5 25 5]
}

func ExampleDrawing_Travel() {
	t, err := tray().Travel([2]float64{0, 0})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("cut %.0f mm, score %.0f mm, lifted %.0f mm, %d times down\n", t.Cut, t.Score, t.PenUp, t.Lifts)
	// Output:
	// cut 210 mm, score 40 mm, lifted 65 mm, 4 times down
}

func ExampleTravel_Time() {
	t := export.Travel{Cut: 2000, Score: 400, PenUp: 1000}
	fmt.Println(t.Time(20, 100))
	// Output:
	// 2m10s
}
