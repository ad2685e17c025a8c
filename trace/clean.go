package trace

import (
	"fmt"
	"image"
	"math"
)

// A Choice forces a step of Clean on or off.
type Choice int

// The zero Choice leaves it to the picture.
const (
	Auto Choice = iota
	On
	Off
)

// CleanOptions change how Clean works; nil means the defaults: a scan.
type CleanOptions struct {
	// SheetWidth and SheetHeight, both positive, say that the picture is a photo
	// of a sheet of this size in mm, standing or lying: it is found, and the
	// result shows it flat, edge to edge. Zero means a scan.
	SheetWidth, SheetHeight float64

	// Corners, where not all zero, are the corners of the sheet in the photo, as
	// x and y in pixels from its top-left corner: the sheet's top left, top
	// right, bottom right and bottom left. They are taken as they are, without
	// looking for the sheet.
	Corners [4][2]float64

	// MinArea in mm² is the area of the smallest cut area or piece of paper that
	// is meant; anything smaller is taken for dust or a pinhole. Zero means 0.5.
	MinArea float64

	// MinWidth in mm is the width of the thinnest stroke that is meant: parts of
	// ink that are thinner all along are hairs or guide lines. Zero means 0.35.
	MinWidth float64

	// Straighten turns a scan so that the drawing's frame, or other straight
	// edges, stand upright; Auto does it when enough of them agree.
	Straighten Choice

	// Adaptive tells ink from paper by an adaptive threshold before the light is
	// levelled; Auto does it where a shadow is so deep that paper in it is as dark
	// as ink in the light.
	Adaptive Choice

	// Trim cuts a scan to its ink and 2 mm round it; Auto does.
	Trim Choice

	// Lens undoes the bend that a lens gives to straight lines, measured on the
	// edges of a photographed sheet; Auto does it when they are bent by more
	// than their own noise.
	Lens Choice
}

const (
	defaultMinArea = 0.5  // mm²
	defaultWidth   = 0.35 // mm
	trimMargin     = 2    // mm of paper that trimming leaves round the ink
	sheetRim       = 1    // mm at a photographed sheet's edge where it mixes with the table
)

// Clean makes of a scan, or of a photo of a sheet, the picture that a clean
// drawing would give: paper 255, ink 0, evenly lit, upright, without dust. It
// leaves p as it is.
//
// The values of the result are linear in light, so ink ends where they cross
// half: trace it with that threshold, 0.5. Its frame is the upright drawing with
// 2 mm of paper round it (a scan) or the whole sheet (a photo); Report.Source
// leads back into p. A scan keeps its resolution; a photo gets one like its own
// from the size of the sheet. A scan whose resolution is not known is taken as
// 300 dpi for MinArea and the margin only.
//
// The outermost millimetre of a photographed sheet always comes out as paper.
//
// Errors wrap ErrNoInk or are a *SheetError, when the sheet is not found. What
// came out but may be wrong is in Report.Warnings: look at those places before
// cutting.
func (p *Picture) Clean(opts *CleanOptions) (*Picture, *Report, error) {
	if opts == nil {
		opts = &CleanOptions{}
	}
	rep := &Report{mm: p.MMPerPixel}
	if rep.mm == 0 {
		rep.mm = 25.4 / 300
	}
	c := coarse(p.Gray)
	var err error
	if opts.SheetWidth > 0 && opts.SheetHeight > 0 {
		err = p.viewSheet(c, opts, rep)
	} else {
		err = p.viewScan(c, opts, rep)
	}
	if err != nil {
		return nil, nil, err
	}
	rep.levels()
	out := &Picture{Gray: levelled(p.Gray, c, &rep.view, rep.tone), MMPerPixel: p.MMPerPixel, Notes: p.Notes, Doubts: p.Doubts}
	if rep.photo {
		out.MMPerPixel, out.Doubts = rep.mm, nil
		rep.clearRim(out.Gray)
	}
	ink, err := rep.clearSpecks(out.Gray, opts.MinArea, opts.MinWidth)
	if err != nil {
		return nil, nil, err
	}
	out.trim(ink, opts.Trim, rep)
	return out, rep, nil
}

// viewScan looks straight at the picture, or turned back by its tilt.
func (p *Picture) viewScan(c *field, opts *CleanOptions, rep *Report) (err error) {
	rep.view = view{w: p.Gray.Rect.Dx(), h: p.Gray.Rect.Dy(), toSource: homography{0: 1, 4: 1, 8: 1}}
	if rep.tone, err = toneOf(c, nil, opts.Adaptive); err != nil {
		return err
	}
	shares := rep.tone.shares(c)
	rep.checkBorder(shares)
	p.straighten(shares, opts.Straighten, rep)
	return nil
}

