package main

import (
	"encoding/hex"
	"fmt"
	"image/color"
	"strings"

	"example.org/kerfleaf/export"
)

// mockup reads --backing: what lies behind the cut-out in the mock-up.
func (s *settings) mockup() (*export.MockupOptions, error) {
	o := &export.MockupOptions{}
	if s.box.backing == "" {
		return o, nil
	}
	if digits, ok := strings.CutPrefix(s.box.backing, "#"); ok {
		rgb, err := hex.DecodeString(digits)
		if err != nil || len(rgb) != 3 {
			return nil, usagef("--backing %q: write a colour as #rrggbb, such as #2f6f73, or name a picture", s.box.backing)
		}
		o.Base = color.NRGBA{R: rgb[0], G: rgb[1], B: rgb[2], A: 255}
		return o, nil
	}
	p, err := s.openPicture(s.box.backing, true)
	if err != nil {
		return nil, fmt.Errorf("--backing: %w", err)
	}
	o.Backing = p.Gray
	if p.Colours != nil {
		o.Backing = p.Colours
	}
	return o, nil
}
