package main

import (
	"bytes"
	"image"
	"image/color"
	"os"
	"path/filepath"
	"reflect"
	"testing"
	"time"

	"github.com/fogleman/gg"
)

// runs counts what each stage has made so far.
func (st *stages) runs() map[string]int {
	return map[string]int{
		"read": st.picture.count(), "trace": st.traced.count(), "grow": st.steps[stepGrow].count(), "tie": st.steps[stepTie].count(),
		"thicken": st.steps[stepThicken].count(), "check": st.steps[stepCheck].count(), "kerf": st.tool.count(), "box": st.trays.count(), "look": st.look.count(),
	}
}

// with returns a wish with more flags.
func (w wish) with(more flagValues) wish {
	f := flagValues{}
	for _, m := range []flagValues{w.Flags, more} {
		for k, v := range m {
			f[k] = v
		}
	}
	return wish{w.Command, f}
}

// lanterns is a page of greys with islands, thin webs and specks in it: rings of
// rising width, and dots.
func lanterns(w, h int) *image.Gray {
	dc := gg.NewContext(w, h)
	dc.SetRGB(1, 1, 1)
	dc.Clear()
	dc.SetRGB(0, 0, 0)
	side := float64(w)
	for i := range 5 {
		x := side * (0.12 + 0.19*float64(i))
		dc.DrawCircle(x, side*0.2, side*0.075)
		dc.Stroke()
		dc.SetLineWidth(side * (0.012 + 0.006*float64(i)))
		dc.DrawCircle(x, side*0.2, side*0.06)
		dc.Stroke()
		dc.DrawRectangle(x-side*0.05, side*0.32, side*(0.06+0.008*float64(i)), side*0.2)
		dc.Fill()
		dc.DrawCircle(x, side*0.6, side*0.003*float64(i+1))
		dc.Fill()
	}
	g := image.NewGray(dc.Image().Bounds())
	for y := range h {
		for x := range w {
			g.Set(x, y, color.GrayModel.Convert(dc.Image().At(x, y)))
		}
	}
	return g
}

// A knob makes anew what comes after it, and nothing else.
func TestTuneStagesRunOnce(t *testing.T) {
	desk(t)
	savePNG(t, "lanterns.png", lanterns(500, 340))
	b := newBench(t, "lanterns.png", flagValues{"width": {"120mm"}})
	base := wish{"box", flagValues{"thicken": {"true"}, "grow": {"0.05mm"}}}
	look := func(w wish) {
		t.Helper()
		if p := b.pieces(t, w); p["done"] == nil {
			t.Fatalf("%v: %v", w, p["failed"])
		}
		if code, body := b.post(t, "look", request{Wish: w, Pixels: 200}); code != 200 {
			t.Fatalf("%v: %s", w, body)
		}
	}
	look(base)
	for _, c := range []struct {
		name string
		wish wish
		made string
	}{
		{"nothing", base, ""},
		{"kerf", base.with(flagValues{"kerf": {"0.2mm"}}), "kerf box"},
		{"the same to a hair", base.with(flagValues{"kerf": {"0.20mm"}}), ""},
		{"kerf and back", base, ""},
		{"base paper", base.with(flagValues{"base-paper": {"card"}}), "box look"},
		{"smallest web", base.with(flagValues{"min-web": {"1mm"}}), "thicken check kerf box look"},
		{"bridge width", base.with(flagValues{"bridge": {"3mm"}}), "tie thicken check kerf box look"},
		{"a place without a bridge", base.with(flagValues{"no-bridge-at": {"14,14"}}), "tie thicken check kerf box look"},
		{"margin", base.with(flagValues{"margin": {"12mm"}}), "tie thicken check kerf box look"},
		{"grow", base.with(flagValues{"grow": {"0.1mm"}}), "grow tie thicken check kerf box look"},
		{"tolerance", base.with(flagValues{"tolerance": {"0.1mm"}}), "trace grow tie thicken check kerf box look"},
		{"smallest area", base.with(flagValues{"min-area": {"2mm2"}}), "trace grow tie thicken check kerf box look"},
		{"threshold", base.with(flagValues{"threshold": {"0.3"}}), "trace grow tie thicken check kerf box look"},
	} {
		before := b.stages.runs()
		look(c.wish)
		made := ""
		for _, name := range []string{"read", "trace", "grow", "tie", "thicken", "check", "kerf", "box", "look"} {
			switch b.stages.runs()[name] - before[name] {
			case 0:
			case 1:
				made += " " + name
			default:
				t.Errorf("%s: %s ran twice", c.name, name)
			}
		}
		if made != "" {
			made = made[1:]
		}
		if made != c.made {
			t.Errorf("%s: ran %q, want %q", c.name, made, c.made)
		}
	}
	// A drawing that was changed is read again.
	savePNG(t, "lanterns.png", lanterns(480, 340))
	if err := os.Chtimes("lanterns.png", time.Time{}, time.Now().Add(time.Hour)); err != nil {
		t.Fatal(err)
	}
	before := b.stages.runs()
	look(base)
	if after := b.stages.runs(); after["read"] != before["read"]+1 || after["trace"] != before["trace"]+1 {
		t.Error("the changed drawing was not read")
	}
}

