package proof

import (
	"fmt"
	"strings"
)

// record is an entity, or a row of a table: its name and the groups that follow.
type record struct {
	name   string
	line   int
	groups []group
	parts  []record // the vertices of a POLYLINE
}

// split cuts groups into records, at each group 0.
func split(body []group) []record {
	var out []record
	for i, g := range body {
		if g.code == 0 {
			out = append(out, record{name: g.value, line: g.line, groups: body[i+1 : i+1]})
		} else if n := len(out); n > 0 {
			r := &out[n-1]
			r.groups = r.groups[:len(r.groups)+1] // the groups of a record lie in a row
		}
	}
	return out
}

// records puts the parts of entities that span several records together.
func records(body []group) ([]record, error) {
	var out []record
	list := split(body)
	for i := 0; i < len(list); i++ {
		r := list[i]
		if r.name == "POLYLINE" || r.name == "INSERT" && r.has(66, "1") {
			end := i + 1
			for end < len(list) && list[end].name != "SEQEND" {
				if list[end].name != "VERTEX" && list[end].name != "ATTRIB" {
					break
				}
				end++
			}
			if end == len(list) || list[end].name != "SEQEND" {
				return nil, &FileError{"DXF", r.line, fmt.Sprintf("the %s has no SEQEND", r.name)}
			}
			r.parts = list[i+1 : end]
			i = end
		}
		out = append(out, r)
	}
	return out, nil
}

// has reports whether a group has a value.
func (r *record) has(code int, value string) bool {
	for _, g := range r.groups {
		if g.code == code {
			return g.value == value
		}
	}
	return false
}

// text is the value of a group; "" if it is missing.
func (r *record) text(code int) string {
	for _, g := range r.groups {
		if g.code == code {
			return g.value
		}
	}
	return ""
}

// fault is an error about the record.
func (r *record) fault(format string, args ...any) error {
	return &FileError{"DXF", r.line, r.name + ": " + fmt.Sprintf(format, args...)}
}

// values reads numbers from the groups of a record; err keeps the first error.
type values struct {
	r   *record
	err error
}

// number is the value of a group, or the default if it is missing.
func (v *values) number(code int, missing float64) float64 {
	for _, g := range v.r.groups {
		if g.code == code {
			n, err := g.number()
			if v.err == nil {
				v.err = err
			}
			return n
		}
	}
	return missing
}

// integer is the whole value of a group; 0 if it is missing.
func (v *values) integer(code int) int {
	for _, g := range v.r.groups {
		if g.code == code {
			n, err := g.integer()
			if v.err == nil {
				v.err = err
			}
			return n
		}
	}
	return 0
}

// list are all values of a group, in order.
func (v *values) list(code int) []float64 {
	var out []float64
	for _, g := range v.r.groups {
		if g.code == code {
			n, err := g.number()
			if v.err == nil {
				v.err = err
			}
			out = append(out, n)
		}
	}
	return out
}

// block is a group of entities that INSERT places.
type block struct {
	x, y     float64 // its base point
	entities []record
}

// readBlocks reads the blocks' definitions.
func (d *dxfReader) readBlocks(body []group) error {
	list, err := records(body)
	if err != nil {
		return err
	}
	var b *block
	for i := range list {
		switch r := &list[i]; r.name {
		case "BLOCK":
			v := values{r: r}
			b = &block{x: v.number(10, 0), y: v.number(20, 0)}
			if v.err != nil {
				return v.err
			}
			d.blocks[strings.ToUpper(r.text(2))] = b
		case "ENDBLK":
			b = nil
		default:
			if b != nil {
				b.entities = append(b.entities, *r)
			}
		}
	}
	return nil
}
