package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// desk is an empty folder that a test works in, away from any papers of the
// person who runs it.
func desk(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	t.Setenv("XDG_CONFIG_HOME", filepath.Join(dir, "config"))
	t.Setenv("HOME", dir)
	t.Chdir(dir)
	return dir
}

// kerfleaf runs the program as a user would.
func kerfleaf(args ...string) (code int, stdout, stderr string) {
	var out, msg bytes.Buffer
	code = run(append([]string{"kerfleaf"}, args...), &out, &msg)
	return code, out.String(), msg.String()
}

func mustRun(t *testing.T, args ...string) string {
	t.Helper()
	code, out, msg := kerfleaf(args...)
	if code != exitDone {
		t.Fatalf("kerfleaf %s: exit %d\n%s", strings.Join(args, " "), code, msg)
	}
	return out
}

// files lists what a folder holds, folders left out.
func files(t *testing.T, dir string) []string {
	t.Helper()
	var names []string
	err := filepath.WalkDir(dir, func(p string, e fs.DirEntry, err error) error {
		if err == nil && !e.IsDir() {
			rel, _ := filepath.Rel(dir, p)
			names = append(names, filepath.ToSlash(rel))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return names
}

// slots draws three black slots on white, and a black ring, whose middle is an
// island, if asked.
func slots(w, h int, ring bool) *image.Gray {
	m := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			v := uint8(255)
			if y > h/10 && y < h*9/10 && x > w/10 && x < w*9/10 && x*10/w%3 != 0 {
				v = 0
			}
			m.SetGray(x, y, color.Gray{Y: v})
		}
	}
	if ring {
		for y := h * 3 / 10; y < h*7/10; y++ {
			for x := w * 12 / 100; x < w*28/100; x++ {
				v := uint8(0)
				if y > h*4/10 && y < h*6/10 && x > w*16/100 && x < w*24/100 {
					v = 255
				}
				m.SetGray(x, y, color.Gray{Y: v})
			}
		}
	}
	return m
}

func savePNG(t testing.TB, name string, m image.Image) {
	t.Helper()
	f, err := os.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := png.Encode(f, m); err != nil {
		t.Fatal(err)
	}
}

func TestDemo(t *testing.T) {
	dir := desk(t)
	out := mustRun(t, "demo")
	want := []string{"kerfleaf-out/base.dxf", "kerfleaf-out/base.pdf", "kerfleaf-out/base.png", "kerfleaf-out/base.svg", "kerfleaf-out/front.dxf", "kerfleaf-out/front.pdf", "kerfleaf-out/front.png",
		"kerfleaf-out/front.svg", "kerfleaf-out/guide.html", "kerfleaf-out/heron.png", "kerfleaf-out/mockup.png"}
	if got := files(t, dir); !slices.Equal(got, want) {
		t.Errorf("files %v, want %v", got, want)
	}
	for _, name := range want {
		if !strings.Contains(out, filepath.FromSlash(name)) {
			t.Errorf("the summary does not name %s:\n%s", name, out)
		}
	}
	// Cut-out 3 1/2 x 4 1/2 in less the strip of water, margins 1/4 in, walls 1 in.
	if !strings.Contains(out, "(25.4 mm)") || !strings.Contains(out, "the base slides in") {
		t.Errorf("the summary lacks measures:\n%s", out)
	}
	// The drawing is found again at its own size, without a flag.
	mustRun(t, "trace", "kerfleaf-out/heron.png", "--out", "again")
	svg, err := os.ReadFile("again/heron.svg")
	if err != nil || !strings.Contains(string(svg), `width="101.6mm"`) || !strings.Contains(string(svg), `height="127mm"`) {
		t.Errorf("the drawing is not 4 x 5 in: %.300s %v", svg, err)
	}
}

func TestSameBytesTwice(t *testing.T) {
	desk(t)
	mustRun(t, "demo", "--out", "one")
	mustRun(t, "demo", "--out", "two")
	for _, name := range files(t, "one") {
		a, _ := os.ReadFile(filepath.Join("one", name))
		b, _ := os.ReadFile(filepath.Join("two", name))
		if !bytes.Equal(a, b) {
			t.Errorf("%s differs from one run to the next", name)
		}
	}
}

// One drawing as every kind of PNG and as JPEG gives the same size of cut-out.
func TestTraceKindsOfPicture(t *testing.T) {
	desk(t)
	gray := slots(300, 200, false)
	b := gray.Bounds()
	kinds := map[string]image.Image{"grey.png": gray}
	rgba, gray16, clear := image.NewNRGBA(b), image.NewGray16(b), image.NewNRGBA(b)
	pal := image.NewPaletted(b, color.Palette{color.White, color.Black})
	for y := range b.Dy() {
		for x := range b.Dx() {
			c := gray.At(x, y)
			rgba.Set(x, y, c)
			gray16.Set(x, y, c)
			pal.Set(x, y, c)
			if gray.GrayAt(x, y).Y == 0 {
				clear.SetNRGBA(x, y, color.NRGBA{A: 255})
			}
		}
	}
	kinds["colour.png"], kinds["grey16.png"], kinds["palette.png"], kinds["transparent.png"] = rgba, gray16, pal, clear
	for name, m := range kinds {
		savePNG(t, name, m)
	}
	f, err := os.Create("photo.jpg")
	if err != nil {
		t.Fatal(err)
	}
	if err := jpeg.Encode(f, gray, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	f.Close()
	kinds["photo.jpg"] = gray
	for name := range kinds {
		out := mustRun(t, "trace", name, "--width", "150mm", "--json", "--out", "out-"+name, "--format", "svg")
		var got struct {
			Size, CutOut sizeJSON
			Drawing      sizeJSON `json:"drawing_size"`
			Cut          sizeJSON `json:"cut_out"`
		}
		if err := json.Unmarshal([]byte(out), &got); err != nil {
			t.Fatalf("%s: %v\n%s", name, err, out)
		}
		if got.Drawing != (sizeJSON{150, 100}) {
			t.Errorf("%s: drawing %v, want 150 x 100", name, got.Drawing)
		}
		// Columns 31..269 (239 px) and rows 21..179 (159 px) of 0.5 mm are ink.
		if dx, dy := got.Cut.Width-119.5, got.Cut.Height-79.5; dx*dx > 0.06 || dy*dy > 0.06 {
			t.Errorf("%s: cut-out %v, want about 119.5 x 79.5", name, got.Cut)
		}
	}
}

func TestFlagsBeforeOrAfter(t *testing.T) {
	desk(t)
	savePNG(t, "slots.png", slots(300, 200, false))
	a := mustRun(t, "trace", "slots.png", "--width", "3in", "--format=svg", "--json", "--out", "a")
	b := mustRun(t, "trace", "--width", "3in", "--format=svg", "--json", "--out", "b", "slots.png")
	if strings.ReplaceAll(a, "a/slots", "b/slots") != b {
		t.Errorf("order of flags matters:\n%s\n%s", a, b)
	}
	if x, y := read(t, "a/slots.svg"), read(t, "b/slots.svg"); x != y {
		t.Error("order of flags matters in the file")
	}
}

func read(t *testing.T, name string) string {
	t.Helper()
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func TestBridgesAndLoosePaper(t *testing.T) {
	desk(t)
	savePNG(t, "ring.png", slots(300, 200, true))
	size := []string{"--width", "120mm", "--min-web", "0", "--format", "svg"}
	code, out, msg := kerfleaf(append([]string{"trace", "ring.png", "--out", "a"}, size...)...)
	if code != exitDone || !strings.Contains(msg, "island") {
		t.Errorf("trace only warns of islands: exit %d\n%s%s", code, out, msg)
	}
	code, _, msg = kerfleaf(append([]string{"box", "ring.png", "--out", "b"}, size...)...)
	if code != exitDone || strings.Contains(msg, "island") {
		t.Errorf("box ties islands: exit %d\n%s", code, msg)
	}
	code, _, msg = kerfleaf(append([]string{"box", "ring.png", "--bridge", "off", "--out", "c"}, size...)...)
	if code != exitLoose || !strings.Contains(msg, "island") {
		t.Errorf("box with loose paper: exit %d, want %d\n%s", code, exitLoose, msg)
	}
}

func TestBadInput(t *testing.T) {
	desk(t)
	whole := slots(300, 200, false)
	savePNG(t, "slots.png", whole)
	data := read(t, "slots.png")
	write := func(name, text string) {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("empty.png", "")
	write("letter.png", "Dear crew, supper is at seven. Bring a lantern.\n")
	write("cut.png", data[:len(data)/2])
	write("afile", "")
	write("bad.toml", "[card]\nthicknes = 0.3\n")
	huge := []byte(data)
	copy(huge[16:24], []byte{0, 0, 0xff, 0xff, 0, 0, 0xff, 0xff})
	write("huge.png", string(huge))
	fill := func(name string, w, h int, v uint8) {
		m := image.NewGray(image.Rect(0, 0, w, h))
		for i := range m.Pix {
			m.Pix[i] = v
		}
		savePNG(t, name, m)
	}
	fill("dot.png", 1, 1, 0)
	fill("white.png", 60, 40, 255)
	fill("black.png", 60, 40, 0)
	mustRun(t, "trace", "slots.png", "--width", "9cm", "--out", "taken")

	for _, c := range []struct {
		args string
		code int
		says string // part of the one line
	}{
		{"trace", exitUsage, "needs a drawing"},
		{"trace a.png b.png", exitUsage, "one drawing"},
		{"trace nowhere.png --width 9cm", exitFailed, "nowhere.png"},
		{"trace . --width 9cm", exitFailed, "folder"},
		{"trace empty.png --width 9cm", exitFailed, "empty"},
		{"trace letter.png --width 9cm", exitFailed, "not a PNG"},
		{"trace cut.png --width 9cm", exitFailed, "cut short"},
		{"trace dot.png --width 9cm", exitFailed, "small"},
		{"trace huge.png --width 9cm", exitFailed, "--max-megapixels"},
		{"trace white.png --width 9cm", exitFailed, "nothing to cut"},
		{"trace black.png --width 9cm", exitFailed, "nothing would be left"},
		{"box white.png --width 9cm", exitFailed, "nothing to cut"},
		{"box black.png --width 9cm", exitFailed, "nothing would be left"},
		{"trace slots.png", exitUsage, "--width"},
		{"trace slots.png --width 0", exitUsage, "--width 0: must be more than 0"},
		{"trace slots.png --width -3in", exitUsage, "less than nothing"},
		{"trace slots.png --width twelve", exitUsage, "not a length"},
		{"trace slots.png --width 9cm --height 9cm", exitUsage, "stretch"},
		{"trace slots.png --width 9cm --dpi 300", exitUsage, "twice"},
		{"trace slots.png --dpi 0", exitUsage, "--dpi"},
		{"trace slots.png --width 9cm --threshold 2", exitUsage, "--threshold"},
		{"trace slots.png --width 9cm --format bmp", exitUsage, "--format"},
		{"trace slots.png --width 9cm --units furlongs", exitUsage, "--units"},
		{"trace slots.png --width 9cm --bridge maybe", exitUsage, "bridge"},
		{"trace slots.png --width 9cm --paper vellom", exitUsage, "vellom"},
		{"trace slots.png --width 9cm --papers-file none.toml", exitFailed, "none.toml"},
		{"trace slots.png --width 9cm --papers-file bad.toml", exitFailed, "bad.toml"},
		{"trace slots.png --width 9cm --kerf 80mm", exitFailed, "kerf"},
		{"trace slots.png --width 9cm --grow -60mm", exitFailed, "nothing to cut"},
		{"trace slots.png --width 9cm --out taken", exitFailed, "--force"},
		{"trace slots.png --width 9cm --out afile", exitFailed, "afile"},
		{"trace slots.png --width 9cm --colour", exitUsage, "no flag --colour"},
		{"trace slots.png --width", exitUsage, "--width needs a value"},
		{"trace slots.png --invert=perhaps", exitUsage, "--invert perhaps"},
		{"box slots.png --width 2m", exitUsage, "not a length"},
		{"box slots.png --width 90cm", exitFailed, "front"},
		{"box slots.png --width 9cm --sheet a99", exitUsage, "a99"},
		{"box slots.png --width 9cm --sheet a7", exitFailed, "a7"},
		{"box slots.png --width 9cm --gap 0.05mm", exitFailed, "gap"},
		{"box slots.png --width 9cm --depth 0", exitUsage, "more than 0"},
		{"box slots.png --width 9cm --base-paper vellom", exitUsage, "vellom"},
		{"demo heron.png", exitUsage, "its own drawing"},
		{"papers card", exitUsage, "no argument"},
		{"paperz", exitUsage, "paperz"},
	} {
		before := files(t, ".")
		code, out, msg := kerfleaf(strings.Fields(c.args)...)
		if code != c.code || !strings.Contains(msg, c.says) {
			t.Errorf("%s: exit %d, want %d and %q:\n%s", c.args, code, c.code, c.says, msg)
		}
		if out != "" || strings.Contains(msg, "goroutine") {
			t.Errorf("%s: printed %q %q", c.args, out, msg)
		}
		lines := strings.Split(strings.TrimSpace(msg), "\n")
		if c.code == exitUsage && len(lines) == 2 { // the second line says where help is
			lines = lines[:1]
		}
		if len(lines) != 1 || !strings.HasPrefix(msg, "kerfleaf: ") {
			t.Errorf("%s: not one line:\n%s", c.args, msg)
		}
		if after := files(t, "."); !slices.Equal(before, after) {
			t.Errorf("%s: left files behind: %v", c.args, after)
		}
	}
}

// A folder that nobody may write to. The superuser may write anywhere, so the
// test needs an ordinary user; a file in the folder's place stands in TestBadInput.
func TestFolderNotWritable(t *testing.T) {
	desk(t)
	if os.Geteuid() == 0 {
		t.Skip("running as superuser")
	}
	savePNG(t, "slots.png", slots(300, 200, false))
	if err := os.Mkdir("locked", 0o555); err != nil {
		t.Fatal(err)
	}
	code, _, msg := kerfleaf("trace", "slots.png", "--width", "9cm", "--out", "locked")
	if code != exitFailed || !strings.Contains(msg, "locked") {
		t.Errorf("exit %d: %s", code, msg)
	}
}

func TestForceReplaces(t *testing.T) {
	desk(t)
	savePNG(t, "slots.png", slots(300, 200, false))
	mustRun(t, "trace", "slots.png", "--width", "9cm", "--format", "svg")
	mustRun(t, "trace", "slots.png", "--width", "8cm", "--format", "svg", "--force")
	if svg := read(t, "kerfleaf-out/slots.svg"); !strings.Contains(svg, `width="80mm"`) {
		t.Errorf("not replaced: %.200s", svg)
	}
}

func TestPapers(t *testing.T) {
	desk(t)
	out := mustRun(t, "papers")
	for _, want := range []string{"card", "watercolour", "papers.toml", "thickness = 0.30"} {
		if !strings.Contains(out, want) {
			t.Errorf("papers does not say %q:\n%s", want, out)
		}
	}
	own := filepath.Join("config", "kerfleaf")
	if err := os.MkdirAll(own, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(own, "papers.toml"), []byte("[boathouse-card]\nthickness = 0.41\nkerf = 0.2\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if out := mustRun(t, "papers"); !strings.Contains(out, "boathouse-card") {
		t.Errorf("own paper is missing:\n%s", out)
	}
	// A paper's kerf widens the page of a part by itself; a flag overrides it.
	savePNG(t, "slots.png", slots(300, 200, false))
	for _, c := range []struct {
		flags []string
		kerf  float64
	}{{nil, 0.2}, {[]string{"--kerf", "0.1"}, 0.1}} {
		var got struct {
			Blank sizeJSON `json:"front_blank"`
		}
		out := mustRun(t, append([]string{"box", "slots.png", "--width", "9cm", "--paper", "boathouse-card", "--json", "--force", "--min-web", "0"}, c.flags...)...)
		if err := json.Unmarshal([]byte(out), &got); err != nil {
			t.Fatal(err)
		}
		if svg := read(t, "kerfleaf-out/front.svg"); !strings.Contains(svg, trim(`width="%.3f`, got.Blank.Width+c.kerf)) {
			t.Errorf("kerf %v: blank %v, page %.120s", c.kerf, got.Blank, svg)
		}
	}
}

func TestHelpAndVersion(t *testing.T) {
	desk(t)
	for _, args := range [][]string{{"help"}, {"--help"}, {}, {"--version"}} {
		if out := mustRun(t, args...); out == "" {
			t.Errorf("%v prints nothing", args)
		}
	}
	for _, c := range newApp(nil, nil).Commands {
		out := mustRun(t, c.Name, "--help")
		if !strings.Contains(out, "Example") {
			t.Errorf("%s --help has no example:\n%s", c.Name, out)
		}
	}
}

// trim prints a length as SVG files hold it: without zeros at the end.
func trim(format string, v float64) string {
	return strings.TrimRight(strings.TrimRight(fmt.Sprintf(format, v), "0"), ".")
}

func TestWords(t *testing.T) {
	desk(t)
	out := mustRun(t, "words", `Wren\nTolliver`, "--width", "9cm", "--json")
	var got struct {
		Words   string
		Bridges int
		CutOut  sizeJSON `json:"cut_out"`
		Sheet   sizeJSON
		Files   []string
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	// The middles of e, o and e.
	if got.Words != "Wren / Tolliver" || got.Bridges != 3 || got.CutOut.Width != 90 || math.Abs(got.Sheet.Width-90-12.7) > 0.002 || len(got.Files) != 4 {
		t.Errorf("%+v", got)
	}
	if got, want := files(t, "kerfleaf-out"), []string{"wren-tolliver-plan.png", "wren-tolliver.dxf", "wren-tolliver.pdf", "wren-tolliver.svg"}; !slices.Equal(got, want) {
		t.Errorf("files %v, want %v", got, want)
	}
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"words"}, exitUsage, "needs a text"},
		{[]string{"words", "   "}, exitFailed, "blank"},
		{[]string{"words", "Åse 語"}, exitFailed, "語"},
		{[]string{"words", "Wren", "--font", "none.ttf"}, exitFailed, "none.ttf"},
		{[]string{"words", "Wren", "--align", "up"}, exitUsage, "--align"},
	} {
		if code, _, msg := kerfleaf(append(c.args, "--out", "w")...); code != c.code || !strings.Contains(msg, c.says) {
			t.Errorf("%v: exit %d, want %d and %q:\n%s", c.args, code, c.code, c.says, msg)
		}
	}
}

func TestBoxWithWords(t *testing.T) {
	desk(t)
	savePNG(t, "slots.png", slots(300, 200, false))
	type result struct {
		Face   sizeJSON `json:"front_face"`
		CutOut sizeJSON `json:"cut_out"`
	}
	measure := func(args ...string) (r result) {
		t.Helper()
		if err := json.Unmarshal([]byte(mustRun(t, append(args, "--json", "--force", "--format", "svg", "--margin", "8mm")...)), &r); err != nil {
			t.Fatal(err)
		}
		return r
	}
	alone := measure("box", "--words", "MARLO", "--letter-height", "15mm")
	if math.Abs(alone.Face.Height-alone.CutOut.Height-16) > 0.002 || alone.CutOut.Height < 15 || alone.CutOut.Height > 16 {
		t.Errorf("words alone: %+v", alone)
	}
	plain := measure("box", "slots.png", "--width", "120mm")
	below := measure("box", "slots.png", "--width", "120mm", "--words", "MARLO", "--letter-height", "10mm")
	// 5 mm of paper and letters of 10 mm, whose round ones reach a little beyond.
	if d := below.CutOut.Height - plain.CutOut.Height; d < 15 || d > 16 || below.CutOut.Width != plain.CutOut.Width {
		t.Errorf("words below: %+v, without %+v", below, plain)
	}
}

// tableTop lays a drawing on a grey sheet on a dark table, seen from straight
// above: 4 pixels to the mm, the sheet at (100, 80).
func tableTop(sheetW, sheetH int, m *image.Gray) *image.Gray {
	const perMM, left, top = 4, 100, 80
	w, h := sheetW*perMM, sheetH*perMM
	t := image.NewGray(image.Rect(0, 0, w+2*left, h+2*top))
	for i := range t.Pix {
		t.Pix[i] = 40
	}
	for y := range h {
		for x := range w {
			v := uint8(210)
			if p := image.Pt(x-w/4, y-h/4); p.In(m.Rect) && m.GrayAt(p.X, p.Y).Y < 128 {
				v = 25
			}
			t.SetGray(left+x, top+y, color.Gray{Y: v})
		}
	}
	return t
}

func TestPhotoAndScan(t *testing.T) {
	desk(t)
	savePNG(t, "photo.png", tableTop(200, 150, slots(360, 240, false)))
	var got struct {
		Drawing  sizeJSON `json:"drawing_size"`
		CutOut   sizeJSON `json:"cut_out"`
		Cleaning []string
	}
	out := mustRun(t, "trace", "photo.png", "--photo", "200x150mm", "--json", "--format", "svg")
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	// 287 x 191 of the drawing's pixels are ink, a quarter of a mm each; with the
	// sheet's size known within half a pixel at either edge.
	if got.Drawing != (sizeJSON{200, 150}) || math.Abs(got.CutOut.Width-287.0/4) > 0.25 || math.Abs(got.CutOut.Height-191.0/4) > 0.25 || len(got.Cleaning) == 0 {
		t.Errorf("photo: %+v", got)
	}
	if got, want := files(t, "kerfleaf-out"), []string{"photo-explain.png", "photo.svg"}; !slices.Equal(got, want) {
		t.Errorf("files %v, want %v", got, want)
	}
	savePNG(t, "scan.png", slots(900, 600, false))
	out = mustRun(t, "check", "scan.png", "--scan", "--dpi", "300", "--out", "s")
	if !strings.Contains(out, "cleaning") {
		t.Errorf("a scan tells nothing of its cleaning:\n%s", out)
	}
	for _, c := range []struct {
		args string
		code int
		says string
	}{
		{"trace photo.png --photo a99", exitUsage, "--photo"},
		{"trace photo.png --photo 200x150 --corners 1,2,3", exitUsage, "--corners"},
		{"trace photo.png --photo 200x150 --corners 1,2,3,4,5,6,7,x", exitUsage, "--corners"},
		{"trace photo.png --corners 1,2,3,4,5,6,7,8", exitUsage, "--photo"},
		{"trace photo.png --scan --photo a4", exitUsage, "one or the other"},
		{"trace photo.png --scan --dpi 100 --lens perhaps", exitUsage, "--lens"},
		{"trace scan.png --photo a4", exitFailed, "--corners"},
	} {
		if code, _, msg := kerfleaf(append(strings.Fields(c.args), "--out", "x")...); code != c.code || !strings.Contains(msg, c.says) {
			t.Errorf("%s: exit %d, want %d and %q:\n%s", c.args, code, c.code, c.says, msg)
		}
	}
}
