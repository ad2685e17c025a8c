package trace

import "image"

// A Picture is a drawing as a grid of grey values, 0 black to 255 white, with
// the size of its pixels.
//
// The frame is millimetres with x right and y down. The origin is the top-left
// corner of the top-left pixel and a value sits at its pixel's centre, so pixel
// (i, j) of a Gray whose Rect starts at (0, 0) stands for the point
// ((i + 0.5) * MMPerPixel, (j + 0.5) * MMPerPixel).
type Picture struct {
	// Gray holds the values. Its Stride may exceed its width: a decoder's own
	// pixels are kept where they will do.
	Gray *image.Gray

	// MMPerPixel is the side of a pixel in mm, or 0 where it is not known. Then
	// set it before anything that measures: 25.4/dpi, or the finished width in
	// mm divided by Gray.Rect.Dx().
	MMPerPixel float64

	// Colours is the picture in its own colours over white, pixel for pixel as
	// Gray; nil unless ReadOptions ask for it, and of an SVG.
	Colours *image.RGBA

	// Notes say, one sentence each, what was found or changed on the way that a
	// user should know: a turned picture, oblong pixels.
	Notes []string

	// Doubts say likewise what is wrong with the resolution that the file states:
	// a placeholder that was not believed, two that differ. They are of no concern
	// to a user who states the size.
	Doubts []string
}