// Whatever was shown before, a wish gives what it gives at first: no stage's key
// lacks something that the stage reads.
func TestTuneWarmIsCold(t *testing.T) {
	desk(t)
	savePNG(t, "lanterns.png", lanterns(400, 280))
	flags := flagValues{"width": {"120mm"}}
	warm := newBench(t, "lanterns.png", flags)
	base := wish{"box", flagValues{}}
	warm.pieces(t, base)
	for _, more := range []flagValues{
		{"paper": {"copy"}}, {"paper": {"watercolour"}}, {"threshold": {"0.2"}}, {"invert": {"true"}}, {"tolerance": {"0.2mm"}}, {"smooth": {"1mm"}}, {"min-area": {"3mm2"}},
		{"grow": {"0.2mm"}}, {"kerf": {"0.3mm"}}, {"bridge": {"off"}}, {"bridge": {"1.2mm"}}, {"bridge": {"1.2mm"}, "bridge-ends": {"flared"}}, {"min-web": {"2mm"}},
		{"min-web": {"2mm"}, "thicken": {"true"}}, {"pin": {"14.4,14-14.4,20"}}, {"no-bridge-at": {"23,24"}}, {"margin": {"20mm"}}, {"depth": {"8mm"}}, {"base-paper": {"copy"}}, {},
	} {
		for _, command := range []string{"box", "trace"} {
			if testing.Short() && command == "trace" {
				continue
			}
			w := wish{command, more}
			cold := newBench(t, "lanterns.png", flags)
			if got, want := warm.pieces(t, w), cold.pieces(t, w); !reflect.DeepEqual(got, want) {
				for name := range want {
					if !reflect.DeepEqual(got[name], want[name]) {
						t.Errorf("%v: %s differs\n got %.300v\nwant %.300v", w, name, got[name], want[name])
					}
				}
			}
			if testing.Short() {
				continue // mock-ups take their time
			}
			_, one := warm.post(t, "look", request{Wish: w, Pixels: 200})
			_, two := cold.post(t, "look", request{Wish: w, Pixels: 200})
			if !bytes.Equal(one, two) {
				t.Errorf("%v: another mock-up", w)
			}
		}
	}
}

// A wish that cannot be had is answered with why, and the next one as ever.
func TestTuneSaysWhatIsWrong(t *testing.T) {
	slotsDesk(t)
	b := newBench(t, "slots.png", flagValues{"width": {"60mm"}})
	for _, c := range []struct {
		flags flagValues
		says  string
	}{
		{flagValues{"kerf": {"wide"}}, "kerf"}, {flagValues{"threshold": {"7"}}, "--threshold"}, {flagValues{"paper": {"papyrus"}}, "papyrus"},
		{flagValues{"min-area": {"5000mm2"}}, "--min-area"}, {flagValues{"grow": {"-30mm"}}, "--grow"}, {flagValues{"kerf": {"40mm"}}, "kerf"},
		{flagValues{"pin": {"here"}}, "--pin"}, {flagValues{"depth": {"900mm"}}, "--sheet"},
	} {
		p := b.pieces(t, wish{"box", c.flags})
		why, _ := p["failed"]["why"].(string)
		if !bytes.Contains([]byte(why), []byte(c.says)) || p["done"] != nil {
			t.Errorf("%v: %q, want a word about %s", c.flags, why, c.says)
		}
	}
	if p := b.pieces(t, wish{"box", nil}); p["done"] == nil || p["failed"] != nil {
		t.Errorf("afterwards: %v", p["failed"])
	}
	if _, err := os.Stat(filepath.Join("kerfleaf-out")); err == nil {
		t.Error("looking writes nothing")
	}
}
