package export

import (
	"io"
	"strconv"
)

// A pen gathers text for w and remembers the first write that failed, after which it drops everything.
type pen struct {
	w   io.Writer
	buf []byte
	err error
}

// penSize is how much text a pen gathers before it writes.
const penSize = 1 << 16

func newPen(w io.Writer) *pen { return &pen{w: w, buf: make([]byte, 0, penSize+512)} }

// text adds s.
func (p *pen) text(s string) {
	p.buf = append(p.buf, s...)
	if len(p.buf) >= penSize {
		p.flush()
	}
}

// flush writes what has been gathered and returns the first error of all writes.
func (p *pen) flush() error {
	if p.err == nil && len(p.buf) > 0 {
		n, err := p.w.Write(p.buf)
		if err == nil && n < len(p.buf) {
			err = io.ErrShortWrite
		}
		p.err = err
	}
	p.buf = p.buf[:0]
	return p.err
}

// appendFixed appends v divided by 10^places in decimals, without trailing zeros but for the first least ones.
func appendFixed(dst []byte, v int64, places, least int) []byte {
	if v < 0 {
		dst = append(dst, '-')
		v = -v
	}
	var digits [20]byte
	i := len(digits)
	keep := false // a digit other than 0 has been met
	for n := 0; n < places; n++ {
		q := v / 10
		d := byte(v - q*10)
		v = q
		keep = keep || d != 0 || places-n <= least
		if keep {
			i--
			digits[i] = '0' + d
		}
	}
	dst = strconv.AppendInt(dst, v, 10)
	if keep {
		dst = append(dst, '.')
	}
	return append(dst, digits[i:]...)
}
