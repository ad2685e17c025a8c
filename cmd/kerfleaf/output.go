package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// output collects the files of one run and puts them in place together: each
// is made under a temporary name in its own folder, and only when all are whole
// are they renamed. A run that fails leaves nothing behind.
type output struct {
	dir   string
	force bool
	files []pending
}

type pending struct{ temp, final string }

// newOutput makes sure of the folder.
func newOutput(dir string, force bool) (*output, error) {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return nil, fmt.Errorf("cannot write to the folder %s: %w; choose another with --out", dir, plain(err))
	}
	return &output{dir: dir, force: force}, nil
}

// reserve refuses names that are taken, before any work is done.
func (o *output) reserve(names ...string) error {
	if o.force {
		return nil
	}
	for _, n := range names {
		p := filepath.Join(o.dir, n)
		if _, err := os.Lstat(p); err == nil {
			return fmt.Errorf("%s exists already; use --force to replace it or --out for another folder", p)
		}
	}
	return nil
}

// write makes one file with what fill writes.
func (o *output) write(name string, fill func(io.Writer) error) error {
	final := filepath.Join(o.dir, name)
	if err := os.MkdirAll(filepath.Dir(final), 0o777); err != nil {
		return fmt.Errorf("cannot write %s: %w", final, plain(err))
	}
	f, err := os.CreateTemp(filepath.Dir(final), ".kerfleaf-*")
	if err != nil {
		return fmt.Errorf("cannot write %s: %w; choose another folder with --out", final, plain(err))
	}
	o.files = append(o.files, pending{f.Name(), final})
	err = fill(f)
	if cerr := f.Close(); err == nil {
		err = cerr
	}
	if err != nil {
		return fmt.Errorf("cannot write %s: %w", final, plain(err))
	}
	return os.Chmod(f.Name(), 0o644)
}

// temp is where a file is until it is committed.
func (o *output) temp(name string) string {
	final := filepath.Join(o.dir, name)
	for _, p := range o.files {
		if p.final == final {
			return p.temp
		}
	}
	return final
}

// commit renames everything into place and returns the final paths.
func (o *output) commit() ([]string, error) {
	var names []string
	for len(o.files) > 0 {
		p := o.files[0]
		if !o.force {
			if _, err := os.Lstat(p.final); err == nil {
				return names, fmt.Errorf("%s exists already; use --force to replace it", p.final)
			}
		}
		if err := os.Rename(p.temp, p.final); err != nil {
			return names, fmt.Errorf("cannot write %s: %w", p.final, plain(err))
		}
		names = append(names, p.final)
		o.files = o.files[1:]
	}
	return names, nil
}

// discard removes what was not committed.
func (o *output) discard() {
	for _, p := range o.files {
		_ = os.Remove(p.temp)
	}
	o.files = nil
}

// plain drops the operation and path that the file system's errors repeat.
func plain(err error) error {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err
	}
	return err
}
