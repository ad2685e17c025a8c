package main

import (
	"fmt"
	"math"

	"example.org/kerfleaf/export"
	"example.org/kerfleaf/internal/length"
	"github.com/urfave/cli/v2"
)

// toolSettings say how the tool works its way over a sheet.
type toolSettings struct {
	order   string
	overcut lengthValue
	speed   lengthValue
}

// defaultSpeed of the tool in mm/s, lifted or not: that of a desktop machine in
// card (common practice, no source).
const defaultSpeed = 20.0

func (s *settings) toolFlags() []cli.Flag {
	t := &s.tool
	return []cli.Flag{
		&cli.StringFlag{Name: "order", Usage: "sort the lines so that nothing tears and the tool travels little: `on or off`", Category: groupTool, Value: "on", DefaultText: "on", Destination: &t.order},
		lengthFlag("overcut", "how far `LENGTH` a closed cut runs on past its start", "0", groupTool, &t.overcut),
		lengthFlag("speed", "way `LENGTH` of the tool in a second, for the time in the summary", "20 mm", groupTool, &t.speed),
	}
}

// ordered returns a part's drawing in the order of cutting, and tells the
// tool's way.
func (s *settings) ordered(p part, sum *summary) (*export.Drawing, error) {
	order, err := choose("order", s.tool.order, map[string]bool{"on": true, "off": false})
	if err != nil {
		return nil, err
	}
	d := p.drawing
	if order {
		if d, err = export.Order(d, &export.OrderOptions{Overcut: s.tool.overcut.mm}); err != nil {
			return nil, err
		}
	}
	way, err := d.Travel([2]float64{})
	if err != nil {
		return nil, err
	}
	seconds := (way.Score + way.Cut + way.PenUp) / s.tool.speed.or(defaultSpeed)
	sum.add("cutting "+p.file, fmt.Sprintf("%.2f m in %s, %.2f m lifted: about %.0f min at %s a second", (way.Cut+way.Score)/1000, lines(way.Lifts), way.PenUp/1000,
		math.Ceil(seconds/60), length.MM(s.tool.speed.or(defaultSpeed))),
		"way_"+p.file, map[string]float64{"cut_mm": round3(way.Cut), "score_mm": round3(way.Score), "lifted_mm": round3(way.PenUp), "seconds": math.Ceil(seconds)})
	return d, nil
}

func lines(n int) string {
	if n == 1 {
		return "1 line"
	}
	return fmt.Sprintf("%d lines", n)
}
