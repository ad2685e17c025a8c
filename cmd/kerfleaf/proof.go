package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"example.org/kerfleaf/export"
	"example.org/kerfleaf/internal/ring"
	"example.org/kerfleaf/proof"
	"github.com/twpayne/go-geom"
	"github.com/urfave/cli/v2"
)

// errWrong is what a command returns when the files it wrote, or was given,
// would not make the parts that they should.
var errWrong = errors.New("not everything holds; see what is wrong above")

// proofSettings say whether the files are read back after writing.
type proofSettings struct{ proof string }

func (s *settings) proofFlags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "proof", Usage: "read the files back and make a dry run of them: `on or off`", Category: groupOutput, Value: "on", DefaultText: "on", Destination: &s.check.proof},
	}
}

// readBack adds the dry run of a part's written files to the claims.
func (s *settings) readBack(out *output, p part, names []string, claims *claims) error {
	on, err := choose("proof", s.check.proof, map[string]bool{"on": true, "off": false, "": false})
	if err != nil || !on || p.design == nil {
		return err
	}
	for _, name := range names {
		if ext := filepath.Ext(name); ext != ".svg" && ext != ".dxf" {
			continue
		}
		file, err := readLines(out.temp(name))
		if err != nil {
			return fmt.Errorf("reading %s back: %w", name, err)
		}
		res, err := proof.Cut(file.Drawing, p.stock.Kerf, &proof.Options{Design: p.design, Tolerance: round3(p.curves() + proofSlack)})
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		claims.add(name, res.Claims)
		d := file.Drawing
		if p.back != nil { // as trays are folded up
			d = &export.Drawing{Width: d.Width, Height: d.Height}
			if err := overlay(d, file.Drawing, p.back); err != nil {
				return err
			}
		}
		claims.drawings = append(claims.drawings, readFile{name, d})
	}
	return nil
}

// proofSlack is what rounding to a micrometre, the offset's tolerance and the
// readers' flattening add to the curves' departure, in mm.
const proofSlack = 0.02

// claims gathers what the dry runs say.
type claims struct {
	files    []string
	list     []claim
	drawings []readFile
}

type claim struct {
	proof.Claim
	files []string
}

type readFile struct {
	name    string
	drawing *export.Drawing
}

// add notes the claims of one file; those that other files make in the same
// words are told once.
func (c *claims) add(file string, list []proof.Claim) {
	c.files = append(c.files, file)
	for _, n := range list {
		i := slices.IndexFunc(c.list, func(o claim) bool { return o.Text == n.Text && o.OK == n.OK && o.Caution == n.Caution })
		if i < 0 {
			c.list = append(c.list, claim{n, []string{file}})
		} else {
			c.list[i].files = append(c.list[i].files, file)
		}
	}
}

// report adds a line for each claim to the summary.
func (c *claims) report(sum *summary) {
	label := "read back"
	for _, n := range c.list {
		text := n.String()
		if len(n.files) < len(c.files) {
			text += " (" + c.short(n.files) + ")"
		}
		sum.add(label, text, "", nil)
		label = " "
	}
	if len(c.list) > 0 {
		c.json(sum)
	}
}

// short names files, both formats of a part by the part.
func (c *claims) short(files []string) string {
	var names []string
	for _, f := range files {
		part := strings.TrimSuffix(f, filepath.Ext(f))
		both := slices.Contains(files, part+".svg") == slices.Contains(c.files, part+".svg") &&
			slices.Contains(files, part+".dxf") == slices.Contains(c.files, part+".dxf")
		if !both {
			part = f
		}
		if !slices.Contains(names, part) {
			names = append(names, part)
		}
	}
	return strings.Join(names, ", ")
}

// json adds the claims for programs, and tells whether one is wrong. Loose paper
// is a matter of the design, not of the files.
func (c *claims) json(sum *summary) {
	type claimJSON struct {
		Files   []string `json:"files"`
		Text    string   `json:"text"`
		OK      bool     `json:"ok"`
		Caution bool     `json:"caution,omitempty"`
	}
	var rows []claimJSON
	for _, n := range c.list {
		rows = append(rows, claimJSON{n.files, n.Text, n.OK, n.Caution})
		sum.wrong = sum.wrong || !n.OK && !n.Caution && n.Piece == nil
	}
	sum.add("", "", "proof", rows)
}

