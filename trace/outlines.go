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

// outlines traces r on all cores, in bands of so many rows, and returns its
// rings in pixels, with the number of pixels cut. It calls progress, from one
// goroutine at a time, with the number of rows done.
func outlines(ctx context.Context, r *raster, rows int, progress func(rows int)) (rings []loop, cut int, err error) {
	pieces := make([]piece, (r.h+1+rows-1)/rows)
	var next, done atomic.Int64
	var mu sync.Mutex
	work := func() {
		b := bands.Get().(*band)
		defer bands.Put(b)
		for {
			i := int(next.Add(1)) - 1
			if i >= len(pieces) || ctx.Err() != nil {
				return
			}
			y0 := i * rows
			y1 := min(y0+rows, r.h+1)
			b.sweep(r, y0, y1)
			pieces[i] = b.follow(make([]float64, 2*b.n))
			d := done.Add(int64(y1 - y0))
			if progress != nil {
				mu.Lock()
				progress(min(int(d), r.h))
				mu.Unlock()
			}
		}
	}
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(pieces)) - 1 {
		wg.Go(work)
	}
	work()
	wg.Wait()
	if err := ctx.Err(); err != nil {
		return nil, 0, err
	}
	for i := range pieces {
		cut += pieces[i].cut
	}
	return stitch(pieces), cut, nil
}

var bands = sync.Pool{New: func() any { return new(band) }}
