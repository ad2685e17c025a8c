package proof

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

const svgSpace = "http://www.w3.org/2000/svg"

// element is an element of SVG with what it holds. Text is passed over.
type element struct {
	name     string
	line     int
	attr     map[string]string
	children []*element
}

// parse reads a document into a tree. Entities other than those of XML itself are an error, so that nothing expands.
func parse(data []byte) (*element, error) {
	dec := xml.NewDecoder(bytes.NewReader(data))
	dec.CharsetReader = latin1
	var stack []*element
	var root *element
	fault := func(problem string) error {
		line, _ := dec.InputPos()
		return &FileError{"SVG", line, problem}
	}
	for n := 0; ; {
		tok, err := dec.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			var syntax *xml.SyntaxError
			if errors.As(err, &syntax) {
				return nil, &FileError{"SVG", syntax.Line, syntax.Msg}
			}
			return nil, fault(err.Error())
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			e := &element{name: tok.Name.Local, attr: map[string]string{}}
			if tok.Name.Space != svgSpace && tok.Name.Space != "" {
				e.name = "" // of another language
			}
			e.line, _ = dec.InputPos()
			for _, a := range tok.Attr {
				// href may stand in a space of its own; other attributes of foreign spaces mean nothing here.
				if a.Name.Space == "" || a.Name.Local == "href" {
					e.attr[a.Name.Local] = a.Value
				}
			}
			if n++; n > maxPoints {
				return nil, fault(fmt.Sprintf("more than %d elements", maxPoints))
			}
			if len(stack) >= 4*maxDepth {
				return nil, fault("elements are nested too deeply")
			}
			if len(stack) > 0 {
				parent := stack[len(stack)-1]
				parent.children = append(parent.children, e)
			} else if root == nil {
				root = e
			}
			stack = append(stack, e)
		case xml.EndElement:
			stack = stack[:len(stack)-1]
		}
	}
	if root == nil || root.name != "svg" {
		return nil, &FileError{Format: "SVG", Problem: "the document is not an svg element"}
	}
	return root, nil
}

// latin1 reads the one old encoding that drawings still come in; UTF-8 needs no reader.
func latin1(label string, r io.Reader) (io.Reader, error) {
	switch strings.ToLower(label) {
	case "us-ascii", "ascii":
		return r, nil
	case "iso-8859-1", "latin1":
		data, err := io.ReadAll(r)
		if err != nil {
			return nil, err
		}
		runes := make([]rune, len(data))
		for i, b := range data {
			runes[i] = rune(b)
		}
		return strings.NewReader(string(runes)), nil
	}
	return nil, fmt.Errorf("the encoding %.40q is unknown; save it as UTF-8", label)
}

// property is a presentation property, which the style attribute may set as well as an attribute of its own.
func (e *element) property(name string) string {
	value := e.attr[name]
	for decl := range strings.SplitSeq(e.attr["style"], ";") {
		key, v, ok := strings.Cut(decl, ":")
		if ok && strings.TrimSpace(key) == name {
			value = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(v), "!important"))
		}
	}
	return value
}

// hidden reports whether neither the element nor what it holds is drawn.
func (e *element) hidden() bool { return e.property("display") == "none" }

// names are the id and the classes.
func (e *element) names() []string {
	return slices.Concat([]string{e.attr["id"]}, strings.Fields(e.attr["class"]))
}
