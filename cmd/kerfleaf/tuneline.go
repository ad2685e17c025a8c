package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"
)

// flagValues are flags with their values as one types them; a switch has "true".
type flagValues map[string][]string

// wish is what the page asks for.
type wish struct {
	Command string     `json:"command"` // box or trace
	Flags   flagValues `json:"flags"`   // knobs only
}

// knobs are the flags that the page may set. None of them names a file or folder.
var knobs = []string{
	"paper", "threshold", "invert", "tolerance", "smooth", "min-area", "grow", "kerf", "bridge", "min-web", "pin", "no-bridge-at", "bridge-ends", "thicken",
	"margin", "depth", "base-paper",
}

// The most that a wish may hold: more than anybody has bridges.
const (
	mostValues   = 500
	longestValue = 100
)

func (w wish) check() error {
	if w.Command != "box" && w.Command != "trace" {
		return usagef("the page asked for %q", w.Command)
	}
	for name, values := range w.Flags {
		if !slices.Contains(knobs, name) {
			return usagef("--%s is not for the page to set", name)
		}
		if len(values) > mostValues {
			return usagef("--%s is there %d times; %d will do", name, len(values), mostValues)
		}
		for _, v := range values {
			if len(v) > longestValue {
				return usagef("--%s has a value of %d letters", name, len(v))
			}
		}
	}
	return nil
}

// given returns the flags that a command line set.
func given(c *cli.Context) flagValues {
	set := flagValues{}
	for _, f := range c.Command.Flags {
		name := f.Names()[0]
		if !c.IsSet(name) {
			continue
		}
		switch f.(type) {
		case *cli.BoolFlag:
			if c.Bool(name) {
				set[name] = []string{"true"}
			}
		case *cli.StringSliceFlag:
			set[name] = c.StringSlice(name)
		default:
			set[name] = []string{fmt.Sprint(c.Value(name))}
		}
	}
	return set
}

// commandLine returns the arguments, from the program's name on, that do for a
// drawing what the page asks for. fixed are the flags that it cannot change.
func commandLine(drawing string, w wish, fixed flagValues) ([]string, error) {
	if err := w.check(); err != nil {
		return nil, err
	}
	if strings.HasPrefix(drawing, "-") {
		drawing = "./" + drawing // it is no flag
	}
	args := []string{"kerfleaf", w.Command, drawing}
	for _, f := range tuned(newSettings(), w.Command).Flags {
		name := f.Names()[0]
		values := fixed[name]
		if slices.Contains(knobs, name) {
			values = w.Flags[name]
		}
		if _, ok := f.(*cli.BoolFlag); ok {
			if slices.Equal(values, []string{"true"}) {
				args = append(args, "--"+name)
			}
			continue
		}
		for _, v := range values {
			args = append(args, "--"+name, v)
		}
	}
	return args, nil
}

// tuned is the command that a page tunes.
func tuned(s *settings, command string) *cli.Command {
	if command == "box" {
		return s.boxCommand()
	}
	return s.traceCommand()
}

// parse reads a command line as run would, without doing what it says.
func parse(args []string) (*settings, error) {
	s := newSettings()
	cmd := tuned(s, args[1])
	app := newApp(io.Discard, io.Discard)
	app.Commands = []*cli.Command{cmd}
	cmd.OnUsageError, cmd.HideHelpCommand = app.OnUsageError, true
	cmd.Action = func(*cli.Context) error { return nil }
	return s, app.Run(arrange(app, args))
}

// shellLine writes arguments as one types them: to the shell of POSIX, or to
// those of Windows.
func shellLine(goos string, args []string) string {
	words := make([]string, len(args))
	for i, a := range args {
		words[i] = quoted(goos, a)
	}
	return strings.Join(words, " ")
}

func quoted(goos, arg string) string {
	plain := arg != "" && strings.IndexFunc(arg, func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("_-./:,+@=", r) || r == '\\' && goos == "windows")
	}) < 0
	switch {
	case plain:
		return arg
	case goos != "windows": // POSIX.1-2017, XCU 2.2.2: nothing is special between single quotes but their end
		return "'" + strings.ReplaceAll(arg, "'", `'\''`) + "'"
	}
	// Windows programs take \" for a quote, and \\ for a backslash before one.
	var b strings.Builder
	slashes := 0
	b.WriteByte('"')
	for _, r := range arg {
		switch r {
		case '\\':
			slashes++
		case '"':
			b.WriteString(strings.Repeat(`\`, slashes+1))
			slashes = 0
		default:
			slashes = 0
		}
		b.WriteRune(r)
	}
	b.WriteString(strings.Repeat(`\`, slashes) + `"`)
	return b.String()
}
