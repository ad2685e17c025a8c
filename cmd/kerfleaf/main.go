// Command kerfleaf turns a black-on-white drawing or a few words into paper
// parts that cut cleanly, hold together and fold up to fit: the pierced front
// of a shadow box and the base that slides into it.
//
// It is a thin layer: flags in, the order of the stages, files out. Everything
// it knows about geometry lives in the library packages beside it.
package main

import (
	"os"
	"runtime/debug"
)

func main() {
	if os.Getenv("GOGC") == "" && len(os.Args) > 1 && os.Args[1] != "tune" {
		// What takes memory is pixels and coordinates, which the collector need not
		// look through: it may come more often. Only an answer to a turned knob would
		// take longer for it.
		debug.SetGCPercent(50)
	}
	os.Exit(run(os.Args, os.Stdout, os.Stderr))
}
