package paper

import (
	"bytes"
	"cmp"
	_ "embed"
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"example.org/kerfleaf/internal/length"
)

//go:embed stocks.toml
var builtIn []byte

// BuiltInTOML returns the text of the table of papers that is built in, which
// is also the pattern for a file of one's own.
func BuiltInTOML() string { return string(builtIn) }

// BuiltIn returns the papers that are known without any file.
func BuiltIn() (Stocks, error) { return Stocks(nil).Merge("built-in papers", builtIn) }

// FileError says what is wrong in a file of papers, and where.
type FileError struct {
	File    string
	Line    int // from 1; 0: not known
	Problem string
}

func (e *FileError) Error() string {
	if e.Line == 0 {
		return fmt.Sprintf("paper: %s: %s", e.File, e.Problem)
	}
	return fmt.Sprintf("paper: %s:%d: %s", e.File, e.Line, e.Problem)
}

// entry is one table of the file as written; nil fields were not given.
type entry struct {
	Note      *string  `toml:"note"`
	GSM       *written `toml:"gsm"`
	Thickness *written `toml:"thickness"`
	Kerf      *written `toml:"kerf"`
	MinWeb    *written `toml:"min-web"`
	Caution   *written `toml:"caution"`
	Bridge    *written `toml:"bridge"`
	Tolerance *written `toml:"tolerance"`
	Smooth    *written `toml:"smooth"`
}

// written is the text of a number or string, read once its meaning is known.
type written string

func (w *written) UnmarshalText(b []byte) error { *w = written(b); return nil }

// Merge returns a table in which the papers of a file stand beside those of s,
// and the values that the file gives replace those of papers with the same name.
// The text is TOML in the form of [BuiltInTOML]; name is the file's, for
// messages. What a new paper does not say follows from its thickness t: webs of
// max(0.5, 2t), care below max(1, 4t) and bridges of max(2, 6t) mm (common
// practice, no source), a tolerance of 0.02 + t/10, smoothing of 0.1 + 2t/5, no
// kerf. It fails with a *[FileError] and leaves s as it is.
func (s Stocks) Merge(name string, text []byte) (Stocks, error) {
	var file map[string]entry
	d := toml.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&file); err != nil {
		return nil, syntaxError(name, err)
	}
	out := slices.Clone(s)
	for _, key := range slices.Sorted(maps.Keys(file)) {
		if err := out.put(key, file[key]); err != nil {
			err.File, err.Line = name, lineOf(text, key, err.field)
			return nil, &err.FileError
		}
	}
	slices.SortFunc(out, func(a, b Stock) int {
		return cmp.Or(cmp.Compare(a.GSM, b.GSM), cmp.Compare(a.Thickness, b.Thickness), cmp.Compare(a.Name, b.Name))
	})
	return out, nil
}

// valueError is a FileError that knows which field it is about.
type valueError struct {
	FileError
	field string
}

func (s *Stocks) put(key string, e entry) *valueError {
	fail := func(field, format string, args ...any) *valueError {
		return &valueError{FileError{Problem: key + ": " + fmt.Sprintf(format, args...)}, field}
	}
	name := tidyName(key)
	if name == "" {
		return fail("", "a paper needs a name")
	}
	i := slices.IndexFunc(*s, func(k Stock) bool { return k.Name == name })
	if i < 0 {
		if e.Thickness == nil {
			return fail("", "a new paper needs a thickness")
		}
		*s = append(*s, Stock{Name: name})
		i = len(*s) - 1
		t, err := length.Parse(string(*e.Thickness))
		if err != nil {
			return fail("thickness", "thickness %v", err)
		}
		(*s)[i].MinWeb, (*s)[i].Caution, (*s)[i].Bridge = max(0.5, 2*t), max(1, 4*t), max(2, 6*t)
		(*s)[i].Tolerance = 0.02 + t/10
		(*s)[i].Smooth = 0.1 + 2*t/5
	}
	k := &(*s)[i]
	if e.Note != nil {
		k.Note = *e.Note
	}
	if e.GSM != nil {
		g, err := ParseWeight(string(*e.GSM))
		if err != nil {
			return fail("gsm", "gsm %v", err)
		}
		k.GSM = g
	}
	for _, f := range []struct {
		name   string
		from   *written
		to     *float64
		zeroOK bool
	}{
		{"thickness", e.Thickness, &k.Thickness, false},
		{"kerf", e.Kerf, &k.Kerf, true},
		{"min-web", e.MinWeb, &k.MinWeb, false},
		{"caution", e.Caution, &k.Caution, false},
		{"bridge", e.Bridge, &k.Bridge, false},
		{"tolerance", e.Tolerance, &k.Tolerance, false},
		{"smooth", e.Smooth, &k.Smooth, true},
	} {
		if f.from == nil {
			continue
		}
		v, err := length.Parse(string(*f.from))
		switch {
		case err != nil:
			return fail(f.name, "%s %v", f.name, err)
		case v < 0 || v == 0 && !f.zeroOK:
			return fail(f.name, "%s %s must be more than zero", f.name, length.MM(v))
		case v > thickest:
			return fail(f.name, "%s %s is more than any paper has", f.name, length.MM(v))
		}
		*f.to = v
	}
	return nil
}

// thickest bounds every length of a stock, to catch a slipped decimal point.
const thickest = 50.0

func syntaxError(name string, err error) error {
	var missing *toml.StrictMissingError
	var decode *toml.DecodeError
	switch {
	case errors.As(err, &missing) && len(missing.Errors) > 0:
		first := missing.Errors[0]
		row, _ := first.Position()
		return &FileError{name, row, fmt.Sprintf("%q is not a value of a paper; there are note, gsm, thickness, kerf, min-web, bridge, tolerance and smooth",
			first.Key()[len(first.Key())-1])}
	case errors.As(err, &decode):
		row, _ := decode.Position()
		return &FileError{name, row, strings.TrimPrefix(decode.Error(), "toml: ")}
	default:
		return &FileError{name, 0, err.Error()}
	}
}

// lineOf finds the line on which a paper's field stands, or its table's head if
// the field is "". It knows files written as the pattern is, one table a paper,
// and else returns 0.
func lineOf(text []byte, table, field string) int {
	head := regexp.MustCompile(`^\s*\[\s*["']?` + regexp.QuoteMeta(table) + `["']?\s*\]`)
	key := regexp.MustCompile(`^\s*["']?` + regexp.QuoteMeta(field) + `["']?\s*=`)
	inside := false
	for i, line := range strings.Split(string(text), "\n") {
		switch {
		case head.MatchString(line):
			if field == "" {
				return i + 1
			}
			inside = true
		case strings.HasPrefix(strings.TrimSpace(line), "["):
			inside = false
		case inside && key.MatchString(line):
			return i + 1
		}
	}
	return 0
}
