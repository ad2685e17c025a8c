package trace

import "math/bits"

// cells does the cells of row y, between the rows of pixels y-1 and y.
// lower[0] is kept for none: the place before a row's first vertex.
func (b *band) cells(y int) {
	b.reserve()
	r := b.r
	w := r.w
	// On the picture's edge a crossing lies on the edge itself, half way to
	// the paper that is thought beyond. Without a row of pixels there the
	// other one stands in, and is not looked at.
	rim := y == 0 || y == r.h
	var up, at []byte
	switch {
	case y == 0:
		at = r.row(0)
		up = at
	case y == r.h:
		up = r.row(y - 1)
		at = up
	default:
		up, at = r.row(y-1), r.row(y)
	}
	n, left4 := uint32(b.n), uint32(0)
	if y == b.y1-1 {
		clear(b.link[n:]) // what the band leaves open shall be told by a zero
	}
	link, frac, peaks := b.link, b.frac, b.peaks
	upper, lower := b.upper, b.lower
	lower[0] = none
	nUp, nLow, nPeaks := 1, 1, b.nPeaks
	var pending uint8
	var carryUp, carryAt uint64
	for k, br := range b.here {
		tr := b.above[k]
		tl, bl := tr<<1|carryUp, br<<1|carryAt
		carryUp, carryAt = tr>>63, br>>63
		for any := (tl | tr | br | bl) &^ (tl & tr & br & bl); any != 0; any &= any - 1 {
			i := bits.TrailingZeros64(any)
			x := k<<6 + i
			code := tl>>i&1<<3 | tr>>i&1<<2 | br>>i&1<<1 | bl>>i&1
			c := &marchCases[code]
			iB, iR := n, n+uint32(c.hasBtm)
			if x == 0 || x == w || rim {
				frac[iB], frac[iR] = one/2, one/2
				if c.hasBtm != 0 && x > 0 && x < w {
					frac[iB] = r.crossing(at[x-1], at[x])
				}
				if c.hasRight != 0 && !rim && x < w {
					frac[iR] = r.crossing(up[x], at[x])
				}
			} else {
				frac[iB] = r.crossing(at[x-1], at[x])
				frac[iR] = r.crossing(up[x], at[x])
			}
			id := [4]uint32{top: upper[nUp], right: iR, bottom: iB, left: left4}
			if c.from == c.to {
				joined := joins(int(up[x-1]), int(up[x]), int(at[x]), int(at[x-1]), r.level2, r.flip)
				s, t := saddle(int(code), joined)
				link[id[s[0]]] = (id[s[1]]-id[s[0]])<<4 | step(s[0], s[1])
				link[id[t[0]]] = (id[t[1]]-id[t[0]])<<4 | step(t[0], t[1])
				if (code == 5) != joined {
					nPeaks += int(pending)
				}
				pending = 0
				if (code == 5) == joined {
					peaks[nPeaks] = peak{id: iR, left: lower[nLow-1], x: int32(x), y: int32(y)}
					pending = 1
				}
			} else {
				f, t := c.from&3, c.to&3
				link[id[f]] = (id[t]-id[f])<<4 | step(uint32(f), uint32(t))
				peaks[nPeaks+int(1-c.opens)] = peak{id: iR, left: lower[nLow-1], x: int32(x), y: int32(y)}
				pending = pending&c.keep | c.opens
				nPeaks += int(pending & c.closes)
			}
			lower[nLow] = iB
			nLow += int(c.hasBtm)
			nUp += int(c.hasTop)
			left4 = iR
			n = iR + uint32(c.hasRight)
		}
	}
	b.n, b.nPeaks, b.nLower = int(n), nPeaks, nLow-1
}
