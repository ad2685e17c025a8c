package trace

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// batch is the number of rings that one goroutine takes at a time, whatever
// the number of cores.
const batch = 64

// inBatches calls do, on all cores, for ranges of up to batch of n things.
func inBatches(n int, do func(from, to int)) {
	var next atomic.Int64
	work := func() {
		for {
			from := int(next.Add(batch)) - batch
			if from >= n {
				return
			}
			do(from, min(from+batch, n))
		}
	}
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), (n+batch-1)/batch) - 1 {
		wg.Go(work)
	}
	work()
	wg.Wait()
}
