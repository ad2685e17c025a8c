package trace

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"maps"
	"math"
	"slices"
	"testing"
)

// BenchmarkAccuracy degrades drawings in many seeded ways and reports how near
// to the truth Clean comes: the median and the worst root mean square distance
// in pixels, the mean shift, the size, how many have the right parts, and how
// many of the others were refused or warned about. Run it with -benchtime 1x;
// its time means nothing.
func BenchmarkAccuracy(b *testing.B) {
	tilt := func(i int) float64 { return float64(i%2*2-1) * (0.5 + 0.25*float64(i)) }
	a4 := &CleanOptions{SheetWidth: 210, SheetHeight: 297}
	kinds := []accuracyKind{
		{"scan", 14, func(i int, r [][]vec2) *scene { return dirtyScan(uint64(100+i), r, accuracyDPI, tilt(i)) }, nil},
		{"hard scan", 10, func(i int, r [][]vec2) *scene { return hardScan(uint64(200+i), r, accuracyDPI, tilt(i)) }, nil},
		{"photo", 12, func(i int, r [][]vec2) *scene { return photoOf(uint64(300+i), r, false, 12) }, a4},
		{"hard photo", 12, func(i int, r [][]vec2) *scene { return photoOf(uint64(400+i), r, true, 12) }, a4},
	}
	for _, k := range tableKinds {
		kinds = append(kinds, accuracyKind{k.name, 6, func(i int, r [][]vec2) *scene { return k.photo(uint64(6000+i), r, 12) }, a4})
	}
	for _, kind := range kinds {
		b.Run(kind.name, func(b *testing.B) {
			for b.Loop() {
				kind.measure(b)
			}
		})
	}
}

// An accuracyKind is a way to degrade n drawings.
type accuracyKind struct {
	name string
	n    int
	take func(i int, rings [][]vec2) *scene
	opts *CleanOptions
}

const accuracyDPI = 300

func (kind *accuracyKind) measure(b *testing.B) {
	all := trueDrawings(b)
	names := slices.Sorted(maps.Keys(all))
	var rms, shift, size []float64
	right, refused, warned, silent := 0, 0, 0, 0
	for i := range kind.n {
		rings := all[names[i%len(names)]]
		s := kind.take(i, rings)
		p := &Picture{Gray: s.take(b)}
		if kind.opts == nil {
			p.MMPerPixel = 25.4 / accuracyDPI
		}
		out, rep, err := p.Clean(kind.opts)
		if err != nil {
			refused++
			b.Logf("%s %d %s: %v", kind.name, i, names[i%len(names)], err)
			continue
		}
		toTruth := s.fromResult(out, rep)
		if kind.opts != nil {
			turn, _ := s.lies(rep)
			toTruth = fromTurned[turn]
		}
		v := judge(out, rings, toTruth)
		px := 1 / out.MMPerPixel
		rms, shift, size = append(rms, v.rms*px), append(shift, math.Abs(v.shift*px)), append(size, 100*math.Abs(v.stretch))
		switch {
		case v.sameParts():
			right++
		case len(rep.Warnings) > 0:
			warned++
		default:
			silent++
		}
		if !v.sameParts() || v.rms*px > 0.5 || len(rep.Warnings) > 0 {
			b.Logf("%s %d %s: rms %.3f shift %+.3f ink %d/%d paper %d/%d outside %d, %q", kind.name, i, names[i%len(names)], v.rms*px, v.shift*px, v.inks, v.wantInks, v.papers, v.wantPapers, v.outside, rep.Warnings)
		}
	}
	slices.Sort(rms)
	if len(rms) > 0 {
		b.ReportMetric(rms[len(rms)/2], "rms-px")
		b.ReportMetric(rms[len(rms)-1], "worst-rms-px")
		b.ReportMetric(slices.Max(shift), "shift-px")
		b.ReportMetric(slices.Max(size), "size-%")
	}
	b.ReportMetric(float64(right), "right")
	b.ReportMetric(float64(refused), "refused")
	b.ReportMetric(float64(warned), "warned")
	b.ReportMetric(float64(silent), "silently-wrong")
}

// BenchmarkClean times the steps on an A4 scan at 300 dpi and a 12-megapixel
// photo of an A4 sheet, in pixels of the picture. Clean of a photo may take three
// times as long as decode.
func BenchmarkClean(b *testing.B) {
	rings := trueDrawings(b)["letters"]
	a4 := &CleanOptions{SheetWidth: 210, SheetHeight: 297}
	for _, kind := range []struct {
		name string
		g    *image.Gray
		opts *CleanOptions
	}{
		{"scan", dirtyScan(1, rings, 300, 1).take(b), nil},
		{"photo", photoOf(1, rings, false, 12).take(b), a4},
	} {
		g := kind.g
		p := &Picture{Gray: g, MMPerPixel: 25.4 / 300}
		var file bytes.Buffer
		if err := jpeg.Encode(&file, inColour(g), &jpeg.Options{Quality: 85}); err != nil {
			b.Fatal(err)
		}
		_, rep, err := p.Clean(kind.opts)
		if err != nil {
			b.Fatal(err)
		}
		c := coarse(g)
		steps := []cleanStep{
			{"decode", func() error { _, err := Read(bytes.NewReader(file.Bytes()), nil); return err }},
			{"Clean", func() error { _, _, err := p.Clean(kind.opts); return err }},
			{"coarse", func() error { coarse(g); return nil }},
			{"tone", func() error { _, err := toneOf(c, nil, Auto); return err }},
			{"level", func() error { levelled(g, c, &rep.view, rep.tone); return nil }},
			{"specks", func() error {
				out := levelled(g, c, &rep.view, rep.tone)
				dropSpecks(out, 50, 3)
				return nil
			}},
		}
		if kind.opts == nil {
			steps = append(steps, cleanStep{"tilt", func() error { tiltOf(rep.tone.shares(c)); return nil }})
		} else {
			at := sheet{w: 210, h: 297, photo: g.Rect.Size()}
			steps = append(steps,
				cleanStep{"quads", func() error {
					if k, why := findQuads(edgesOf(c), 210, 297); k == nil {
						return errors.New(why)
					}
					return nil
				}},
				cleanStep{"sheet", func() error { return at.find(g, c, Auto, &Report{}) }})
		}
		for _, step := range steps {
			b.Run(fmt.Sprint(kind.name, "/", step.name), func(b *testing.B) {
				for b.Loop() {
					if err := step.do(); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(float64(len(g.Pix))/1e6*float64(b.N)/b.Elapsed().Seconds(), "Mpixel/s")
			})
		}
	}
}

type cleanStep struct {
	name string
	do   func() error
}

// inColour is g as a camera would store it, with colours at half resolution.
func inColour(g *image.Gray) *image.YCbCr {
	m := image.NewYCbCr(g.Rect, image.YCbCrSubsampleRatio420)
	copy(m.Y, g.Pix)
	for i := range m.Cb {
		m.Cb[i], m.Cr[i] = uint8(126+i%5), uint8(127+i%7)
	}
	return m
}

// hardScan has weak, grainy ink and more of everything else.
func hardScan(seed uint64, rings [][]vec2, dpi, tilt float64) *scene {
	s := dirtyScan(seed, rings, dpi, tilt)
	s.inkTone, s.grain, s.rough = 0.25+0.1*s.rng.Float64(), 0.12, 0.03
	s.pencil, s.dust, s.hairs = 8, 500, 20
	s.blur, s.noise, s.quality = 1+0.3*s.blur, 0.04, 70
	s.light = func(x, y float64) float64 { return 1 - 0.25*x - 0.1*y*y }
	return s
}
