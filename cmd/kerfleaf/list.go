package main

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
)

// list reads the rows of a CSV (RFC 4180) whose first row names the columns.
// Semicolons in place of commas, as some spreadsheets write them, and a byte
// order mark are understood.
type list struct {
	path  string
	file  *os.File
	csv   *csv.Reader
	heads []string
	taken map[string]int // names given so far
	err   error
}

// row is one line of the list.
type row struct {
	line   int
	name   string // safe and unique
	values map[string]string
}

func openList(path string, columns []string) (*list, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("cannot open %s: %w", path, plain(err))
	}
	l := &list{path: path, file: f, taken: map[string]int{sheetsFolder: 1}}
	in := bufio.NewReader(f)
	if mark, err := in.Peek(3); err == nil && string(mark) == "\ufeff" {
		_, _ = in.Discard(3)
	}
	l.csv = csv.NewReader(in)
	l.csv.TrimLeadingSpace = true
	l.csv.FieldsPerRecord = -1
	if head, _ := in.Peek(in.Size()); semicolons(string(head)) {
		l.csv.Comma = ';'
	}
	heads, err := l.csv.Read()
	if err != nil {
		f.Close()
		if errors.Is(err, io.EOF) {
			return nil, fmt.Errorf("%s is empty; its first row names the columns, such as words,paper", path)
		}
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	for i, h := range heads {
		heads[i] = strings.ToLower(strings.TrimPrefix(strings.TrimSpace(h), "--"))
		if !slices.Contains(columns, heads[i]) {
			f.Close()
			return nil, fmt.Errorf("%s: there is no column %q; its first row may have %s", path, h, strings.Join(columns, ", "))
		}
		if slices.Contains(heads[:i], heads[i]) {
			f.Close()
			return nil, fmt.Errorf("%s: the column %q stands there twice", path, heads[i])
		}
	}
	l.heads = slices.Clone(heads)
	return l, nil
}

// semicolons reports whether the first line parts its fields by semicolons.
func semicolons(head string) bool {
	line, _, _ := strings.Cut(head, "\n")
	return strings.Contains(line, ";") && !strings.Contains(line, ",")
}

// next returns the next row with anything in it; false at the end or after a
// mistake, which l.err then holds.
func (l *list) next() (row, bool) {
	for {
		fields, err := l.csv.Read()
		if err != nil {
			if !errors.Is(err, io.EOF) {
				l.err = fmt.Errorf("%s: %w", l.path, err)
			}
			return row{}, false
		}
		line, _ := l.csv.FieldPos(0)
		r := row{line: line, values: map[string]string{}}
		for i, f := range fields {
			f = strings.TrimSpace(f)
			if i >= len(l.heads) {
				if f != "" {
					l.err = fmt.Errorf("%s line %d: %d fields, but the first row names %d columns", l.path, line, len(fields), len(l.heads))
					return row{}, false
				}
				continue
			}
			r.values[l.heads[i]] = f
		}
		if strings.Join(fields, "") == "" {
			continue
		}
		r.name = l.unique(r.values)
		return r, true
	}
}

// unique finds a folder name for a row: from its name, words or drawing.
func (l *list) unique(values map[string]string) string {
	name := "row"
	for _, v := range []string{values["name"], values["words"], stem(values["drawing"])} {
		if v != "" && v != "." {
			name = safeName(v)
			break
		}
	}
	base := name
	for {
		l.taken[name]++
		if l.taken[name] == 1 {
			return name
		}
		l.taken[base]++
		name = fmt.Sprintf("%s-%d", base, l.taken[base]-1)
	}
}

func (l *list) close() { _ = l.file.Close() }
