package export

import (
	"image/color"

	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/font/gofont/goregular"
)

// A lineStyle is how people see the lines of a role: width in mm, and dashes and gaps in multiples of the width.
type lineStyle struct {
	width float64
	dash  []float64
	means string // for the legend
}

// lineStyles are ISO 128-2 line types 01 (continuous), 10 (dashed dotted), 02 (dashed) and 03 (dashed spaced); their
// elements in multiples of the line's width are those of ISO 128-20, from memory: dash 12, gap 3, dot 0.5, space 18.
// Dashes for valleys and dashes with dots for mountains are also the Yoshizawa-Randlett convention (Randlett, The Art
// of Origami, 1961).
var lineStyles = [...]lineStyle{
	Cut:         {0.35, nil, "cut"},
	Mountain:    {0.25, []float64{12, 3, 0.5, 3}, "score, fold away from you"},
	Valley:      {0.25, []float64{12, 3}, "score, fold toward you"},
	Perforation: {0.25, []float64{12, 18}, "perforate"},
	Note:        {0.13, nil, "do not cut"},
}

// The look of all pictures: warm paper, ink, one accent.
var (
	deskColor   = color.NRGBA{0xe9, 0xdf, 0xcf, 0xff} // what the picture is drawn on
	sheetColor  = color.NRGBA{0xf4, 0xed, 0xe1, 0xff} // a sheet of which parts are cut
	paperColor  = color.NRGBA{0xfd, 0xfb, 0xf6, 0xff} // what stays
	inkColor    = color.NRGBA{0x1d, 0x29, 0x33, 0xff} // what is cut away, and lines
	mutedColor  = color.NRGBA{0x75, 0x6a, 0x5a, 0xff} // small print
	accentColor = color.NRGBA{0xb4, 0x4a, 0x2a, 0xff} // measures and marks
	wallColor   = color.NRGBA{0xcf, 0xc3, 0xb0, 0xff} // what a finished box hangs on
)

// Go Regular and Go Medium by Bigelow & Holmes come with golang.org/x/image.
var (
	regular = parsed(goregular.TTF)
	medium  = parsed(gomedium.TTF)
)
