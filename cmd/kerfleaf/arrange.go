package main

import (
	"strings"

	"github.com/urfave/cli/v2"
)

// arrange moves a command's flags in front of its arguments, so that
// `trace heron.png --width 90mm` and `trace --width 90mm heron.png` mean the
// same; the flag parser stops at the first argument and would ignore the rest.
// Everything after a bare "--" is an argument.
func arrange(app *cli.App, args []string) []string {
	if len(args) < 2 {
		return args
	}
	cmd := app.Command(args[1])
	if cmd == nil {
		return args
	}
	takesValue := map[string]bool{}
	for _, f := range cmd.Flags {
		_, isBool := f.(*cli.BoolFlag)
		for _, n := range f.Names() {
			takesValue[n] = !isBool
		}
	}
	flags, rest := []string{args[0], args[1]}, []string{}
	for i := 2; i < len(args); i++ {
		a := args[i]
		if a == "--" {
			rest = append(rest, args[i+1:]...)
			break
		}
		if len(a) < 2 || a[0] != '-' {
			rest = append(rest, a)
			continue
		}
		flags = append(flags, a)
		name := strings.TrimLeft(a, "-")
		if strings.Contains(name, "=") || !takesValue[name] {
			continue
		}
		if i++; i == len(args) {
			return flags // the parser says which value is missing
		}
		flags = append(flags, args[i])
	}
	if len(rest) == 0 {
		return flags
	}
	return append(append(flags, "--"), rest...)
}
