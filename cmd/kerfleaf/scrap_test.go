package main

import (
	"encoding/json"
	"fmt"
	"image"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"example.org/kerfleaf/proof"
)

// points are all vertices of a file of lines, read by readers that share no code
// with the writers.
func points(t *testing.T, name string) (w, h float64, xy []float64) {
	t.Helper()
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	file, err := proof.Read(f)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range file.Drawing.Layers {
		for _, g := range l.Shapes {
			xy = append(xy, g.FlatCoords()...)
		}
	}
	return file.Drawing.Width, file.Drawing.Height, xy
}

// Whatever is laid on a scrap, every vertex of SVG and DXF lies inside the true
// edge, in the photographed sheet's own millimetres, and the part keeps its size.
func TestScrap(t *testing.T) {
	desk(t)
	savePNG(t, "slots.png", slots(300, 200, false))
	for name, c := range map[string]struct {
		photo *tabletop
		args  string
		part  string
		w, h  float64 // of the part
	}{
		"words":      {standing, "words Wren\\nTolliver --width 70mm", "wren-tolliver", 70 + 12.7, 0},
		"trace":      {standing, "trace slots.png --width 90mm --kerf 0.2mm", "slots", 90.2, 60.2},
		"silhouette": {lying, "trace slots.png --width 120mm --invert", "slots", 0, 0},
		// Window 47.8 x 31.8 mm, margins 6.35, walls 10: and no kerf.
		"front":     {standing, "box slots.png --width 60mm --depth 10mm", "front", 60*0.796667 + 2*16.35, 40*0.795 + 2*16.35},
		"face down": {lying, "box slots.png --width 60mm --depth 10mm --face-down --tab mitred", "front", 60*0.796667 + 2*16.35, 40*0.795 + 2*16.35},
		"liner":     {standing, "box slots.png --width 100mm --depth 10mm --liner", "liner", 0, 0},
	} {
		t.Run(name, func(t *testing.T) {
			photo := strings.ReplaceAll(name, " ", "-") + ".jpg"
			c.photo.save(t, photo)
			mustRun(t, append(strings.Fields(c.args), "--scrap", photo, "--photo", "a4", "--out", name, "--format", "svg,dxf")...)
			for _, ext := range []string{".svg", ".dxf"} {
				w, h, xy := points(t, filepath.Join(name, c.part+ext))
				least := math.Inf(1)
				for i := 0; i < len(xy); i += 2 {
					x, y := xy[i], xy[i+1]
					if c.photo == lying { // its sheet's left side is up
						x, y = y, 297-x
					}
					least = min(least, c.photo.scrap.depth(x, y))
				}
				// A place that leaves a large rest is one at the edge.
				if least <= 0.3 || least > 6 {
					t.Errorf("%s: the nearest vertex is %.2f mm inside the true edge", ext, least)
				}
				if want := [2]float64{210, 297}; c.photo == lying && (w != want[1] || h != want[0]) || c.photo != lying && (w != want[0] || h != want[1]) {
					t.Errorf("%s: the sheet is %g x %g mm", ext, w, h)
				}
				if a, b := spanned(xy); c.w > 0 && math.Abs(a-c.w) > 0.3 || c.h > 0 && math.Abs(b-c.h) > 0.3 {
					t.Errorf("%s: the part is %.2f x %.2f mm, want %.2f x %.2f", ext, a, b, c.w, c.h)
				}
			}
		})
	}
}

// spanned is the size of the smallest of the rectangles, turned by whole degrees
// at 5 degrees' steps, that hold all points: the longer side first.
func spanned(xy []float64) (long, short float64) {
	best := math.Inf(1)
	for a := 0.0; a < 90; a += 5 {
		s, c := math.Sincos(a * math.Pi / 180)
		b := geom.NewBounds(geom.XY)
		for i := 0; i < len(xy); i += 2 {
			b.Extend(geom.NewPointFlat(geom.XY, []float64{c*xy[i] + s*xy[i+1], c*xy[i+1] - s*xy[i]}))
		}
		if w, h := b.Max(0)-b.Min(0), b.Max(1)-b.Min(1); w*h < best {
			best, long, short = w*h, max(w, h), min(w, h)
		}
	}
	return long, short
}

