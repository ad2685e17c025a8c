package trace

import (
	"errors"
	"maps"
	"math"
	"slices"
	"testing"
)

// The sheet is found where it is, or refused, or there is a warning.
func TestFindSheetOnTables(t *testing.T) {
	all := trueDrawings(t)
	names := slices.Sorted(maps.Keys(all))
	for _, kind := range tableKinds {
		found := 0
		for seed := range uint64(4) {
			if testing.Short() && seed > 0 {
				break
			}
			s := kind.photo(1000+seed, all[names[int(seed)%len(names)]], 3)
			off, rep, err := s.find(t)
			switch {
			case err != nil:
				var lost *SheetError
				if !errors.As(err, &lost) || lost.Why == "" {
					t.Errorf("%s, %d: %v", kind.name, seed, err)
				}
			case off <= rightWithin:
				found++
			case len(rep.Warnings) == 0:
				t.Errorf("%s, %d: off by %.1f px without a warning; steps %v", kind.name, seed, off, rep.Steps)
			}
		}
		if found < kind.least && !testing.Short() {
			t.Errorf("%s: found %d of 4, want %d", kind.name, found, kind.least)
		}
	}
}

// rightWithin is how far a corner may be off in a photo of three megapixels, in
// pixels: 0.3 mm. Where only the shadow along its edge shows the sheet, the
// edge is not sharper than that.
const rightWithin = 2

// find takes the photo and looks for the sheet. off is as lies gives it.
func (s *scene) find(t testing.TB) (off float64, rep *Report, err error) {
	g := s.take(t)
	rep = &Report{photo: true}
	at := sheet{w: s.sheetW, h: s.sheetH, photo: g.Rect.Size()}
	if err := at.find(g, coarse(g), Auto, rep); err != nil {
		return 0, rep, err
	}
	if err := at.flatten(rep); err != nil {
		return 0, rep, err
	}
	_, off = s.lies(rep)
	return off, rep, nil
}

// lies says by how many quarters clockwise the sheet was found turned, and by
// how many pixels the worst corner is wrong then.
func (s *scene) lies(rep *Report) (turn int, off float64) {
	off = math.Inf(1)
	for i := range 4 {
		worst := 0.0
		for k, c := range sheetCorners(s.sheetW, s.sheetH) {
			q := rep.Sheet[(k+i)%4]
			worst = max(worst, s.toPixel(c).sub(vec2{q[0], q[1]}).norm())
		}
		if worst < off {
			turn, off = i, worst
		}
	}
	return turn, off
}

// fromTurned takes mm of an A4 sheet turned clockwise by quarters to its own.
var fromTurned = [4]func(vec2) vec2{
	func(p vec2) vec2 { return p },
	func(p vec2) vec2 { return vec2{p.y, 297 - p.x} }, // (x, y) came to (297-y, x)
	func(p vec2) vec2 { return vec2{210 - p.x, 297 - p.y} },
	func(p vec2) vec2 { return vec2{210 - p.y, p.x} },
}

// BenchmarkFindSheet photographs sheets on tables of all kinds, and among things
// that are made to mislead. It reports how many of 16 were found, and of these
// with a warning; how many were refused; and how many were found where they are
// not, all told and, what must not be, without a warning. Run it with
// -benchtime 1x; its time means nothing.
func BenchmarkFindSheet(b *testing.B) {
	all := trueDrawings(b)
	names := slices.Sorted(maps.Keys(all))
	misleading := func(seed uint64, _ [][]vec2, _ float64) *scene { return misleadingPhoto(seed) }
	for _, kind := range append(slices.Clone(tableKinds), tableKind{"misleading", 0, misleading}) {
		b.Run(kind.name, func(b *testing.B) {
			for b.Loop() {
				var found, warned, refused, wrong, silent int
				worst := 0.0
				for seed := range uint64(16) {
					s := kind.photo(5000+seed, all[names[int(seed)%len(names)]], 3)
					off, rep, err := s.find(b)
					switch {
					case err != nil:
						refused++
					case off <= rightWithin:
						found++
						worst = max(worst, off)
						if len(rep.Warnings) > 0 {
							warned++
						}
					default:
						wrong++
						if len(rep.Warnings) == 0 {
							silent++
						}
						b.Logf("%d: off by %.1f px: %v %q", seed, off, rep.Steps, rep.Warnings)
					}
				}
				for name, n := range map[string]int{"found": found, "found-with-warning": warned, "refused": refused, "wrong": wrong, "silently-wrong": silent} {
					b.ReportMetric(float64(n), name)
				}
				b.ReportMetric(worst, "worst-px")
			}
		})
	}
}
