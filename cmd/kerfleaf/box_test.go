package main

import (
	"encoding/json"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

type boxResult struct {
	FrontBlank sizeJSON `json:"front_blank"`
	FrontFace  sizeJSON `json:"front_face"`
	BaseBlank  sizeJSON `json:"base_blank"`
	Gap        float64  `json:"gap_mm"`
	Sheets     int
	Way        struct {
		Cut    float64 `json:"cut_mm"`
		Score  float64 `json:"score_mm"`
		Lifted float64 `json:"lifted_mm"`
	} `json:"way_front"`
}

func runBox(t *testing.T, args ...string) (r boxResult) {
	t.Helper()
	out := mustRun(t, append([]string{"box", "slots.png", "--json", "--force", "--format", "svg"}, args...)...)
	if err := json.Unmarshal([]byte(out), &r); err != nil {
		t.Fatal(err)
	}
	return r
}

// A cut-out 3 in wide with the usual margin of 1/4 in has a face of 3 1/2 in; with
// walls of 1 in its blank is 5 1/2 in, and a base of heavy watercolour paper needs
// a blank 1/8 in less (common practice, no source).
func TestBoxMeasures(t *testing.T) {
	desk(t)
	savePNG(t, "slots.png", slots(300, 300, false))
	// The slots are 239 of 300 pixels wide.
	r := runBox(t, "--width", "95.6485mm")
	if math.Abs(r.FrontFace.Width-88.9) > 0.01 || math.Abs(r.FrontBlank.Width-139.7) > 0.01 || math.Abs(r.BaseBlank.Width-136.525) > 0.01 {
		t.Errorf("%+v", r)
	}
	if math.Abs(r.Gap-0.9075) > 0.001 {
		t.Errorf("gap %v, want 0.9075", r.Gap)
	}
	// The score lines and slits of the front: four scores of 5 1/2 in, of which
	// four slits of 1 in are cut: 4 in of cut, 18 in of score.
	if math.Abs(r.Way.Score-18*25.4) > 0.05 {
		t.Errorf("scores of %v mm, want 18 in", r.Way.Score)
	}
}

func TestBoxOptions(t *testing.T) {
	desk(t)
	savePNG(t, "slots.png", slots(300, 200, false))
	plain := runBox(t, "--width", "100mm")
	face := read(t, "kerfleaf-out/front.svg")
	if !strings.Contains(face, `id="score-mountain"`) || strings.Contains(face, `id="score-valley"`) {
		t.Error("face up, all folds are mountains")
	}
	runBox(t, "--width", "100mm", "--face-down")
	if svg := read(t, "kerfleaf-out/front.svg"); strings.Contains(svg, `id="score-mountain"`) || !strings.Contains(svg, `id="score-valley"`) {
		t.Error("face down, all folds are valleys")
	}
	runBox(t, "--width", "100mm", "--score", "perforation", "--perforation", "3mm,1mm")
	if svg := read(t, "kerfleaf-out/front.svg"); !strings.Contains(svg, `id="perforation"`) || strings.Contains(svg, `id="score-mountain"`) {
		t.Error("a perforation is not a score")
	}
	if r := runBox(t, "--width", "100mm", "--score", "marks"); r.Way.Score >= plain.Way.Score/3 {
		t.Errorf("end marks of %v mm in place of scores of %v", r.Way.Score, plain.Way.Score)
	}
	if r := runBox(t, "--width", "100mm", "--base-depth", "15mm"); r.BaseBlank.Width >= plain.BaseBlank.Width-20 {
		t.Errorf("a lower base: %+v", r)
	}
	for _, mm := range []float64{runBox(t, "--width", "100mm", "--ruler", "1/16").FrontBlank.Width, runBox(t, "--width", "100mm", "--ruler", "1/16").BaseBlank.Width} {
		if n := mm / 25.4 * 16; math.Abs(n-math.Round(n)) > 1e-3 {
			t.Errorf("%v mm is on no mark of a ruler in sixteenths", mm)
		}
	}
	if damp := runBox(t, "--width", "100mm", "--damp"); damp.Gap <= plain.Gap {
		t.Errorf("damp air leaves %v, dry %v", damp.Gap, plain.Gap)
	}
	runBox(t, "--width", "100mm", "--liner", "--spacer", "--tab", "mitred", "--out", "all")
	if got, want := files(t, "all"), []string{"base.svg", "front.svg", "liner.svg", "spacer.svg"}; !slices.Equal(got, want) {
		t.Errorf("files %v, want %v", got, want)
	}
	// 143.2 x 116.5 mm and an eighth of an inch less, one below the other on one
	// sheet of 297 mm; of two papers on two.
	for _, c := range []struct {
		paper string
		want  []string
	}{{"card", []string{"sheet-1.svg"}}, {"watercolour", []string{"sheet-1.svg", "sheet-2.svg"}}} {
		out := "sheets-" + c.paper
		r := runBox(t, "--width", "100mm", "--on-sheets", "--sheet", "a4", "--base-paper", c.paper, "--out", out)
		if got := files(t, out); r.Sheets != len(c.want) || !slices.Equal(got, c.want) {
			t.Errorf("%s: %d sheets, files %v, want %v", c.paper, r.Sheets, got, c.want)
		}
	}
	// With its grain known, a part turns to the sheet's grain, and only then.
	for _, sheet := range []string{"width", "height"} {
		runBox(t, "--width", "100mm", "--sheet", "a4", "--centre", "--grain", "width", "--sheet-grain", sheet, "--out", "grain-"+sheet)
	}
	if a, b := read(t, "grain-width/front.svg"), read(t, "grain-height/front.svg"); a == b {
		t.Error("the sheet's grain makes no difference")
	}
	if code, _, msg := kerfleaf("box", "slots.png", "--width", "150mm", "--sheet", "210x170mm", "--on-sheets", "--grain", "width", "--sheet-grain", "height", "--out", "turned"); code != exitFailed || !strings.Contains(msg, "front") {
		t.Errorf("a part that would have to lie across the grain: exit %d\n%s", code, msg)
	}
	runBox(t, "--width", "100mm", "--sheet", "a4", "--at", "20mm,30mm", "--out", "at")
	if svg := read(t, "at/front.svg"); !strings.Contains(svg, `width="210mm" height="297mm"`) || !strings.Contains(svg, "20 55.4") {
		t.Errorf("the front does not lie at 20, 30 on the sheet: %.600s", svg)
	}
	runBox(t, "--width", "100mm", "--sheet", "a4", "--centre", "--out", "centre")
	if a, b := read(t, "at/base.svg"), read(t, "centre/base.svg"); a != b {
		t.Error("only the front is put somewhere")
	}
	mustRun(t, "box", "slots.png", "--width", "100mm", "--backing", "#2f6f73", "--format", "png", "--out", "teal")
	mustRun(t, "box", "slots.png", "--width", "100mm", "--backing", "slots.png", "--format", "png", "--out", "own")
	if a, b := read(t, "teal/mockup.png"), read(t, "own/mockup.png"); a == b {
		t.Error("the backing does not show")
	}
	writeText(t, "letter.txt", "Dear crew")
	for _, c := range []struct {
		args string
		code int
		says string
	}{
		{"--tab round", exitUsage, "--tab"}, {"--ruler 16", exitUsage, "--ruler"}, {"--ruler 1/0", exitUsage, "--ruler"}, {"--grain up", exitUsage, "--grain"},
		{"--score lightly", exitUsage, "--score"}, {"--perforation 2mm", exitUsage, "--perforation"}, {"--perforation 2mm,0", exitUsage, "--perforation"},
		{"--sheet-grain up --on-sheets", exitUsage, "--sheet-grain"},
		{"--backing #12", exitUsage, "--backing"}, {"--backing none.png", exitFailed, "none.png"}, {"--backing letter.txt", exitFailed, "letter.txt"},
		{"--at 20mm", exitUsage, "--at"}, {"--at 150mm,20mm --sheet a4", exitFailed, "front"}, {"--on-sheets --centre", exitUsage, "--on-sheets"},
		{"--tab-length 40mm", exitFailed, "tab"}, {"--order maybe", exitUsage, "--order"}, {"--margin 0.2mm", exitFailed, "margin"},
	} {
		args := append([]string{"box", "slots.png", "--width", "100mm", "--out", "bad"}, strings.Fields(c.args)...)
		if code, _, msg := kerfleaf(args...); code != c.code || !strings.Contains(msg, c.says) {
			t.Errorf("%s: exit %d, want %d and %q:\n%s", c.args, code, c.code, c.says, msg)
		}
	}
}

func TestTestcard(t *testing.T) {
	desk(t)
	out := mustRun(t, "testcard", "--paper", "watercolour", "--kerf", "0.2mm")
	if got, want := files(t, "kerfleaf-out"), []string{"testcard-plan.png", "testcard.dxf", "testcard.pdf", "testcard.svg"}; !slices.Equal(got, want) {
		t.Errorf("files %v, want %v", got, want)
	}
	if !strings.Contains(out, "kerf") || !strings.Contains(out, "Never leave a laser alone") {
		t.Errorf("it does not say how to read it, or what hurts:\n%s", out)
	}
}

// Files that other programs wrote go through check; the script beside them says
// which.
func TestCheckFilesOfOthers(t *testing.T) {
	root, err := filepath.Abs("../../proof/testdata")
	if err != nil {
		t.Fatal(err)
	}
	var list []string
	for _, ext := range []string{"*.svg", "*.dxf"} {
		m, err := filepath.Glob(filepath.Join(root, ext))
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, m...)
	}
	if len(list) < 3 {
		t.Fatalf("only %d files in %s", len(list), root)
	}
	desk(t)
	for i, f := range list {
		out := mustRun(t, "check", f, "--min-web", "0", "--out", fmt.Sprint("out", i))
		if !strings.Contains(out, "ok: no line is worked twice") {
			t.Errorf("%s:\n%s", f, out)
		}
	}
}
