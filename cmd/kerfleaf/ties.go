package main

import (
	"fmt"
	"strings"

	"example.org/kerfleaf/internal/length"
	"example.org/kerfleaf/stencil"
	"github.com/twpayne/go-geom"
	"github.com/urfave/cli/v2"
)

// tieSettings say where bridges are wanted and where not.
type tieSettings struct {
	pins, avoid cli.StringSlice
	ends        string
	thicken     bool
}

func (s *settings) tieFlags() []cli.Flag {
	t := &s.ties
	return []cli.Flag{
		&cli.StringSliceFlag{Name: "pin", Usage: "a bridge from one place to another, `X,Y-X,Y` in the drawing; again for more", Category: groupPaper, Destination: &t.pins},
		&cli.StringSliceFlag{Name: "no-bridge-at", Usage: "a place `X,Y` in the drawing that no bridge may come near; again for more", Category: groupPaper, Destination: &t.avoid},
		&cli.StringFlag{Name: "bridge-ends", Usage: "how bridges meet the paper: `straight or flared`", Category: groupPaper, Value: "straight", DefaultText: "straight", Destination: &t.ends},
		switchFlag("thicken", "bring every web up to the thinnest that will do", groupPaper, &t.thicken),
	}
}

// bridgeOptions puts the flags of bridges together.
func (s *settings) bridgeOptions(d *design) (*stencil.BridgeOptions, error) {
	o := &stencil.BridgeOptions{Width: d.stock.Bridge, Sheet: d.frame}
	var err error
	if o.Flare, err = choose("bridge-ends", s.ties.ends, map[string]bool{"straight": false, "flared": true}); err != nil {
		return nil, err
	}
	for _, p := range s.ties.pins.Value() {
		from, to, ok := strings.Cut(p, "-")
		a, err1 := spot(from)
		b, err2 := spot(to)
		if !ok || err1 != nil || err2 != nil {
			return nil, usagef("--pin %q: write two places, such as 12mm,30mm-20mm,30mm", p)
		}
		o.Pins = append(o.Pins, stencil.Pin{From: a, To: b})
	}
	for _, p := range s.ties.avoid.Value() {
		at, err := spot(p)
		if err != nil {
			return nil, usagef("--no-bridge-at %q: write a place, such as 12mm,30mm", p)
		}
		o.Avoid = append(o.Avoid, at)
	}
	return o, nil
}

// spot reads a place: two lengths from the drawing's top left.
func spot(text string) (geom.Coord, error) {
	a, b, ok := strings.Cut(text, ",")
	if !ok {
		return nil, fmt.Errorf("%q is no place", text)
	}
	x, err := length.Parse(a)
	if err != nil {
		return nil, err
	}
	y, err := length.Parse(b)
	return geom.Coord{x, y}, err
}

// thicken grows the webs that are too thin and says which could not grow.
func (s *settings) thicken(d *design) error {
	if d.stock.MinWeb == 0 {
		return usagef("--thicken needs a thinnest web: give --min-web, or a paper that has one")
	}
	cut, left, err := stencil.Thicken(d.cut, d.stock.MinWeb)
	if err != nil {
		return err
	}
	d.cut, d.thin = cut, len(left)
	return nil
}
