package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"

	"github.com/urfave/cli/v2"
)

// batch makes one result for every row of a list, by the very commands that a
// user would type.
type batch struct {
	s      *settings
	make   string   // the command
	base   []string // flags that all rows share
	flags  []string // names of the flags that a column may be
	resume bool
	shared bool // the parts of all rows on shared sheets, too
	out    string
}

func batchCommand() *cli.Command {
	s := newSettings()
	b := &batch{s: s}
	shared := joinFlags(s.sizeFlags(), s.cleanFlags(), s.lineFlags(), s.wordFlags(), s.paperFlags(true), s.boxFlags(), s.placeFlags(), s.toolFlags())
	return &cli.Command{
		Name:  "batch",
		Usage: "one box or cut-out for every row of a CSV",
		UsageText: "kerfleaf batch [flags] LIST.csv\n\nExample: a box with the name of every guest, after a first row such as words,paper\n" +
			"  kerfleaf batch crew.csv --letter-height 15mm\n\n" +
			"The first row names the columns: words, drawing, name (of the folder), and any flag of the command that\n" +
			"makes a row, without its dashes. A flag on the command line holds for all rows, a column overrides it.\n" +
			"A row that fails is reported with its line, and the others are still made.",
		Flags: joinFlags([]cli.Flag{
			&cli.StringFlag{Name: "make", Usage: "`COMMAND` for every row: box, words or trace", Category: groupOutput, Value: "box", DefaultText: "box", Destination: &b.make},
			switchFlag("together", "also lay the parts of all rows on shared sheets, in the folder sheets", groupOutput, &b.shared),
			switchFlag("resume", "pass over rows whose folder is there already", groupOutput, &b.resume),
		}, shared, s.outputFlags()),
		Action: func(c *cli.Context) error {
			if c.NArg() != 1 {
				return usagef("batch needs one list: kerfleaf batch LIST.csv")
			}
			return b.run(c)
		},
	}
}

// run makes all rows on all cores. Only names and failures are remembered, so
// that memory does not grow with the list.
func (b *batch) run(c *cli.Context) error {
	if err := b.prepare(c); err != nil {
		return err
	}
	count, err := b.count(c.Args().First())
	if err != nil {
		return err
	}
	list, err := openList(c.Args().First(), b.columns())
	if err != nil {
		return err
	}
	defer list.close()
	if err := os.MkdirAll(b.out, 0o777); err != nil {
		return fmt.Errorf("cannot write to the folder %s: %w; choose another with --out", b.out, plain(err))
	}
	b.sweep()

	rows, results := make(chan row), make(chan result)
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			for r := range rows {
				results <- b.one(r)
			}
		})
	}
	go func() {
		defer close(results)
		for r, ok := list.next(); ok; r, ok = list.next() {
			rows <- r
		}
		close(rows)
		workers.Wait()
	}()
	bar := b.s.newProgress(c.App.ErrWriter)
	bar.step("making")
	made, skipped, loose, done := 0, 0, 0, 0
	var failed []result
	for r := range results {
		switch {
		case r.err != nil:
			failed = append(failed, r)
		case r.skipped:
			skipped++
		default:
			made++
			if r.loose {
				loose++
			}
		}
		done++
		bar.show(float64(done) / float64(count))
	}
	bar.end()
	slices.SortFunc(failed, func(a, b result) int { return a.line - b.line })
	for _, f := range failed {
		fmt.Fprintf(c.App.ErrWriter, "kerfleaf: %s line %d: %v\n", c.Args().First(), f.line, f.err)
	}
	sum := &summary{command: "batch"}
	sum.add("made", fmt.Sprintf("%d of %d, a folder each in %s", made, count, b.out), "made", made)
	sum.add("", "", "skipped", skipped)
	sum.add("", "", "failed", len(failed))
	if skipped > 0 {
		sum.add("there already", fmt.Sprint(skipped), "skipped", skipped)
	}
	if loose > 0 {
		sum.warnf("%d of them would not hold together; their folders' pictures show where", loose)
	}
	sum.loose = loose > 0
	if b.shared {
		if err := b.together(c.Args().First(), sum); err != nil {
			return err
		}
	}
	err = b.s.say(c.App.Writer, c.App.ErrWriter, sum)
	if len(failed) > 0 {
		return fmt.Errorf("%d of %d rows failed", len(failed), count)
	}
	return err
}

