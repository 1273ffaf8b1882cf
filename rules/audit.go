package rules

import (
	"context"
	"fmt"
	"runtime"
	"sync"
	"sync/atomic"

	"counterfoil/parse/listing"
)

// maxRules is how many rules a gap can number.
const maxRules = 1 << 8

// chunk is the number of listings a worker takes at a time.
const chunk = 256

// Audit computes the shared facts of a batch, runs every rule over every
// listing and ranks the listings. The result does not depend on the number of
// jobs. It fails only when ctx ends or a setting cannot be used.
func Audit(ctx context.Context, batch []*listing.Listing, opt Options) (*Result, error) {
	facts, err := Build(batch, opt)
	if err != nil {
		return nil, err
	}
	list := RulesFor(opt.Book)
	if len(list) > maxRules {
		return nil, fmt.Errorf("%d rules; at most %d are possible", len(list), maxRules)
	}
	all := make([]Judged, len(batch))
	lists := gapLists{held: map[string][]Gap{}}
	var done atomic.Int64
	eachRange(ctx, len(batch), opt.Jobs, func(from, to int) {
		var pass Pass // no rule keeps it
		for n := from; n < to; n++ {
			pass = Pass{Facts: facts, N: n, Listing: batch[n], Market: facts.Markets.Compare(n)}
			judge(&all[n], &pass, list, &lists)
		}
		if n := int(done.Add(int64(to - from))); opt.Progress != nil {
			opt.Progress(n, len(batch))
		}
	})
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return &Result{Facts: facts, Rules: list, Ranked: rank(all)}, nil
}

// eachChunk calls do for 0 to n-1 from several goroutines, in any order, until
// ctx ends.
func eachChunk(ctx context.Context, n, jobs int, do func(int)) {
	eachRange(ctx, n, jobs, func(from, to int) {
		for i := from; i < to; i++ {
			do(i)
		}
	})
}

// eachRange is eachChunk by ranges.
func eachRange(ctx context.Context, n, jobs int, do func(from, to int)) {
	if jobs <= 0 {
		jobs = runtime.GOMAXPROCS(0)
	}
	var next sync.Mutex
	at := 0
	var wg sync.WaitGroup
	for range min(jobs, (n+chunk-1)/chunk) {
		wg.Go(func() {
			for ctx.Err() == nil {
				next.Lock()
				from := at
				at = min(at+chunk, n)
				to := at
				next.Unlock()
				if from == to {
					return
				}
				do(from, to)
			}
		})
	}
	wg.Wait()
}