// The same bytes come out on one core and on many, and twice.
func TestScrapSameBytes(t *testing.T) {
	desk(t)
	standing.save(t, "scrap.jpg")
	savePNG(t, "slots.png", slots(300, 200, false))
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	for i, cores := range []int{1, 4} {
		runtime.GOMAXPROCS(cores)
		mustRun(t, "trace", "slots.png", "--width", "80mm", "--scrap", "scrap.jpg", "--photo", "a4", "--out", fmt.Sprint(i))
	}
	names := files(t, "0")
	if want := []string{"slots-on-scrap-explain.png", "slots-on-scrap.png", "slots-plan.png", "slots.dxf", "slots.pdf", "slots.svg"}; !slices.Equal(names, want) {
		t.Errorf("files %v, want %v", names, want)
	}
	for _, name := range names {
		if read(t, "0/"+name) != read(t, "1/"+name) {
			t.Errorf("%s differs", name)
		}
	}
}

// A part that does not fit is refused with the size at which it would, and at that size it does.
func TestScrapTooSmall(t *testing.T) {
	desk(t)
	standing.save(t, "scrap.jpg")
	savePNG(t, "slots.png", slots(300, 200, false))
	trace := func(mm float64) (int, string) {
		code, _, msg := kerfleaf("trace", "slots.png", "--width", fmt.Sprint(mm), "--scrap", "scrap.jpg", "--photo", "a4", "--out", fmt.Sprint(mm), "--format", "svg")
		return code, msg
	}
	code, msg := trace(180)
	m := regexp.MustCompile(`180\.0 x 120\.0 mm, does not fit .*; at (\d+) % of its size, (\d+\.\d) x (\d+\.\d) mm, it would`).FindStringSubmatch(msg)
	if code != exitFailed || m == nil {
		t.Fatalf("exit %d\n%s", code, msg)
	}
	percent, _ := strconv.Atoi(m[1])
	if want := fmt.Sprintf("%.1f x %.1f", 1.8*float64(percent), 1.2*float64(percent)); want != m[2]+" x "+m[3] {
		t.Errorf("%d %% is %s mm, not %s x %s", percent, want, m[2], m[3])
	}
	if code, msg := trace(1.8 * float64(percent)); code != exitDone {
		t.Errorf("at %d %%: exit %d\n%s", percent, code, msg)
	}
}

// On a photographed sheet a part lies in the middle, or where it is told to.
func TestPaperPhoto(t *testing.T) {
	desk(t)
	whole.save(t, "paper.jpg")
	savePNG(t, "slots.png", slots(300, 200, false))
	for args, want := range map[string][4]float64{ // bounds on the sheet
		"":                                     {105 - 45, 148.5 - 30, 105 + 45, 148.5 + 30},
		"--at 20mm,35mm":                       {20, 35, 110, 95},
		"--width 24cm":                         {105 - 80, 148.5 - 120, 105 + 80, 148.5 + 120}, // turned, or it would not fit
		"--width 24cm --at 25,28.5":            {25, 28.5, 185, 268.5},
		"--corners 1,1,1000,2,900,1500,3,1400": {105 - 45, 148.5 - 30, 105 + 45, 148.5 + 30},
	} {
		line := append([]string{"trace", "slots.png", "--paper-photo", "paper.jpg", "--photo", "a4", "--force", "--json", "--format", "svg"}, strings.Fields(args)...)
		if !strings.Contains(args, "width") {
			line = append(line, "--width", "90mm")
		}
		var got struct {
			Laid  laidJSON
			Steps []string `json:"sheet_steps"`
		}
		if err := json.Unmarshal([]byte(mustRun(t, line...)), &got); err != nil {
			t.Fatal(err)
		}
		_, _, xy := points(t, "kerfleaf-out/slots.svg")
		b := geom.NewBounds(geom.XY)
		for i := 0; i < len(xy); i += 2 {
			b.Extend(geom.NewPointFlat(geom.XY, xy[i:i+2]))
		}
		for i, v := range []float64{b.Min(0), b.Min(1), b.Max(0), b.Max(1)} {
			if math.Abs(v-want[i]) > 0.002 {
				t.Errorf("%q: %v, want %v", args, b, want)
				break
			}
		}
		if math.Abs(got.Laid.X-want[0]) > 0.002 || math.Abs(got.Laid.Y-want[1]) > 0.002 || got.Laid.Part != "slots" || len(got.Steps) < 2 {
			t.Errorf("%q: %+v", args, got)
		}
		if given := slices.ContainsFunc(got.Steps, func(s string) bool { return strings.Contains(s, "corners were given") }); given != strings.Contains(args, "corners") {
			t.Errorf("%q: %q", args, got.Steps)
		}
	}
}

