package main

import (
	"bytes"
	"encoding/hex"
	"fmt"
	"image"
	"image/color"
	_ "image/gif" // the backing may be any of these
	_ "image/jpeg"
	_ "image/png"
	"os"
	"strings"

	"example.org/kerfleaf/export"
	_ "golang.org/x/image/webp"
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
	data, err := os.ReadFile(s.box.backing)
	if err != nil {
		return nil, fmt.Errorf("cannot open the backing %s: %w", s.box.backing, plain(err))
	}
	head, _, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return nil, fmt.Errorf("the backing %s is not a PNG, JPEG, GIF or WebP picture", s.box.backing)
	}
	if int64(head.Width)*int64(head.Height) > s.megapixels*1_000_000 {
		return nil, fmt.Errorf("the backing %s has %d x %d pixels, more than --max-megapixels %d", s.box.backing, head.Width, head.Height, s.megapixels)
	}
	if o.Backing, _, err = image.Decode(bytes.NewReader(data)); err != nil {
		return nil, fmt.Errorf("the backing %s is damaged: %w", s.box.backing, err)
	}
	return o, nil
}
