package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"example.org/kerfleaf/internal/length"
	"example.org/kerfleaf/paper"
	"github.com/urfave/cli/v2"
)

// What a box is made of unless one says otherwise.
const (
	defaultPaper     = "card"
	defaultBasePaper = "watercolour"
	defaultSheet     = "12x12in"
)

// ownPapers is where a user's own stocks are looked for.
func ownPapers() (string, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", err
	}
	return filepath.Join(dir, "kerfleaf", "papers.toml"), nil
}

// stocks is the built-in table with the user's own file merged over it. A file
// that was named must exist; the usual one need not.
func (s *settings) stocks() (paper.Stocks, error) {
	table, err := paper.BuiltIn()
	if err != nil {
		return nil, err
	}
	file := s.papersFile
	if file == "" {
		if file, err = ownPapers(); err != nil {
			return table, nil // no home folder, no file of one's own
		}
	}
	text, err := os.ReadFile(file)
	switch {
	case errors.Is(err, fs.ErrNotExist) && s.papersFile == "":
		return table, nil
	case err != nil:
		return nil, fmt.Errorf("cannot read the papers in %s: %w", file, plain(err))
	}
	return table.Merge(file, text)
}

// stock finds a paper and lets the flags override what it needs.
func (s *settings) stock(name string) (paper.Stock, error) {
	table, err := s.stocks()
	if err != nil {
		return paper.Stock{}, err
	}
	st, err := table.Find(name)
	if err != nil {
		return paper.Stock{}, usageError{fmt.Errorf("%w; `kerfleaf papers` lists them and says how to add one", err)}
	}
	return st, nil
}

func papersCommand() *cli.Command {
	s := newSettings()
	var pattern bool
	return &cli.Command{
		Name:      "papers",
		Usage:     "list the stocks, and show how to add one's own",
		UsageText: "kerfleaf papers [--pattern]\n\nExamples:\n  kerfleaf papers\n  kerfleaf papers --pattern > papers.toml",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "papers-file", Usage: "your own stocks, a TOML `FILE`", Destination: &s.papersFile},
			switchFlag("pattern", "print the built-in table as a pattern for a file of your own", "", &pattern),
			switchFlag("json", "print the table for programs", "", &s.json),
		},
		Action: func(c *cli.Context) error {
			if c.Args().Present() {
				return usagef("papers takes no argument, got %q", c.Args().First())
			}
			if pattern {
				_, err := fmt.Fprint(c.App.Writer, paper.BuiltInTOML())
				return err
			}
			return s.listPapers(c)
		},
	}
}

func (s *settings) listPapers(c *cli.Context) error {
	table, err := s.stocks()
	if err != nil {
		return err
	}
	if s.json {
		return printPapersJSON(c.App.Writer, table)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%-12s  %5s  %9s  %4s  %7s  %7s  %6s  %9s  %6s  %s\n", "paper", "g/m²", "thickness", "kerf", "min web", "caution", "bridge", "tolerance", "smooth", "")
	for _, p := range table {
		gsm := "-"
		if p.GSM > 0 {
			gsm = fmt.Sprintf("%.0f", p.GSM)
		}
		fmt.Fprintf(&b, "%-12s  %5s  %9.2f  %4.2f  %7.2f  %7.2f  %6.2f  %9.2f  %6.2f  %s\n", p.Name, gsm, p.Thickness, p.Kerf, p.MinWeb, p.Caution, p.Bridge, p.Tolerance, p.Smooth, p.Note)
	}
	own, err := ownPapers()
	if err != nil {
		own = "a file named with --papers-file"
	}
	fmt.Fprintf(&b, `
Lengths are millimetres. The widths are common practice for blades, not a promise: cut a trial first.

To add a paper, or to change one, write it to
  %s
such as
  [club-card]
  note = "the pack in the boathouse drawer"
  thickness = 0.30     # measure ten sheets together and divide
  gsm = "80 lb cover"
`+"`kerfleaf papers --pattern` prints the whole built-in table in that form. A thickness is enough: the rest follows from it.\n", own)
	_, err = fmt.Fprint(c.App.Writer, b.String())
	return err
}

// printPapersJSON writes the table for programs: lengths in mm.
func printPapersJSON(w io.Writer, table paper.Stocks) error {
	type row struct {
		Name      string  `json:"name"`
		Note      string  `json:"note"`
		GSM       float64 `json:"gsm"`
		Thickness float64 `json:"thickness_mm"`
		Kerf      float64 `json:"kerf_mm"`
		MinWeb    float64 `json:"min_web_mm"`
		Caution   float64 `json:"caution_mm"`
		Bridge    float64 `json:"bridge_mm"`
		Tolerance float64 `json:"tolerance_mm"`
		Smooth    float64 `json:"smooth_mm"`
	}
	rows := make([]row, len(table))
	for i, p := range table {
		rows[i] = row{p.Name, p.Note, p.GSM, p.Thickness, p.Kerf, p.MinWeb, p.Caution, p.Bridge, p.Tolerance, p.Smooth}
	}
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	return e.Encode(map[string]any{"command": "papers", "papers": rows})
}

// paperLine names a stock with what the summary needs of it.
func paperLine(p paper.Stock) string {
	return fmt.Sprintf("%s, %s thick", p.Name, length.MM(p.Thickness))
}
