package ring

import (
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
)

// Parts calls do for consecutive ranges of 0 to n-1, grain long but for the
// last, on as many goroutines as there are processors; part counts the ranges.
// What the ranges are does not depend on the processors, so results that are
// put together by part never do either.
func Parts(n, grain int, do func(part, from, to int)) {
	parts := (n + grain - 1) / grain
	workers := min(runtime.GOMAXPROCS(0), parts)
	var next atomic.Int64
	work := func() {
		for {
			p := int(next.Add(1)) - 1
			if p >= parts {
				return
			}
			do(p, p*grain, min((p+1)*grain, n))
		}
	}
	if workers < 2 {
		work()
		return
	}
	var wg sync.WaitGroup
	for range workers {
		wg.Go(work)
	}
	wg.Wait()
}

// sortKeys sorts keys, which are all different, and returns them; it may reuse
// their memory.
func sortKeys(keys []uint64) []uint64 {
	n := len(keys)
	if n < 1<<13 || runtime.GOMAXPROCS(0) < 2 {
		slices.Sort(keys)
		return keys
	}
	Parts(n, (n+1)/2, func(_, from, to int) { slices.Sort(keys[from:to]) })
	a, b := keys[:(n+1)/2], keys[(n+1)/2:]
	out := make([]uint64, 0, n)
	for len(a) > 0 && len(b) > 0 {
		if a[0] < b[0] {
			out, a = append(out, a[0]), a[1:]
		} else {
			out, b = append(out, b[0]), b[1:]
		}
	}
	return append(append(out, a...), b...)
}
