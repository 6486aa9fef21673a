package crew

import (
	"context"
	"runtime"
	"sync/atomic"
	"testing"

	"pgregory.net/rapid"
)

// Every task is done once, by a worker that is there and does nothing else meanwhile.
func TestEach(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, workers := rapid.IntRange(0, 300).Draw(t, "n"), rapid.IntRange(-1, 9).Draw(t, "workers")
		done := make([]atomic.Int32, n)
		busy := make([]atomic.Int32, Size(workers))
		err := Each(context.Background(), workers, n, func(w, i int) {
			if busy[w].Add(1) != 1 {
				t.Errorf("worker %d has two tasks at a time", w)
			}
			done[i].Add(1)
			runtime.Gosched()
			busy[w].Add(-1)
		})
		if err != nil {
			t.Fatal(err)
		}
		for i := range done {
			if k := done[i].Load(); k != 1 {
				t.Fatalf("of %d tasks %d was done %d times by %d workers", n, i, k, workers)
			}
		}
	})
}

// Once the context has ended, no task is begun.
func TestEachEnds(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	const n, workers = 1000, 4
	var begun atomic.Int32
	err := Each(ctx, workers, n, func(_, _ int) {
		if begun.Add(1) == 10 {
			stop()
		}
	})
	if err != context.Canceled {
		t.Errorf("the error is %v", err)
	}
	if k := begun.Load(); k < 10 || k >= 10+workers {
		t.Errorf("%d tasks were begun, the tenth has ended all", k)
	}
	if err := Each(ctx, workers, n, func(_, _ int) { t.Error("a task was begun") }); err == nil {
		t.Error("no error")
	}
}