// slides folds both trays from their written files and says how they fit.
func (c *claims) slides(front, base part, gap float64) error {
	for _, ext := range []string{".svg", ".dxf"} {
		f := slices.IndexFunc(c.drawings, func(r readFile) bool { return r.name == front.file+ext })
		b := slices.IndexFunc(c.drawings, func(r readFile) bool { return r.name == base.file+ext })
		if f < 0 || b < 0 {
			continue
		}
		fit, err := proof.Slide(proof.Tray{Drawing: c.drawings[f].drawing, Thickness: front.stock.Thickness, Kerf: front.stock.Kerf},
			proof.Tray{Drawing: c.drawings[b].drawing, Thickness: base.stock.Thickness, Kerf: base.stock.Kerf})
		if err != nil {
			return err
		}
		c.add("trays"+ext, append(fit.Claims, proof.Claim{
			Text: fmt.Sprintf("the folded trays leave the %.2f mm a side that was stated", gap), OK: math.Abs(min(fit.Width, fit.Height)-gap) < gapSlack,
		}))
	}
	return nil
}

// gapSlack is how far the gap of the folded trays may be from the stated one.
const gapSlack = 0.01

// paperOf is what remains of a part: its outline less its openings, with what
// lies loose in them.
func paperOf(outline, openings *geom.MultiPolygon) *geom.MultiPolygon {
	rings := ring.Rings(outline)
	if openings != nil {
		rings = append(rings, ring.Rings(openings)...)
	}
	return ring.Nest(rings)
}

// openLines are a drawing's scores, slits and perforations.
func openLines(d *export.Drawing) []export.Layer {
	var layers []export.Layer
	for _, l := range d.Layers {
		open := export.Layer{Role: l.Role}
		for _, g := range l.Shapes {
			switch g.(type) {
			case *geom.LineString, *geom.MultiLineString:
				open.Shapes = append(open.Shapes, g)
			}
		}
		if len(open.Shapes) > 0 {
			layers = append(layers, open)
		}
	}
	return layers
}

// readLines reads a file of cut lines.
func readLines(path string) (*proof.File, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("cannot open %s: %w", path, plain(err))
	}
	defer f.Close()
	file, err := proof.Read(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return file, nil
}

// checkFile makes the dry run of a file of cut lines, whoever wrote it.
func (s *settings) checkFile(path string, out *output) (*summary, error) {
	name := stem(path) + "-check.png"
	if err := out.reserve(name); err != nil {
		return nil, err
	}
	stock, err := s.stock(s.paper)
	if err != nil {
		return nil, err
	}
	stock = s.own(stock)
	file, err := readLines(path)
	if err != nil {
		return nil, err
	}
	res, err := proof.Cut(file.Drawing, stock.Kerf, &proof.Options{MinWeb: stock.MinWeb, Width: s.width.mm, Height: s.height.mm})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	var marks []export.Mark
	var areas []export.Area
	for i, c := range res.Claims {
		if c.Piece != nil {
			areas = append(areas, export.Area{Shape: c.Piece, Look: export.Loose})
		}
		if !c.OK && c.At != nil && c.At[0] >= 0 && c.At[1] >= 0 && c.At[0] <= file.Drawing.Width && c.At[1] <= file.Drawing.Height {
			marks = append(marks, export.Mark{At: c.At, Radius: 1.5, Text: fmt.Sprint(i + 1)})
		}
	}
	sum := &summary{command: "check"}
	sum.text("file", "file", path)
	sum.size("its sheet", "sheet", file.Drawing.Width, file.Drawing.Height)
	sum.text("paper", "paper", paperLine(stock))
	for i, c := range res.Claims {
		sum.add(fmt.Sprint(i+1), c.String(), "", nil)
	}
	sum.loose = slices.ContainsFunc(res.Claims, func(c proof.Claim) bool { return c.Piece != nil })
	all := claims{}
	all.add(filepath.Base(path), res.Claims)
	all.json(sum)
	sum.warn = append(sum.warn, file.Notes...)
	var outside *export.OutsideError
	err = out.write(name, func(w io.Writer) error {
		return export.PNG(w, file.Drawing, &export.PNGOptions{Title: stem(path), Notes: []string{paperLine(stock)}, Marks: marks, Areas: areas})
	})
	if errors.As(err, &outside) {
		out.discard()
		sum.warnf("no picture: %v", outside)
	} else if err != nil {
		return nil, err
	}
	return sum, nil
}
