// Package proof reads files of cut and fold lines back, our own and those of anyone, and follows them as a tool
// would, before a blade touches paper.
//
// [ReadSVG] and [ReadDXF] give an [export.Drawing]: millimetres, x to the right and y down, the origin at the top left corner of the
// sheet, the lines in the order of the file. [Cut] makes the dry run of a drawing: it removes the kerf along every line and makes
// a claim for each thing that has to be true of what remains. [Slide] folds two trays and puts one into the other. Nothing changes
// what it is given, equal input gives equal results, and no file, however broken, makes any of them panic.
package proof

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"

	"example.org/kerfleaf/export"
	"github.com/twpayne/go-geom"
)

// Flatness bounds, in millimetres, how far the straight lines that the readers put in place of curves run from the true
// curve. The ends of the straight lines lie on it.
const Flatness = 0.005

// Limits of what is read: more than this is no file for a cutter.
const (
	maxBytes  = 256 << 20
	maxPoints = 8 << 20
	maxUsed   = 1 << 20 // elements or entities drawn, which may repeat one another
	maxDepth  = 64      // of blocks within blocks; elements may be four times as deep
)

// A File is what a reader found.
type File struct {
	Drawing *export.Drawing
	Format  string   // "SVG" or "DXF"
	Unit    string   // that the file gives its lengths in, such as "mm"; "" if it does not say
	Notes   []string // what was assumed and what was passed over, for people
}

// ErrFormat is returned by [Read] for a file that is neither SVG nor DXF.
var ErrFormat = errors.New("proof: the file is neither SVG nor DXF")

// A FileError says what cannot be read and where.
type FileError struct {
	Format  string // "SVG" or "DXF"
	Line    int    // from 1; 0: not known
	Problem string
}

func (e *FileError) Error() string {
	if e.Line == 0 {
		return fmt.Sprintf("proof: %s: %s", e.Format, e.Problem)
	}
	return fmt.Sprintf("proof: %s, line %d: %s", e.Format, e.Line, e.Problem)
}

// Read reads a file of either format, which it tells by its beginning. See [ReadSVG] and [ReadDXF]; it fails as they do, and with
// [ErrFormat].
func Read(r io.Reader) (*File, error) {
	b := bufio.NewReader(r)
	head, err := b.Peek(1024)
	if err != nil && err != io.EOF && err != bufio.ErrBufferFull {
		return nil, fmt.Errorf("proof: %w", err)
	}
	text := bytes.TrimPrefix(head, []byte("\xef\xbb\xbf"))
	text = bytes.TrimLeft(text, " \t\r\n")
	switch {
	case len(text) > 0 && text[0] == '<':
		return ReadSVG(b)
	case len(text) > 0 && text[0] >= '0' && text[0] <= '9' || bytes.HasPrefix(text, []byte(binaryDXF)):
		return ReadDXF(b)
	}
	return nil, ErrFormat
}

// readAll reads no more than maxBytes.
func readAll(r io.Reader, format string) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("proof: %w", err)
	}
	if len(data) > maxBytes {
		return nil, &FileError{Format: format, Problem: fmt.Sprintf("the file is larger than %d MB", maxBytes>>20)}
	}
	return data, nil
}

// sink collects the lines of a file in their order.
type sink struct {
	layers []export.Layer
	points int
	bounds *geom.Bounds
}

// errTooMany stops a reader at maxPoints.
var errTooMany = fmt.Errorf("more than %d points", maxPoints)

// add takes a line of points x, y, x, y, … over. Points that repeat their predecessor are left out, lines of a single point
// vanish, and a closed line of two becomes an open one.
func (s *sink) add(role export.Role, flat []float64, closed bool) error {
	line := make([]float64, 0, len(flat)+2)
	for i := 0; i < len(flat); i += 2 {
		x, y := flat[i], flat[i+1]
		if !finite(x) || !finite(y) {
			return fmt.Errorf("a coordinate is not a finite number of at most %g mm", largest)
		}
		if n := len(line); n == 0 || line[n-2] != x || line[n-1] != y {
			line = append(line, x, y)
		}
	}
	if n := len(line); closed && n > 2 && line[0] == line[n-2] && line[1] == line[n-1] {
		line = line[:n-2]
	}
	if len(line) < 4 {
		return nil
	}
	if closed {
		line = append(line, line[0], line[1])
		closed = len(line) > 6
	}
	if s.points += len(line) / 2; s.points > maxPoints {
		return errTooMany
	}
	if n := len(s.layers); n == 0 || s.layers[n-1].Role != role {
		s.layers = append(s.layers, export.Layer{Role: role})
	}
	if s.bounds == nil {
		s.bounds = geom.NewBounds(geom.XY)
	}
	l := &s.layers[len(s.layers)-1]
	var shape geom.T = geom.NewLineStringFlat(geom.XY, line)
	if closed {
		shape = geom.NewLinearRingFlat(geom.XY, line)
	}
	l.Shapes = append(l.Shapes, shape)
	s.bounds.Extend(shape)
	return nil
}

// largest is a kilometre: no drawing for paper reaches beyond it.
const largest = 1e6

func finite(v float64) bool { return v >= -largest && v <= largest }

// roleOf tells the role that a group's id or a layer's name stands for: one of the names that export gives them, whatever the case and
// with - and _ alike.
func roleOf(name string) (export.Role, bool) {
	for r := export.Cut; r <= export.Note; r++ {
		if sameName(name, r.String()) {
			return r, true
		}
	}
	return export.Cut, false
}

func sameName(a, b string) bool {
	if len(a) != len(b) {
		return false
	}
	fold := func(c byte) byte {
		switch {
		case c == '_':
			return '-'
		case 'A' <= c && c <= 'Z':
			return c + 'a' - 'A'
		}
		return c
	}
	for i := range len(a) {
		if fold(a[i]) != fold(b[i]) {
			return false
		}
	}
	return true
}