// The picture of the sheet shows the pattern where it lies.
func TestPhotoSheetColours(t *testing.T) {
	desk(t)
	for photo, move := range map[*tabletop]motion{
		whole: func(x, y float64) (float64, float64) { return x, y },
		lying: func(x, y float64) (float64, float64) { return y, 297 - x },
	} {
		photo.save(t, "paper.jpg")
		s := newSettings()
		s.paperPhoto, s.photo, s.lens = "paper.jpg", "a4", "auto"
		ps, err := s.readSheet()
		if err != nil {
			t.Fatal(err)
		}
		img := ps.seen(ps.size.Width, ps.size.Height, 800, func(x, y float64) (float64, float64) { return x, y })
		if longer := max(img.Rect.Dx(), img.Rect.Dy()); longer != 800 {
			t.Errorf("%v", img.Rect)
		}
		tried, wrong := 0, 0
		for py := range img.Rect.Dy() {
			for px := range img.Rect.Dx() {
				x, y := move((float64(px)+0.5)*297/800, (float64(py)+0.5)*297/800)
				c := photo.look(x, y)
				alike := true // within 1.2 mm
				for _, d := range []image.Point{{-1, 0}, {1, 0}, {0, -1}, {0, 1}} {
					alike = alike && photo.look(x+1.2*float64(d.X), y+1.2*float64(d.Y)) == c
				}
				if !alike || c[0] == 0.74 {
					continue
				}
				tried++
				if p := img.RGBAAt(px, py); (p.R > p.B) != (c[0] > c[2]) {
					wrong++
				}
			}
		}
		if tried < 20_000 || float64(wrong) > 0.001*float64(tried) {
			t.Errorf("%d of %d pixels show another colour", wrong, tried)
		}
	}
}

// The drawing may be a photo, too, and a row of a list may have a scrap.
func TestScrapTwoPhotos(t *testing.T) {
	desk(t)
	standing.save(t, "scrap.jpg")
	savePNG(t, "photo.png", tableTop(120, 90, slots(360, 240, false)))
	var got struct {
		Drawing  sizeJSON `json:"drawing_size"`
		Cleaning []string
		Steps    []string `json:"sheet_steps"`
	}
	out := mustRun(t, "trace", "photo.png", "--photo", "120x90mm+a4", "--scrap", "scrap.jpg", "--json", "--format", "svg")
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	// 287 x 191 of the drawing's pixels are ink, a quarter of a mm each; the card has 1/4 in round them.
	_, _, xy := points(t, "kerfleaf-out/photo.svg")
	a, b := spanned(xy)
	if got.Drawing != (sizeJSON{120, 90}) || len(got.Cleaning) == 0 || len(got.Steps) != 4 || math.Abs(a-(287.0/4+12.7)) > 0.3 || math.Abs(b-(191.0/4+12.7)) > 0.3 {
		t.Errorf("%+v, the card %.2f x %.2f mm", got, a, b)
	}
	if got, want := files(t, "kerfleaf-out"), []string{"photo-explain.png", "photo-on-scrap-explain.png", "photo.svg"}; !slices.Equal(got, want) {
		t.Errorf("files %v, want %v", got, want)
	}
	writeText(t, "crew.csv", "words,scrap,photo\nWren,scrap.jpg,a4\nMarlo,,\n")
	mustRun(t, "batch", "crew.csv", "--make", "words", "--width", "60mm", "--format", "svg", "--out", "crew")
	if got, want := files(t, "crew"), []string{"marlo/marlo.svg", "wren/wren-on-scrap-explain.png", "wren/wren.svg"}; !slices.Equal(got, want) {
		t.Errorf("files %v, want %v", got, want)
	}
}

