package proof_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"example.org/kerfleaf/box"
	"example.org/kerfleaf/proof"
)

// A mutant is a file with one line of it spoiled.
type mutant struct {
	how  string
	data []byte
}

var (
	svgLine = regexp.MustCompile(`M[^MZ"]*Z?\n?`)
	dxfLine = regexp.MustCompile(`(?s)  0\nPOLYLINE\n.*?  0\nSEQEND\n  8\n\w+\n`)
	svgPair = regexp.MustCompile(`([ML])([-0-9.]+) ([-0-9.]+)`)
	dxfPair = regexp.MustCompile(` 10\n(\S+)\n 20\n(\S+)\n`)
)

// mutants spoils the n-th line of a file in each way; all lines of it for the scale.
func mutants(data []byte, format string, n int) []mutant {
	line := svgLine
	if format != "SVG" {
		line = dxfLine
	}
	all := line.FindAllIndex(data, -1)
	at := all[n%len(all)]
	old := string(data[at[0]:at[1]])
	replaced := func(how, text string) mutant {
		return mutant{how, bytes.Join([][]byte{data[:at[0]], []byte(text), data[at[1]:]}, nil)}
	}
	out := []mutant{
		replaced("moved", moved(old, format, func(x, y float64) (float64, float64) { return x + 1, y })),
		replaced("scaled", moved(old, format, func(x, y float64) (float64, float64) { return x * 96 / 72, y * 96 / 72 })),
		{"all scaled", []byte(moved(string(data), format, func(x, y float64) (float64, float64) { return x * 96 / 72, y * 96 / 72 }))},
	}
	if format == "SVG" {
		// An empty path has no d that a reader would have to take.
		removed := bytes.ReplaceAll(replaced("removed", "").data, []byte(`d=""`), nil)
		out = append(out, mutant{"removed", removed}, replaced("doubled", old+old))
		if strings.Contains(old, "Z") {
			open := old[:strings.LastIndex(old, "Z")]
			out = append(out, replaced("opened", open))
		}
		return out
	}
	out = append(out, replaced("removed", ""), replaced("doubled", old+old))
	if strings.Contains(old, "\n 70\n1\n") {
		out = append(out, replaced("opened", strings.Replace(old, "\n 70\n1\n", "\n 70\n0\n", 1)))
	}
	return out
}

// moved maps all points of lines.
func moved(text, format string, f func(x, y float64) (float64, float64)) string {
	unit := 1.0
	if format == "DXF in" {
		unit = 25.4
	}
	pair, form := svgPair, "%[3]s%.3[1]f %.3[2]f"
	if format != "SVG" {
		pair, form = dxfPair, " 10\n%.6f\n 20\n%.6f\n"
	}
	head, body := "", text
	if i := strings.Index(text, "ENTITIES\n"); i >= 0 {
		head, body = text[:i], text[i:]
	} else if i := strings.Index(text, "<g "); i >= 0 {
		head, body = text[:i], text[i:]
	}
	return head + pair.ReplaceAllStringFunc(body, func(s string) string {
		m := pair.FindStringSubmatch(s)
		k := len(m) - 2
		x, err1 := strconv.ParseFloat(m[k], 64)
		y, err2 := strconv.ParseFloat(m[k+1], 64)
		if err1 != nil || err2 != nil {
			panic("test file: " + s)
		}
		x, y = f(x*unit, y*unit)
		if format == "SVG" {
			return fmt.Sprintf(form, x, y, m[1])
		}
		return fmt.Sprintf(form, x/unit, y/unit)
	})
}

func TestMutantsAreCaught(t *testing.T) {
	seeds := 12
	if testing.Short() {
		seeds = 4
	}
	caught, passed := 0, 0
	for seed := range seeds {
		rnd := rand.New(rand.NewPCG(uint64(seed), 8))
		cut := blobs(rnd, 2+rnd.IntN(3), 1+rnd.IntN(3), 8+8*rnd.Float64(), 1.2)
		if seed%4 == 1 {
			cut = glyphs(t, []string{"Reed", "Heron &", "Moth 8", "Åse"}[rnd.IntN(4)], 15+10*rnd.Float64())
		}
		kerf := []float64{0, 0.1, 0.2}[seed%3]
		for name, d := range map[string]madeOf{
			"openings": opened(t, cut, kerf), "front": front(t, cut, kerf, box.Square), "mitred": front(t, cut, kerf, box.Mitred),
		} {
			for _, format := range []string{"SVG", "DXF", "DXF in"} {
				data := file(t, d.drawing, format)
				res := dryRun(t, data, kerf, &proof.Options{Design: d.design})
				if !res.OK() {
					t.Errorf("seed %d, %s, %s: untouched, but %v", seed, name, format, wrong(res))
				}
				if alone := dryRun(t, data, kerf, nil); !alone.OK() {
					t.Errorf("seed %d, %s, %s: untouched, but alone %v", seed, name, format, wrong(alone))
				}
				passed++
				for _, m := range mutants(data, format, rnd.IntN(1000)) {
					caught++
					if bytes.Equal(m.data, data) {
						t.Fatalf("seed %d, %s, %s: %s: nothing changed", seed, name, format, m.how)
					}
					if dryRun(t, m.data, kerf, &proof.Options{Design: d.design}).OK() {
						t.Errorf("seed %d, %s, %s: %s was not caught", seed, name, format, m.how)
					}
					if m.how == "doubled" && dryRun(t, m.data, kerf, nil).OK() {
						t.Errorf("seed %d, %s, %s: %s was not caught without the design", seed, name, format, m.how)
					}
				}
			}
		}
	}
	t.Logf("%d mutants, %d untouched files", caught, passed)
}

func wrong(r *proof.Result) []proof.Claim {
	var out []proof.Claim
	for _, c := range r.Claims {
		if !c.OK {
			out = append(out, c)
		}
	}
	return out
}
