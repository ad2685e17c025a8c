package offset

// A piece is a moved edge, or the join at a corner: two per edge, numbered in
// the order in which they follow each other along the ring.
func joinAt(edge int32) int32  { return 2 * edge }
func movedBy(edge int32) int32 { return 2*edge + 1 }

// What ends a span where no other piece does.
const (
	follows int32 = -1 // the next or previous piece goes on from here
	loose   int32 = -2 // an inward corner that the neighbour should have cut off
)

// span is a stretch of a piece that nothing covers so far: from lo to hi, with
// the pieces by which it is bounded there.
type span struct {
	lo, hi     float64
	loBy, hiBy int32
}

// subtract takes the open interval a to b, which enters through piece by and
// leaves through piece until, away from spans. Stretches no longer than short
// are dropped unless they are whole pieces.
func subtract(spans []span, a, b float64, by, until int32, short float64) []span {
	for i := 0; i < len(spans); i++ {
		s := spans[i]
		if b <= s.lo || a >= s.hi {
			continue
		}
		left, right := s, s
		left.hi, left.hiBy = a, by
		right.lo, right.loBy = b, until
		keepLeft, keepRight := left.hi-left.lo > short, right.hi-right.lo > short
		switch {
		case keepLeft && keepRight:
			spans = append(spans, span{})
			copy(spans[i+2:], spans[i+1:])
			spans[i], spans[i+1] = left, right
			i++
		case keepLeft:
			spans[i] = left
		case keepRight:
			spans[i] = right
		default:
			spans = append(spans[:i], spans[i+1:]...)
			i--
		}
	}
	return spans
}
