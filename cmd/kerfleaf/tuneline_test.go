package main

import (
	"os/exec"
	"slices"
	"strings"
	"testing"
)

func TestCommandLine(t *testing.T) {
	fixed := flagValues{"out": {"lantern supper"}, "width": {"4 in"}, "force": {"true"}, "tab": {"mitred"}}
	w := wish{"box", flagValues{"kerf": {"0.15mm"}, "invert": {"true"}, "thicken": {"false"}, "pin": {"1,2-3,4", "5,6-7,8"}, "paper": {"copy"}, "margin": {"9mm"}}}
	args, err := commandLine("heron.png", w, fixed)
	if err != nil {
		t.Fatal(err)
	}
	want := "kerfleaf box heron.png --width '4 in' --invert --paper copy --kerf 0.15mm --pin 1,2-3,4 --pin 5,6-7,8 --margin 9mm --tab mitred --out 'lantern supper' --force"
	if got := shellLine("linux", args); got != want {
		t.Errorf("\n%s, want\n%s", got, want)
	}
	s, err := parse(args)
	if err != nil || s.out != "lantern supper" || s.width.mm != 4*25.4 || !s.invert || s.kerf.mm != 0.15 || s.box.margin.mm != 9 || len(s.ties.pins.Value()) != 2 {
		t.Errorf("read back as %+v, %v", s, err)
	}
	// A cut-out alone has no margin and no tabs.
	w.Command = "trace"
	if args, err = commandLine("-odd.png", w, fixed); err != nil {
		t.Fatal(err)
	}
	want = "kerfleaf trace ./-odd.png --width '4 in' --invert --paper copy --kerf 0.15mm --pin 1,2-3,4 --pin 5,6-7,8 --out 'lantern supper' --force"
	if got := shellLine("linux", args); got != want {
		t.Errorf("\n%s, want\n%s", got, want)
	}
}

// A value is a value, whatever it looks like.
func TestCommandLineHoldsValues(t *testing.T) {
	for _, v := range []string{"--out", "--", "-1", "", "a=b", "--force"} {
		args, err := commandLine("heron.png", wish{"box", flagValues{"paper": {v}}}, nil)
		if err != nil {
			t.Fatal(err)
		}
		s, err := parse(args)
		if err != nil || s.paper != v || s.out != "kerfleaf-out" || s.force {
			t.Errorf("--paper %q was read as paper %q, out %q, force %v, %v", v, s.paper, s.out, s.force, err)
		}
	}
}

func TestWishRefused(t *testing.T) {
	for _, w := range []wish{
		{"demo", nil}, {"", nil}, {"batch", nil},
		{"box", flagValues{"out": {"/tmp"}}}, {"box", flagValues{"papers-file": {"x"}}}, {"box", flagValues{"force": {"true"}}}, {"box", flagValues{"font": {"x"}}},
		{"box", flagValues{"kerf": {strings.Repeat("1", longestValue+1)}}}, {"box", flagValues{"pin": slices.Repeat([]string{"1,1-2,2"}, mostValues+1)}},
	} {
		if _, err := commandLine("heron.png", w, nil); err == nil {
			t.Errorf("%.80v was taken", w)
		}
	}
}

// awkward are arguments that a shell would change if it could.
var awkward = []string{
	"heron.png", "two words", "", "it's", `say "ebb"`, `back\slash`, `end\`, "$HOME", "`id`", "a&b", "a;b", "*.png", "~", "#1", "(b)", "tab\there", "line\nbreak", "Öre €", "!x", "%PATH%", "{a,b}", "a=b", "<in>", "-",
}

// shell returns how the POSIX shell reads a line, or skips the test where there is
// none.
func shell(t *testing.T) func(line string) []string {
	t.Helper()
	sh, err := exec.LookPath("sh")
	if err != nil {
		t.Skip("no POSIX shell on the path: the command line was not tried")
	}
	return func(line string) []string {
		out, err := exec.Command(sh, "-c", `printf '%s\0' `+line).Output()
		if err != nil {
			t.Fatalf("%s: %v", line, err)
		}
		return strings.Split(strings.TrimSuffix(string(out), "\x00"), "\x00")
	}
}

// The POSIX shell is the judge, where there is one.
func TestShellLine(t *testing.T) {
	if got := shell(t)(shellLine("linux", awkward)); !slices.Equal(got, awkward) {
		t.Errorf("the shell read %q, want %q", got, awkward)
	}
}

// The rules of the C runtime on Windows, "Parsing C++ command-line arguments"
// (from memory): 2n backslashes and a quote are n backslashes and the end, 2n+1
// are n and a quote.
func TestShellLineWindows(t *testing.T) {
	for arg, want := range map[string]string{
		`C:\boats\heron.png`: `C:\boats\heron.png`, `two words`: `"two words"`, `3 1/2"`: `"3 1/2\""`, `end \`: `"end \\"`, `a \"b`: `"a \\\"b"`, ``: `""`,
	} {
		if got := quoted("windows", arg); got != want {
			t.Errorf("%s is written %s, want %s", arg, got, want)
		}
	}
}
