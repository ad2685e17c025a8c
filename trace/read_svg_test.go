package trace

import (
	"errors"
	"fmt"
	"image"
	"math"
	"strings"
	"testing"
)

func readSVGText(t testing.TB, svg string) *Picture {
	t.Helper()
	p, err := Read(strings.NewReader(svg), nil)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Areas in mm² of shapes whose areas are known in closed form, on a page of
// 40 x 30 mm whose unit is 1 mm.
func TestReadSVGAreas(t *testing.T) {
	for shape, want := range map[string]float64{
		`<rect x="5" y="5" width="20" height="10"/>`:                                                         200,
		`<rect x="5" y="5" width="20" height="10" rx="3"/>`:                                                  200 - (4-math.Pi)*9,
		`<circle cx="15" cy="15" r="10"/>`:                                                                   100 * math.Pi,
		`<ellipse cx="15" cy="15" rx="10" ry="5"/>`:                                                          50 * math.Pi,
		`<polygon points="0,0 20 0 0,10"/>`:                                                                  100,
		`<polyline points="0 0 20 0 0 10"/>`:                                                                 100,
		`<path d="M5 5h20v10h-20z"/>`:                                                                        200,
		`<path d="M5,5 l20-0 0,10-20,0z"/>`:                                                                  200,
		`<path d="M5 5 25 5 25 15 5 15"/>`:                                                                   200, // closed where it ends
		`<path d="M5 15A10 10 0 0 1 25 15z"/>`:                                                               50 * math.Pi,
		`<path d="M5 15a10 10 0 1120 0 10 10 0 11-20 0"/>`:                                                   100 * math.Pi, // flags run together
		`<path d="M5 15A1 1 0 0 1 25 15z"/>`:                                                                 50 * math.Pi,  // radii too small grow
		`<path d="M0 0Q10 20 20 0z"/>`:                                                                       20 * 10 * 2.0 / 3,
		`<path d="M0 10Q5 20 10 10T20 10"/>`:                                                                 2 * 10 * 5 * 2.0 / 3,
		`<path d="M0 10C0 20 20 20 20 10z"/>`:                                                                20 * 10 * 0.6,
		`<path d="M0 10C0 20 10 20 10 10S20 0 20 10z"/>`:                                                     2 * 10 * 10 * 0.6,
		`<path d="M0 0H30V30H0z M10 10v10h10v-10z"/>`:                                                        800, // wound the other way: a hole
		`<path d="M0 0H30V30H0z M10 10h10v10h-10z"/>`:                                                        900,
		`<path fill-rule="evenodd" d="M0 0H30V30H0z M10 10h10v10h-10z"/>`:                                    800,
		`<path style="fill-rule: evenodd" d="M0 0H20V20H0V0H10V10H0z"/>`:                                     300, // crosses itself
		`<rect width="10" height="10" transform="translate(5 5) scale(2,.5)"/>`:                              100,
		`<g transform="matrix(1 0 0 1 5 5)"><rect width="10" height="10" transform="rotate(45 5 5)"/></g>`:   100,
		`<rect width="10" height="10" transform="skewX(30)"/>`:                                               100,
		`<rect width="10" height="10"/><rect x="5" width="10" height="10" fill="white"/>`:                    50,
		`<g fill="#fff"><rect width="10" height="10"/><rect x="20" width="10" height="10" fill="#000"/></g>`: 100,
		`<rect width="10" height="10" fill="rgb(0,0,0)" fill-opacity=".6"/>`:                                 60,
		`<g display="none"><rect width="10" height="10"/></g><rect width="5" height="5"/>`:                   25,
		`<defs><rect width="10" height="10"/></defs><rect width="5" height="5"/>`:                            25,
		`<path d="M0 0h10v10h-10z M oops"/>`:                                                                 100, // as far as it is right
		`<defs><style>.a,.b{fill:none}.b { fill: #000 }</style></defs><rect class="a" width="9" height="9"/><rect class="b" width="5" height="5"/>`: 25,
		`<rect x="-10" y="-10" width="20" height="20"/>`: 100, // off the page
	} {
		p := readSVGText(t, `<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="30mm" viewBox="0 0 40 30">`+shape+`</svg>`)
		if got := inkArea(p); math.Abs(got-want) > 0.02+want*1e-3 {
			t.Errorf("%s: %.3f mm², want %.3f", shape, got, want)
		}
	}
}

// Lengths and the way from the viewBox to the page (CSS Values and Units 3, 5.2;
// SVG 1.1, 7.7 and 7.8).
func TestReadSVGSize(t *testing.T) {
	for head, want := range map[string][2]float64{
		`width="2in" height="72pt"`:                                           {50.8, 25.4},
		`width="96" height="192px"`:                                           {25.4, 50.8},
		`width="6pc" height="4cm"`:                                            {25.4, 40},
		`width="40Q" height="20mm" viewBox="0 0 1 2"`:                         {10, 20},
		`width="30mm" viewBox="0 0 60 20"`:                                    {30, 10},
		`height="10mm" viewBox="0 0 60 20"`:                                   {30, 10},
		`width="100%" height="100%" viewBox="0 0 96 96"`:                      {0, 0},
		`viewBox="0 0 96 192"`:                                                {0, 0},
		`width="1000mm" height="1000mm" viewBox="0 0 1000 1000" fill="black"`: {1000, 1000}, // coarser than 600 dpi
	} {
		p := readSVGText(t, `<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg" `+head+`><rect width="1" height="1"/></svg>`)
		w, h := float64(p.Gray.Rect.Dx())*p.MMPerPixel, float64(p.Gray.Rect.Dy())*p.MMPerPixel
		if math.Abs(w-want[0]) > 0.11 || math.Abs(h-want[1]) > 0.11 {
			t.Errorf("%s: %.2f x %.2f mm, want %v", head, w, h, want)
		}
		if (p.MMPerPixel == 0) != (len(p.Doubts) > 0) {
			t.Errorf("%s: doubts %q", head, p.Doubts)
		}
	}
	// A square in a wide page is centred.
	p := readSVGText(t, `<svg width="40mm" height="20mm" viewBox="0 0 10 10"><rect width="10" height="10"/></svg>`)
	w := p.Gray.Rect.Dx()
	for x, want := range map[int]uint8{w / 4 * 9 / 10: 255, w/4 + w/40: 0, w / 2: 0, w * 3 / 4 * 11 / 10: 255} {
		if got := p.Gray.GrayAt(x, 100).Y; got != want {
			t.Errorf("at %d of %d: %d, want %d", x, w, got, want)
		}
	}
}

// What is not drawn is named.
func TestReadSVGNotes(t *testing.T) {
	for svg, want := range map[string]string{
		`<path fill="none" stroke="black" d="M0 0h9v9"/>`: "1 shapes without a fill",
		`<text>moth</text>`: "1 elements <text>",
		`<g stroke="black"><circle r="4"/><circle r="5" stroke="none"/></g>`:          "1 strokes of filled shapes",
		`<g clip-path="url(#reed)"><circle r="4"/></g><circle r="5" mask="url(#a)"/>`: "2 clip paths or masks",
		`<defs><clipPath id="reed"><rect width="4" height="4"/></clipPath></defs>`:    "",
		`<circle r="4" stroke-width="3" clip-path="none"/>`:                           "",
	} {
		p := readSVGText(t, `<svg width="40mm" height="20mm"><rect width="10" height="10"/>`+svg+`</svg>`)
		if got := strings.Join(p.Notes, "\n"); (got != "") != (want != "") || !strings.HasPrefix(got, want) || len(p.Notes) > 1 {
			t.Errorf("%s: notes %q, want %q", svg, p.Notes, want)
		}
	}
}

func TestReadSVGBad(t *testing.T) {
	for svg, want := range map[string]error{
		`<svg`:                                        ErrTruncated,
		`<svg width="9mm" height="9mm">`:              ErrTruncated,
		`<?xml version="1.0"?>`:                       ErrTruncated,
		`<?xml version="1.0"?><html/>`:                ErrNotPicture,
		`<svg width="9mm" height="9mm"><a></b></svg>`: ErrDamaged,
		`<svg/>`:                             ErrUnsupported,
		`<svg width="9e9mm" height="9mm"/>`:  ErrUnsupported,
		`<svg width="0.01mm" height="9mm"/>`: ErrTooSmall,
		`<svg width="9mm" height="9mm"><style>rect{fill:none}</style></svg>`: ErrUnsupported,
	} {
		if p, err := Read(strings.NewReader(svg), nil); !errors.Is(err, want) || p != nil {
			t.Errorf("%s: %v, want %v", svg, err, want)
		}
	}
}

// An outline drawn as SVG is traced back to where it was.
func TestReadSVGTraced(t *testing.T) {
	p := readSVGText(t, `<svg width="40mm" height="30mm" viewBox="0 0 40 30"><circle cx="15.3" cy="15.2" r="10"/></svg>`)
	cut, err := Image(p.Gray, p.MMPerPixel, nil)
	if err != nil {
		t.Fatal(err)
	}
	xy := cut.FlatCoords()
	for i := 0; i < len(xy); i += 2 {
		if r := math.Hypot(xy[i]-15.3, xy[i+1]-15.2); math.Abs(r-10) > 0.02 {
			t.Fatalf("(%.3f, %.3f) is %.3f mm from the middle, want 10", xy[i], xy[i+1], r)
		}
	}
}

func FuzzReadSVG(f *testing.F) {
	f.Add(`<svg width="9mm" height="9mm"><path d="M0 0C1 2 3 4 5 6a1 2 3 014 5z" transform="rotate(3)"/></svg>`)
	f.Add(`<svg viewBox="0 0 9 9"><g style="fill:#abc;fill-rule:evenodd"><rect width="1e30" height="9" rx="2"/></g></svg>`)
	f.Fuzz(func(t *testing.T, svg string) {
		p, err := Read(strings.NewReader(svg), &ReadOptions{MaxPixels: 1 << 14})
		if err == nil && (p.Gray.Rect.Dx() < 2 || len(p.Gray.Pix) > 1<<14) {
			t.Fatalf("%v", p.Gray.Rect)
		}
	})
}

func ExampleRead_svg() {
	p, err := Read(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="50.8mm" height="25.4mm"><circle cx="96" cy="48" r="40"/></svg>`), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(p.Gray.Rect.Max == image.Pt(1200, 600), p.MMPerPixel == 25.4/600)
	// Output: true true
}
