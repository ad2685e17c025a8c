package proof

import (
	"fmt"
	"strings"
)

// arguments is how many numbers each command of a path takes.
var arguments = map[byte]int{'M': 2, 'L': 2, 'H': 1, 'V': 1, 'C': 6, 'S': 4, 'Q': 4, 'T': 2, 'A': 7, 'Z': 0}

// pathReader follows path data (SVG 1.1, 8.3).
type pathReader struct {
	scanner
	line           outline
	emit           func(flat []float64, closed bool) error
	x, y           float64 // where we are
	startX, startY float64 // where the part of the path began
	ctrlX, ctrlY   float64 // the last control point
	ctrl           byte    // of a 'C' or a 'Q'; 0: the last command had none
}

// path reads path data; each line that it draws goes to emit in mm, m being the way from its units to mm.
func path(data string, m matrix, emit func(flat []float64, closed bool) error) error {
	p := &pathReader{scanner: scanner{s: data}, line: outline{m: m}, emit: emit}
	p.spaces()
	if p.s = strings.TrimRight(p.s, " \t\r\n\f"); p.s == "none" {
		return nil
	}
	for first := true; p.more(); first = false {
		letter := p.peek()
		command := letter &^ 0x20
		n, ok := arguments[command]
		if !ok {
			return fmt.Errorf("%q at character %d is not a command", letter, p.at+1)
		}
		if first && command != 'M' {
			return fmt.Errorf("the path does not begin with M")
		}
		p.at++
		p.spaces()
		if n == 0 {
			if err := p.close(); err != nil {
				return err
			}
			continue
		}
		for again := true; again; {
			args, err := p.args(command, n)
			if err != nil {
				return err
			}
			if err := p.do(command, letter != command, args); err != nil {
				return err
			}
			if command == 'M' {
				command, letter = 'L', letter-'M'+'L'
			}
			comma := p.comma()
			again = p.startsNumber()
			if comma && !again {
				return fmt.Errorf("a number is missing at character %d", p.at+1)
			}
		}
	}
	return p.end(false)
}

// args reads the numbers of one command.
func (p *pathReader) args(command byte, n int) (args [7]float64, err error) {
	for i := range n {
		if i > 0 {
			p.comma()
		}
		if command == 'A' && (i == 3 || i == 4) {
			var on bool
			if on, err = p.flag(); on {
				args[i] = 1
			}
		} else {
			args[i], err = p.number()
		}
		if err != nil {
			return args, err
		}
	}
	return args, nil
}

// do follows one command.
func (p *pathReader) do(command byte, relative bool, a [7]float64) error {
	dx, dy := 0.0, 0.0
	if relative {
		dx, dy = p.x, p.y
	}
	if command == 'M' {
		if err := p.end(false); err != nil {
			return err
		}
		p.x, p.y = a[0]+dx, a[1]+dy
		p.startX, p.startY, p.ctrl = p.x, p.y, 0
		return nil
	}
	if len(p.line.flat) == 0 {
		p.line.to(p.x, p.y)
	}
	x, y, ctrl := p.x, p.y, byte(0)
	var err error
	switch command {
	case 'L':
		x, y = a[0]+dx, a[1]+dy
		p.line.to(x, y)
	case 'H':
		x = a[0] + dx
		p.line.to(x, y)
	case 'V':
		y = a[0] + dy
		p.line.to(x, y)
	case 'C', 'S':
		c1x, c1y := p.mirrored('C')
		rest := a[:4]
		if command == 'C' {
			c1x, c1y, rest = a[0]+dx, a[1]+dy, a[2:6]
		}
		p.ctrlX, p.ctrlY, ctrl = rest[0]+dx, rest[1]+dy, 'C'
		x, y = rest[2]+dx, rest[3]+dy
		err = p.line.cubic(p.x, p.y, c1x, c1y, p.ctrlX, p.ctrlY, x, y)
	case 'Q', 'T':
		cx, cy := p.mirrored('Q')
		rest := a[:2]
		if command == 'Q' {
			cx, cy, rest = a[0]+dx, a[1]+dy, a[2:4]
		}
		p.ctrlX, p.ctrlY, ctrl = cx, cy, 'Q'
		x, y = rest[0]+dx, rest[1]+dy
		err = p.line.quadratic(p.x, p.y, cx, cy, x, y)
	case 'A':
		x, y = a[5]+dx, a[6]+dy
		err = p.line.arc(p.x, p.y, a[0], a[1], a[2], a[3] == 1, a[4] == 1, x, y)
	}
	p.x, p.y, p.ctrl = x, y, ctrl
	if len(p.line.flat) > 2*maxPoints {
		return errTooMany
	}
	return err
}

// mirrored is the last control point, if it was one of that kind of curve, seen through the point where we are; else that
// point.
func (p *pathReader) mirrored(kind byte) (x, y float64) {
	if p.ctrl != kind {
		return p.x, p.y
	}
	return 2*p.x - p.ctrlX, 2*p.y - p.ctrlY
}

func (p *pathReader) close() error {
	err := p.end(true)
	p.x, p.y, p.ctrl = p.startX, p.startY, 0
	return err
}

// end hands the line over that is under way.
func (p *pathReader) end(closed bool) error {
	flat := p.line.flat
	if len(flat) == 0 {
		return nil
	}
	p.line.flat = flat[:0]
	return p.emit(flat, closed)
}
