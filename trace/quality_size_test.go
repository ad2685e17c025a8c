package trace

import (
	"fmt"
	"image"
	"math"
	"math/rand"
	"strings"
	"testing"

	"golang.org/x/image/font/gofont/goitalic"
)

// TestSizes: shapes of known size have that size, whatever their turn and place between pixels. Medians, in percent.
func TestSizes(t *testing.T) {
	for _, hard := range []bool{false, true} {
		for _, dpi := range []float64{150, 300, 600} {
			t.Run(fmt.Sprintf("hard %v %g dpi", hard, dpi), func(t *testing.T) {
				if testing.Short() && dpi > 150 {
					t.Skip("long")
				}
				t.Parallel()
				rnd := rand.New(rand.NewSource(5))
				var areas, perimeters []float64
				bound := 0.05
				if hard {
					bound = 0.1
				}
				for _, s := range shapes()[5:] {
					var area, perimeter []float64
					for range 7 {
						tr := place(s.name, s.rings, dpi, rnd.Float64()*2*math.Pi, rnd)
						q := measure(linework{rings: ours(t, tr.render(hard), nil)}, tr.rings)
						area, perimeter = append(area, 100*math.Abs(q.area)), append(perimeter, 100*math.Abs(q.perimeter))
					}
					a, p := median(area), median(perimeter)
					// At 150 dpi the small disc is 60 pixels across: so few tell most sizes so well, not each, and hard steps tell less.
					if (dpi > 150 || !hard && s.name != "small disc") && (a > bound || p > 0.3) {
						t.Errorf("%s: area %.3f %% off, perimeter %.3f %%; want %g and 0.3", s.name, a, p, bound)
					}
					areas, perimeters = append(areas, a), append(perimeters, p)
				}
				t.Logf("area %.3f %%, perimeter %.3f %%", median(areas), median(perimeters))
				if median(areas) > bound || median(perimeters) > 0.3 {
					t.Errorf("area %.3f %% off, perimeter %.3f %%; want %g and 0.3", median(areas), median(perimeters), bound)
				}
			})
		}
	}
}

// TestSquare: edges that are level, upright or at half a right angle come out exactly so, at any place between pixels.
func TestSquare(t *testing.T) {
	rnd := rand.New(rand.NewSource(6))
	frame := [][]oraclePoint{{{0, 0}, {40, 0}, {40, 25}, {0, 25}}, {{8, 6}, {8, 19}, {32, 19}, {32, 6}}}
	lozenge := [][]oraclePoint{{{20, 0}, {40, 20}, {20, 40}, {0, 20}}}
	pane := [][]oraclePoint{{{10, 0}, {30, 0}, {40, 10}, {40, 30}, {30, 40}, {10, 40}, {0, 30}, {0, 10}}}
	for _, rings := range [][][]oraclePoint{frame, lozenge, pane} {
		for range 20 {
			tr := place("", rings, 1.5+3*rnd.Float64(), (rnd.Float64()-0.5)*0.001, rnd)
			nodes := 0
			for _, r := range ours(t, tr.render(false), nil) {
				nodes += len(r)
				for i, p := range r {
					q := r[(i+1)%len(r)]
					dx, dy := math.Abs(q.x-p.x), math.Abs(q.y-p.y)
					if off := min(dx, dy, math.Abs(dx-dy)); off > 1e-9 {
						t.Errorf("an edge from %v to %v is %.4f px off", p, q, off)
					}
				}
			}
			if want := len(rings[0]) * len(rings); nodes != want {
				t.Errorf("%d nodes, want %d", nodes, want)
			}
			if t.Failed() {
				t.FailNow()
			}
		}
	}
}

// mirrored gives the picture seen in a mirror, or turned by a right angle as well.
func mirrored(g *image.Gray, turn bool) *image.Gray {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	if turn {
		w, h = h, w
	}
	out := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			if turn {
				out.Pix[y*out.Stride+x] = g.Pix[x*g.Stride+y]
			} else {
				out.Pix[y*out.Stride+x] = g.Pix[y*g.Stride+w-1-x]
			}
		}
	}
	return out
}

// nodesApart is the greatest distance of a node of one outline from the nearest of the other.
func nodesApart(a, b [][]oraclePoint) float64 {
	worst := 0.0
	for _, r := range a {
		for _, p := range r {
			best := math.Inf(1)
			for _, s := range b {
				for _, q := range s {
					best = min(best, math.Hypot(p.x-q.x, p.y-q.y))
				}
			}
			worst = max(worst, best)
		}
	}
	return worst
}

// linesApart is the greatest distance of a point of one outline from the other.
func linesApart(a, b [][]oraclePoint) float64 {
	worst := 0.0
	other := newSegments(b)
	walk(a, func(_ int, p, _ oraclePoint, _ float64) {
		_, q := other.nearest(p)
		worst = max(worst, math.Hypot(p.x-q.x, p.y-q.y))
	})
	return worst
}

// mirroredBack turns the outline of a mirrored picture back; w is the width of the picture.
func mirroredBack(rings [][]oraclePoint, w float64, turn bool) [][]oraclePoint {
	for _, r := range rings {
		for i, p := range r {
			if turn {
				r[i] = oraclePoint{p.y, p.x}
			} else {
				r[i] = oraclePoint{w - p.x, p.y}
			}
		}
	}
	return rings
}

