package simulate

import (
	"cmp"
	"context"
	"fmt"
	"runtime"
	"runtime/debug"
	"sync"
	"sync/atomic"

	"kerfbook/costing/graph/column"
)

// blockRunner does one block; each goroutine has one of its own.
type blockRunner func(block int) error

// guarded does a block. A panic becomes its error: in a goroutine of its own it
// would end the whole program.
func (r blockRunner) guarded(block int) (err error) {
	defer func() {
		if problem := recover(); problem != nil {
			err = &PanicError{Block: block, Kind: fmt.Sprintf("%T", problem), Stack: debug.Stack()}
		}
	}()
	return r(block)
}

// cores is how many goroutines some blocks are done on. It does not change the
// result.
func cores(blocks int) int { return min(runtime.GOMAXPROCS(0), blocks) }

// hundredths tells of draws, at about each hundredth but the last, when it is told
// how many blocks are done.
func hundredths(blocks int, tell func(done, total int)) func(done int) {
	last := 0
	return func(done int) {
		if done < blocks && 100*(done-last) >= blocks {
			last = done
			tell(done*column.Block, blocks*column.Block)
		}
	}
}

// work is blocks that are done on several goroutines.
type work struct {
	ctx     context.Context
	next    atomic.Int64 // the block to be taken next
	done    atomic.Int64 // blocks, those before the first included
	to      int64
	tick    chan struct{}
	running sync.WaitGroup

	mu     sync.Mutex
	failed int64
	err    error
}

// doBlocks does the blocks from, from+1, … to−1, each runner on a goroutine of its
// own, and tells the progress, how many are done, from the one that called it. It
// returns when all goroutines have ended: after the last block, after an error, or
// within one block of the end of the context. The error is that of the context, or
// that of the block with the smallest number that failed.
func doBlocks(ctx context.Context, runners []blockRunner, from, to int, progress func(done int)) error {
	w := &work{ctx: ctx, to: int64(to), tick: make(chan struct{}, 1)}
	w.next.Store(int64(from))
	w.done.Store(int64(from))
	for _, runner := range runners {
		w.running.Add(1)
		go w.loop(runner)
	}
	ended := make(chan struct{})
	go func() { w.running.Wait(); close(ended) }()
	defer func() { w.next.Store(w.to); <-ended }() // also when progress panics
	for {
		select {
		case <-w.tick:
			progress(int(w.done.Load()))
		case <-ended:
			return cmp.Or(w.err, ctx.Err())
		}
	}
}

// loop takes blocks until there are none.
func (w *work) loop(runner blockRunner) {
	defer w.running.Done()
	for w.ctx.Err() == nil {
		block := w.next.Add(1) - 1
		if block >= w.to {
			return
		}
		if err := runner.guarded(int(block)); err != nil {
			w.fail(block, err)
			return
		}
		w.done.Add(1)
		select {
		case w.tick <- struct{}{}:
		default: // the last tick has not been seen yet
		}
	}
}

// fail keeps the error of the smallest block, and lets nobody take another.
// Blocks are taken in order, so every smaller block that fails is still waited
// for.
func (w *work) fail(block int64, err error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.err == nil || block < w.failed {
		w.failed, w.err = block, err
	}
	w.next.Store(w.to)
}
