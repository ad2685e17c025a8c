package main

import (
	"image/png"
	"os"
	"strings"
	"testing"
)

// A placeholder for a resolution is named where a size is missing, and of no
// concern once it is stated or follows from the photographed sheet.
func TestDoubtfulResolution(t *testing.T) {
	desk(t)
	f, err := os.Create("photo.png")
	if err != nil {
		t.Fatal(err)
	}
	if err := png.Encode(&physWriter{w: f, dpi: 72}, tableTop(200, 150, slots(360, 240, false))); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	if code, _, msg := kerfleaf("trace", "photo.png"); code != exitUsage || !strings.Contains(msg, "72 dpi is a placeholder") {
		t.Errorf("no size: exit %d\n%s", code, msg)
	}
	for _, args := range [][]string{{"--width", "20cm"}, {"--dpi", "100"}, {"--photo", "200x150mm"}} {
		code, _, msg := kerfleaf(append([]string{"trace", "photo.png", "--format", "svg", "--force"}, args...)...)
		if code != exitDone || strings.Contains(msg, "72 dpi") {
			t.Errorf("%v: exit %d\n%s", args, code, msg)
		}
	}
}