// A photo that its EXIF orientation turns by 180 degrees is laid on as it is seen, and that is told.
func TestScrapTurnedPhoto(t *testing.T) {
	desk(t)
	standing.save(t, "scrap.jpg")
	data := read(t, "scrap.jpg")
	// APP1 with a directory of one entry, Orientation 3 (CIPA DC-008, 4.6).
	exif := "Exif\x00\x00II*\x00\x08\x00\x00\x00\x01\x00\x12\x01\x03\x00\x01\x00\x00\x00\x03\x00\x00\x00\x00\x00\x00\x00"
	writeText(t, "turned.jpg", data[:2]+"\xff\xe1\x00"+string(rune(len(exif)+2))+exif+data[2:])
	code, _, msg := kerfleaf("words", "Wren", "--width", "60mm", "--scrap", "turned.jpg", "--photo", "a4", "--format", "svg")
	if code != exitDone || !strings.Contains(msg, "turned.jpg: turned by 180 degrees") {
		t.Fatalf("exit %d\n%s", code, msg)
	}
	_, _, xy := points(t, "kerfleaf-out/wren.svg")
	for i := 0; i < len(xy); i += 2 {
		if d := marbled.depth(210-xy[i], 297-xy[i+1]); d <= 0 {
			t.Fatalf("(%.1f, %.1f) is %.1f mm off the scrap", xy[i], xy[i+1], -d)
		}
	}
}

func TestScrapRefusals(t *testing.T) {
	desk(t)
	standing.save(t, "scrap.jpg")
	bare.save(t, "bare.jpg")
	savePNG(t, "slots.png", slots(300, 200, false))
	writeText(t, "crew.csv", "words\nWren\n")
	writeText(t, "marbled.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm"><rect width="9" height="9"/></svg>`)
	const trace = "trace slots.png --width 60mm "
	for _, c := range []struct {
		args string
		code int
		says string
	}{
		{trace + "--scrap scrap.jpg", exitUsage, "add --photo"},
		{trace + "--paper-photo scrap.jpg", exitUsage, "add --photo"},
		{trace + "--scrap scrap.jpg --paper-photo scrap.jpg --photo a4", exitUsage, "one or the other"},
		{trace + "--scrap scrap.jpg --photo a99", exitUsage, "--photo"},
		{trace + "--scrap scrap.jpg --photo +a4", exitUsage, "before the +"},
		{trace + "--photo a4+a4", exitUsage, "one photo"},
		{trace + "--scrap scrap.jpg --photo a4 --corners 1,2,3", exitUsage, "8"},
		{trace + "--scrap scrap.jpg --photo a4 --corners 1,2,3,4,5,6,7,8+", exitUsage, "--corners"},
		{trace + "--scrap scrap.jpg --photo a4 --at 3,4", exitUsage, "by itself"},
		{trace + "--at 3,4", exitUsage, "--paper-photo"},
		{trace + "--paper-photo scrap.jpg --photo a4 --at 3", exitUsage, "--at"},
		{trace + "--paper-photo scrap.jpg --photo a4 --at 190mm,10mm", exitFailed, "beyond the right"},
		{trace + "--scrap none.jpg --photo a4", exitFailed, "none.jpg"},
		{trace + "--scrap marbled.svg --photo a4", exitFailed, "not a photo"},
		{trace + "--scrap scrap.jpg --photo 10x30cm", exitFailed, "--corners"},
		{trace + "--scrap bare.jpg --photo a4", exitFailed, "no piece of paper"},
		{trace + "--scrap scrap.jpg --photo a4 --sheet-edge 90mm", exitFailed, "scrap.jpg"},
		{"box slots.png --width 60mm --scrap scrap.jpg --photo a4 --centre", exitUsage, "by itself"},
		{"box --words Wren --photo a4", exitUsage, "--scrap"},
		{"words Wren --photo a4", exitUsage, "--scrap"},
		{"words Wren --photo a4+a4 --scrap scrap.jpg", exitUsage, "one photo"},
		{"batch crew.csv --scrap scrap.jpg --photo a4", exitUsage, "column"},
	} {
		code, _, msg := kerfleaf(append(strings.Fields(c.args), "--out", "x")...)
		if code != c.code || !strings.Contains(msg, c.says) {
			t.Errorf("%s: exit %d, want %d and %q:\n%s", c.args, code, c.code, c.says, msg)
		}
		if got := files(t, "x"); len(got) > 0 {
			t.Fatalf("%s: left %v behind", c.args, got)
		}
	}
}