// viewSheet looks at the sheet in the photo, flat.
func (p *Picture) viewSheet(c *field, opts *CleanOptions, rep *Report) (err error) {
	if err := p.seeSheet(c, opts, rep); err != nil {
		return err
	}
	rep.tone, err = toneOf(c, rep.view.shows(c, 2*c.step), opts.Adaptive)
	return err
}

// seeSheet finds the sheet and sets the view.
func (p *Picture) seeSheet(c *field, opts *CleanOptions, rep *Report) error {
	rep.photo = true
	s := sheet{w: opts.SheetWidth, h: opts.SheetHeight, photo: p.Gray.Rect.Size()}
	if opts.Corners != ([4][2]float64{}) {
		s.given(opts.Corners, rep)
	} else if err := s.find(p.Gray, c, opts.Lens, rep); err != nil {
		return err
	}
	return s.flatten(rep)
}

// clearSpecks drops what is smaller or thinner than what is meant and returns
// the bounds of the ink that stays.
func (rep *Report) clearSpecks(g *image.Gray, minArea, minWidth float64) (ink image.Rectangle, err error) {
	if minArea == 0 {
		minArea = defaultMinArea
	}
	if minWidth == 0 {
		minWidth = defaultWidth
	}
	pixels, width := minArea/(rep.mm*rep.mm), minWidth/rep.mm
	found := dropSpecks(g, pixels, width)
	rep.Dust, rep.Pinholes = len(found.dust), len(found.holes)
	rep.Dropped = float64(found.changed) * rep.mm * rep.mm
	rep.specks = found
	if found.ink.Empty() {
		return ink, fmt.Errorf("%w: nothing of at least %g mm² that is %g mm wide", ErrNoInk, minArea, minWidth)
	}
	if rep.Dust+rep.Pinholes > 0 {
		rep.step("drop specks", true, "%s and %s under %g mm² or %g mm wide", count(rep.Dust, "speck of dust", "specks of dust"), count(rep.Pinholes, "pinhole", "pinholes"), minArea, minWidth)
	} else {
		rep.step("drop specks", false, "nothing is under %g mm² or %g mm wide", minArea, minWidth)
	}
	if found.thin > 0 {
		rep.warn("dropped as hairs, being thinner than %g mm: %s of more than %g mm²", minWidth, count(found.thin, "stroke", "strokes"), minArea)
	}
	rep.doubt(g, pixels, width)
	return found.ink, nil
}

// doubt warns where the result hangs on the level: when parts join, part,
// appear or vanish as it moves by an eighth of the way from ink to paper.
func (rep *Report) doubt(g *image.Gray, minPixels, minWidth float64) {
	var inks, papers [3]int
	levels := [3]uint8{inkBelow - 32, inkBelow, inkBelow + 32}
	eachBand(len(levels), func(i, j int) {
		for ; i < j; i++ {
			inks[i], papers[i] = countMeant(g, levels[i], minPixels, minWidth)
		}
	})
	if inks[0] != inks[1] || inks[2] != inks[1] || papers[0] != papers[1] || papers[2] != papers[1] {
		rep.warn("some gaps or strokes are only just there: at a level a little lower or higher there are %d or %d parts of ink instead of %d, and %d or %d of paper instead of %d",
			inks[0], inks[2], inks[1], papers[0], papers[2], papers[1])
	}
}

// trim cuts a scan to its ink and a little round it. It only moves the window:
// the pixels stay where they are.
func (p *Picture) trim(ink image.Rectangle, do Choice, rep *Report) {
	const name = "trim"
	if do == Off || do == Auto && rep.photo {
		why := "as asked"
		if rep.photo {
			why = "the sheet is the frame"
		}
		rep.step(name, false, "%s", why)
		return
	}
	box := ink.Inset(-int(math.Ceil(trimMargin / rep.mm))).Intersect(p.Gray.Rect)
	p.Gray = &image.Gray{Pix: p.Gray.Pix[p.Gray.PixOffset(box.Min.X, box.Min.Y):], Stride: p.Gray.Stride, Rect: image.Rect(0, 0, box.Dx(), box.Dy())}
	rep.view = *rep.view.cropped(box)
	rep.specks.shift(image.Pt(-box.Min.X, -box.Min.Y))
	rep.step(name, true, "to the ink and %d mm round it: %.1f x %.1f mm", trimMargin, float64(box.Dx())*rep.mm, float64(box.Dy())*rep.mm)
}
