package main

import (
	"errors"
	"fmt"
	"io"
	"regexp"
	"runtime/debug"

	"github.com/urfave/cli/v2"
)

// Exit codes, the same for every command.
const (
	exitDone   = 0
	exitFailed = 1
	exitUsage  = 2 // flags or arguments that make no sense
	exitLoose  = 3 // the paper would not hold together
)

// usageError marks an error as the user's wording, not the data's.
type usageError struct{ error }

func (e usageError) Unwrap() error { return e.error }

func usagef(format string, a ...any) error { return usageError{fmt.Errorf(format, a...)} }

// errLoose is what a command returns when everything was done but the paper
// would not hold together; what is loose has been said already.
var errLoose = errors.New("the paper would not hold together")

// run is the whole program without the process around it: tests call it.
func run(args []string, stdout, stderr io.Writer) int {
	return runApp(newApp(stdout, stderr), args, stderr)
}

// runRow is run for many at a time: the flags for help and version, which the
// parser shares between all programs, are left out.
func runRow(args []string, stdout, stderr io.Writer) int {
	app := newApp(stdout, stderr)
	app.HideHelp, app.HideVersion = true, true
	for _, c := range app.Commands {
		c.HideHelp = true
	}
	return runApp(app, args, stderr)
}

func runApp(app *cli.App, args []string, stderr io.Writer) int {
	err := app.Run(arrange(app, args))
	var usage usageError
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errLoose), errors.Is(err, errWrong):
		fmt.Fprintln(stderr, "kerfleaf:", err)
		return exitLoose
	case errors.As(err, &usage):
		fmt.Fprintf(stderr, "kerfleaf: %v\nkerfleaf: see `kerfleaf help`, or `kerfleaf COMMAND --help`\n", err)
		return exitUsage
	default:
		fmt.Fprintln(stderr, "kerfleaf:", err)
		return exitFailed
	}
}

func newApp(stdout, stderr io.Writer) *cli.App {
	app := &cli.App{
		Name:      "kerfleaf",
		Usage:     "from a drawing to paper parts that cut cleanly, hold together and fit",
		UsageText: "kerfleaf COMMAND [flags] [DRAWING]\n\nDark is cut away, light stays. Lengths take a unit (90mm, 9cm, 3.5in, \"3 1/2 in\"); a bare number is millimetres.\nExit status: 0 done, 1 failed, 2 wrong use, 3 the paper would not hold together.\n\nBlades, lasers and glue hurt. Follow your machine's own instructions and your local rules.",
		Version:   version(),
		Commands: []*cli.Command{
			demoCommand(), boxCommand(), traceCommand(), checkCommand(), wordsCommand(), batchCommand(), testcardCommand(), tuneCommand(), papersCommand(),
		},
		Writer:                    stdout,
		ErrWriter:                 stderr,
		DisableSliceFlagSeparator: true,
		ExitErrHandler:            func(*cli.Context, error) {},
		OnUsageError:              func(_ *cli.Context, err error, _ bool) error { return usagef("%s", reword(err.Error())) },
		Action: func(c *cli.Context) error {
			if c.Args().Present() {
				return usagef("there is no command %q", c.Args().First())
			}
			return cli.ShowAppHelp(c)
		},
	}
	for _, c := range app.Commands {
		c.OnUsageError = app.OnUsageError
		c.HideHelpCommand = true
	}
	return app
}

// flagErrors are the flag parser's messages and how we say them.
var flagErrors = []struct {
	pattern *regexp.Regexp
	ours    string
}{
	{regexp.MustCompile(`^flag provided but not defined: -+(.*)$`), "there is no flag --$1"},
	{regexp.MustCompile(`^flag needs an argument: -+(.*)$`), "--$1 needs a value"},
	{regexp.MustCompile(`^invalid (?:boolean )?value "(.*?)" for (?:flag )?-+([^:]*): (.*)$`), "--$2 $1: $3"},
}

// reword puts the flag parser's messages into our words.
func reword(msg string) string {
	for _, e := range flagErrors {
		if e.pattern.MatchString(msg) {
			return e.pattern.ReplaceAllString(msg, e.ours)
		}
	}
	return msg
}

// version is the module's version as the build recorded it.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		return info.Main.Version
	}
	return "(devel)"
}
