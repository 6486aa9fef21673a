package patch

import (
	"context"

	"waxwright/geom/crew"
)

// turns is how many turns each worker has on average: many enough that all are
// done at about the same time.
const turns = 64

// each calls f for all numbers below n, several at a time, and tells it which
// worker calls: none calls twice at a time. It returns the error of the lowest
// number that has one.
func (b *builder) each(n int, f func(worker, i int) error) error {
	size := max(1, n/(turns*b.workers))
	errs := make([]error, (n+size-1)/size)
	ctx, stop := context.WithCancel(b.ctx) // what has begun is done, so that no lower error is missed
	defer stop()
	_ = crew.Each(ctx, b.workers, len(errs), func(w, k int) {
		for i := k * size; i < min((k+1)*size, n) && errs[k] == nil; i++ {
			if errs[k] = b.ctx.Err(); errs[k] == nil {
				errs[k] = f(w, i)
			}
		}
		if errs[k] != nil {
			stop()
		}
	})
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return b.ctx.Err()
}
