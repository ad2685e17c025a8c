package trace

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// bandPixels is the size of a band: its buffers shall stay in a core's cache,
// and a page shall have enough bands for all cores. It is no matter of the
// number of cores, so that these change nothing in the result.
const (
	bandPixels  = 1 << 21
	minBandRows = 32
)

func (r *raster) bandRows() int { return max(minBandRows, bandPixels/r.w) }

// traced is what outlines finds.
type traced struct {
	loops  []loop
	cut    int // pixels
	pieces []piece
}

// outlines traces r on all cores, in bands of so many rows. It calls progress,
// from one goroutine at a time, with the number of rows done.
func outlines(ctx context.Context, r *raster, rows int, progress func(rows int)) (*traced, error) {
	t := &traced{pieces: make([]piece, (r.h+1+rows-1)/rows)}
	var next, done atomic.Int64
	var mu sync.Mutex
	work := func() {
		b := bands.Get().(*band)
		defer bands.Put(b)
		for {
			i := int(next.Add(1)) - 1
			if i >= len(t.pieces) || ctx.Err() != nil {
				return
			}
			y0 := i * rows
			y1 := min(y0+rows, r.h+1)
			b.sweep(r, y0, y1)
			t.pieces[i] = b.follow(newFloats(2 * b.n))
			d := done.Add(int64(y1 - y0))
			if progress != nil {
				mu.Lock()
				progress(min(int(d), r.h))
				mu.Unlock()
			}
		}
	}
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(t.pieces)) - 1 {
		wg.Go(work)
	}
	work()
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	for i := range t.pieces {
		t.cut += t.pieces[i].cut
	}
	t.loops = stitch(t.pieces, r.unit)
	return t, nil
}

// release gives the memory of the loops' coordinates back for the next trace.
func (t *traced) release() {
	for i := range t.pieces {
		floats.Put(&t.pieces[i].xy)
	}
	t.loops, t.pieces = nil, nil
}

// Buffers are kept: fresh memory costs more than what is done with it.
var (
	bands  = sync.Pool{New: func() any { return new(band) }}
	floats sync.Pool
)

// newFloats returns a slice of length n, of any contents.
func newFloats(n int) []float64 {
	if f, _ := floats.Get().(*[]float64); f != nil && cap(*f) >= n {
		return (*f)[:n]
	}
	return make([]float64, n)
}