// TestMirrored: a picture in a mirror, or turned, has the same outline in a mirror or turned, node by node. Of pixel steps
// two vertices may be just as far from where a node belongs: there one picture in fifty may differ, by less than a pixel.
func TestMirrored(t *testing.T) {
	rnd := rand.New(rand.NewSource(11))
	set := shapes()
	for _, letter := range "Rks8" {
		set = append(set, shape{string(letter), glyph(goitalic.TTF, letter)})
	}
	for _, hard := range []bool{false, true} {
		pictures, differ := 0, 0
		for _, dpi := range []float64{150, 200, 300} {
			for _, s := range set {
				for range 3 {
					g := place(s.name, s.rings, dpi, rnd.Float64()*7, rnd).render(hard)
					want := ours(t, g, nil)
					for _, turn := range []bool{false, true} {
						got := mirroredBack(ours(t, mirrored(g, turn), nil), float64(g.Rect.Dx()), turn)
						pictures++
						if max(nodesApart(got, want), nodesApart(want, got)) <= mirrorNoise {
							continue
						}
						differ++
						if d := max(linesApart(got, want), linesApart(want, got)); d > 1 || !hard {
							t.Errorf("%s, hard %v, %g dpi: outlines %.3f px apart", s.name, hard, dpi, d)
						}
					}
				}
			}
		}
		t.Logf("hard %v: %d of %d differ", hard, differ, pictures)
		if 50*differ > pictures {
			t.Errorf("hard %v: %d of %d differ", hard, differ, pictures)
		}
	}
}

// mirrorNoise is what vertices in a mirror may differ by: they are traced to 1/65536 of a pixel.
const mirrorNoise = 1e-4

// TestSymmetric: symmetric shapes have symmetric outlines, discs and rings to the digit. Where an axis runs between pixels
// there is no vertex on it: then a node of others may stand for the one to its left or right.
func TestSymmetric(t *testing.T) {
	rnd := rand.New(rand.NewSource(13))
	set := []shape{shapes()[3], shapes()[4]}
	set = append(set, shapes()[5:]...)
	for _, hard := range []bool{false, true} {
		for _, s := range set {
			for range 6 {
				g := place(s.name, s.rings, 100+200*rnd.Float64(), 0, rnd).render(hard)
				w := g.Rect.Dx()
				for y := range g.Rect.Dy() {
					row := g.Pix[y*g.Stride:][:w]
					for x := range w / 2 {
						row[w-1-x] = row[x]
					}
				}
				got := ours(t, g, nil)
				back := mirroredBack(ours(t, g, nil), float64(w), false)
				most := 0.2
				if hard {
					most = 0.4
				}
				if strings.Contains(s.name, "disc") || s.name == "ring" {
					most = mirrorNoise
				}
				if d := max(linesApart(got, back), linesApart(back, got)); d > most {
					t.Errorf("%s, hard %v: %.3f px from symmetric", s.name, hard, d)
				}
			}
		}
	}
}

// TestWhereARingBegins changes nothing.
func TestWhereARingBegins(t *testing.T) {
	rnd := rand.New(rand.NewSource(12))
	for _, hard := range []bool{false, true} {
		for _, tr := range append(truths(150), judges(t, 150)...) {
			g := tr.render(hard)
			for _, r := range ours(t, g, &Options{Tolerance: -1}) {
				var flat []float64
				for _, p := range r {
					flat = append(flat, p.x, p.y)
				}
				lines := straightLines(g.Rect.Dx(), g.Rect.Dy(), straightTolerance, hard)()
				_, at := lines(flat)
				want := [][]oraclePoint{pointsOf(at)}
				for range 3 {
					k := 2 * rnd.Intn(len(r))
					_, at = lines(append(append([]float64(nil), flat[k:]...), flat[:k]...))
					got := [][]oraclePoint{pointsOf(at)}
					if d := max(nodesApart(got, want), nodesApart(want, got)); d > 1e-6 {
						t.Errorf("%s, hard %v: nodes %.3f px apart", tr.name, hard, d)
					}
				}
			}
		}
	}
}

func pointsOf(flat []float64) (out []oraclePoint) {
	for i := 0; i+1 < len(flat); i += 2 {
		out = append(out, oraclePoint{flat[i], flat[i+1]})
	}
	return out
}

// TestDeparture: no vertex of the traced edge is further from the lines than promised, of hard pictures with the half pixel
// that the steps of a straight edge depart from it. Only within three pixels of a corner may it be up to half a pixel, the
// less the corner turns.
func TestDeparture(t *testing.T) {
	for _, hard := range []bool{false, true} {
		for _, tolerance := range []float64{0.1, 0.25, 0.5, 1, 3} {
			bound := tolerance
			if hard {
				bound += 2 * hardEdge
			}
			for _, tr := range judges(t, 100) {
				g := tr.render(hard)
				rings := ours(t, g, &Options{Tolerance: tolerance})
				lines := newSegments(rings)
				at, turn := turns(rings, 30-1e-9)
				corner := func(p oraclePoint, d float64) bool {
					for i, q := range at {
						if math.Hypot(p.x-q.x, p.y-q.y) <= 3 && d <= min(0.5, 0.5*math.Sin(math.Abs(turn[i])*math.Pi/360)+bound) {
							return true
						}
					}
					return false
				}
				for _, r := range ours(t, g, &Options{Tolerance: -1}) {
					for _, p := range r {
						_, q := lines.nearest(p)
						if d := math.Hypot(p.x-q.x, p.y-q.y); d > bound*(1+1e-9) && !corner(p, d*(1-1e-9)) {
							t.Errorf("%s, hard %v, tolerance %g px: %v is %.3f px off", tr.name, hard, tolerance, p, d)
						}
					}
				}
			}
		}
	}
}
