package proof

import (
	"fmt"
	"strconv"
	"strings"
)

// scanner reads the lists of numbers in attributes of SVG.
type scanner struct {
	s  string
	at int
}

func (s *scanner) more() bool { return s.at < len(s.s) }

func (s *scanner) peek() byte {
	if s.at < len(s.s) {
		return s.s[s.at]
	}
	return 0
}

func isSpace(c byte) bool { return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f' }

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

func (s *scanner) spaces() {
	for s.at < len(s.s) && isSpace(s.s[s.at]) {
		s.at++
	}
}

// comma passes over what may stand between two numbers: white space with at most one comma. It reports whether there was a comma.
func (s *scanner) comma() bool {
	s.spaces()
	if s.peek() != ',' {
		return false
	}
	s.at++
	s.spaces()
	return true
}

// startsNumber reports whether a number may begin here.
func (s *scanner) startsNumber() bool {
	c := s.peek()
	return isDigit(c) || c == '+' || c == '-' || c == '.'
}

// number reads a number as far as the grammar goes: "1-2.5.5" holds three (SVG 1.1, 8.3.9).
func (s *scanner) number() (float64, error) {
	start := s.at
	if c := s.peek(); c == '+' || c == '-' {
		s.at++
	}
	digits := 0
	run := func() {
		for isDigit(s.peek()) {
			s.at++
			digits++
		}
	}
	run()
	if s.peek() == '.' {
		s.at++
		run()
	}
	if digits == 0 {
		s.at = start
		return 0, fmt.Errorf("a number is missing at character %d", start+1)
	}
	if c := s.peek(); c == 'e' || c == 'E' {
		// Only digits make it an exponent: in "2em" the e is a unit's.
		i := s.at + 1
		if i < len(s.s) && (s.s[i] == '+' || s.s[i] == '-') {
			i++
		}
		if i < len(s.s) && isDigit(s.s[i]) {
			for i < len(s.s) && isDigit(s.s[i]) {
				i++
			}
			s.at = i
		}
	}
	v, err := strconv.ParseFloat(s.s[start:s.at], 64)
	if err != nil { // only its size can be wrong now
		return 0, fmt.Errorf("the number %.20q is too large", s.s[start:s.at])
	}
	return v, nil
}

// flag reads a flag of an arc: a single 0 or 1, which may be followed by a number without a space.
func (s *scanner) flag() (bool, error) {
	c := s.peek()
	if c != '0' && c != '1' {
		return false, fmt.Errorf("an arc's flag at character %d is not 0 or 1", s.at+1)
	}
	s.at++
	return c == '1', nil
}

// numbers reads a whole attribute as a list of numbers.
func numbers(text string) ([]float64, error) {
	s := scanner{s: text}
	s.spaces()
	var out []float64
	for s.more() {
		v, err := s.number()
		if err != nil {
			return nil, err
		}
		out = append(out, v)
		if s.comma() && !s.more() {
			return nil, fmt.Errorf("a number is missing at the end")
		}
	}
	return out, nil
}

// units are the lengths of CSS in px, of which 96 make an inch.
var units = map[string]float64{
	"": 1, "px": 1, "in": 96, "mm": 96 / 25.4, "cm": 96 / 2.54, "q": 96 / 101.6, "pt": 96.0 / 72, "pc": 16,
}

// length reads a length and gives it in px with the unit as it is written. A percentage is one of the length `whole`.
func length(text string, whole float64) (px float64, unit string, err error) {
	s := scanner{s: strings.TrimSpace(text)}
	v, err := s.number()
	if err != nil {
		return 0, "", fmt.Errorf("%.40q is not a length", text)
	}
	unit = strings.ToLower(s.s[s.at:])
	if unit == "%" {
		return v / 100 * whole, unit, nil
	}
	f, ok := units[unit]
	if !ok {
		return 0, "", fmt.Errorf("the unit of the length %.40q is not one of mm, cm, in, px, pt, pc, Q", text)
	}
	return v * f, unit, nil
}
