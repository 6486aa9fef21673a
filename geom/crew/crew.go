// Package crew shares work out among goroutines.
//
// Promised: every task is done once, or none of them is begun any more once the
// context has ended. Not promised is who does a task, and in which order tasks end:
// what comes of one must not depend on that. So that the same input gives the same
// bytes for any number of workers, each task writes to a place of its own, and what
// belongs to a worker is no more than memory to be used again.
package crew

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// Size returns how many goroutines an option asks for: as many as there are
// processors if it is 0 or less.
func Size(workers int) int {
	if workers <= 0 {
		return runtime.GOMAXPROCS(0)
	}
	return workers
}

// Each calls f for every task below n, on Size(workers) goroutines, and returns when
// all are done. Tasks are begun in order. f is told which worker calls, of Size(workers)
// at the most; none calls twice at a time. When ctx ends no further task is begun; the
// error is that of ctx.
func Each(ctx context.Context, workers, n int, f func(worker, task int)) error {
	var next atomic.Int64
	var wg sync.WaitGroup
	for w := range min(Size(workers), n) {
		wg.Go(func() {
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				f(w, i)
			}
		})
	}
	wg.Wait()
	return ctx.Err()
}