// prepare settles which command makes a row and with which flags.
func (b *batch) prepare(c *cli.Context) error {
	if !slices.Contains([]string{"box", "words", "trace"}, b.make) {
		return usagef("--make %q: write box, words or trace", b.make)
	}
	b.out = b.s.out
	inner := newApp(nil, nil).Command(b.make)
	for _, f := range inner.Flags {
		name := f.Names()[0]
		if !slices.Contains([]string{"out", "force", "json", "quiet", "words"}, name) {
			b.flags = append(b.flags, name)
		}
	}
	for _, name := range c.LocalFlagNames() {
		switch {
		case name == "scrap", name == "paper-photo":
			return usagef("--%s: each row wants a sheet of its own; name it in a column %s", name, name)
		case slices.Contains([]string{"make", "resume", "together", "out", "force", "json", "quiet"}, name):
		case slices.Contains(b.flags, name):
			b.base = append(b.base, fmt.Sprintf("--%s=%v", name, c.Value(name)))
		case b.shared && slices.Contains([]string{"sheet", "sheet-edge", "room"}, name): // of the shared sheets
		default:
			return usagef("%s has no flag --%s", b.make, name)
		}
	}
	return nil
}

// columns lists what the first row of the list may hold.
func (b *batch) columns() []string { return append([]string{"words", "drawing", "name"}, b.flags...) }

// count reads the whole list once, so that a mistake in it is known before
// anything is made.
func (b *batch) count(path string) (int, error) {
	list, err := openList(path, b.columns())
	if err != nil {
		return 0, err
	}
	defer list.close()
	n := 0
	for _, ok := list.next(); ok; _, ok = list.next() {
		n++
	}
	if n == 0 && list.err == nil {
		return 0, fmt.Errorf("%s has no rows below its first", path)
	}
	return n, list.err
}

// partial begins the name of a row's folder that is not whole yet.
const partial = ".kerfleaf-row-"

// sweep removes what an interrupted run left unfinished.
func (b *batch) sweep() {
	old, _ := filepath.Glob(filepath.Join(b.out, partial+"*"))
	for _, dir := range old {
		_ = os.RemoveAll(dir)
	}
}

// result is what became of a row.
type result struct {
	line           int
	skipped, loose bool
	err            error
}

// one makes a row in a folder of its own, which gets its name when it is whole.
func (b *batch) one(r row) result {
	res := result{line: r.line}
	final := filepath.Join(b.out, r.name)
	if _, err := os.Lstat(final); err == nil && !b.s.force {
		if res.skipped = b.resume; !b.resume {
			res.err = fmt.Errorf("%s exists already; use --resume to pass over it or --force to replace it", final)
		}
		return res
	}
	temp, err := os.MkdirTemp(b.out, partial+"*")
	if err != nil {
		res.err = plain(err)
		return res
	}
	defer os.RemoveAll(temp)
	args, err := b.arguments(r, temp)
	if err != nil {
		res.err = err
		return res
	}
	var out, msg bytes.Buffer
	switch code := runRow(args, &out, &msg); code {
	case exitDone:
	case exitLoose:
		res.loose = true
	default:
		first, _, _ := strings.Cut(msg.String(), "\n")
		res.err = errors.New(strings.TrimPrefix(first, "kerfleaf: "))
		return res
	}
	if b.s.force {
		res.err = os.RemoveAll(final)
	}
	if err := os.Chmod(temp, 0o755); err != nil && res.err == nil {
		res.err = plain(err)
	}
	if err := os.Rename(temp, final); err != nil && res.err == nil {
		res.err = plain(err)
	}
	return res
}

// arguments is the command line that makes a row.
func (b *batch) arguments(r row, out string) ([]string, error) {
	args := append([]string{"kerfleaf", b.make, "--out=" + out, "--quiet"}, b.base...)
	for _, name := range b.flags {
		if v := r.values[name]; v != "" {
			args = append(args, "--"+name+"="+v)
		}
	}
	text, drawing := r.values["words"], r.values["drawing"]
	switch {
	case b.shared && r.values["scrap"]+r.values["paper-photo"] != "":
		return nil, errors.New("its part has a sheet of its own already; leave out --together")
	case b.make == "words" && text == "", b.make == "box" && text == "" && drawing == "":
		return nil, errors.New("the row has no words")
	case b.make == "trace" && drawing == "":
		return nil, errors.New("the row has no drawing")
	case b.make == "words":
		return append(args, "--", text), nil
	case b.make == "box" && text != "":
		args = append(args, "--words="+text)
	}
	if drawing != "" {
		args = append(args, "--", drawing)
	}
	return args, nil
}
