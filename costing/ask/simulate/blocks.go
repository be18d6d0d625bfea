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

// worker draws blocks, one at a time, in memory of its own.
type worker struct {
	s       *subject
	salt    uint64
	columns *column.Columns
	u       [][]float64 // per input: where its values are filled in
}

// newWorker makes the memory to run a plan whose Vary are the inputs of the
// subject, in order.
func (s *subject) newWorker(p *column.Plan, salt uint64) *worker {
	w := &worker{s: s, salt: salt, columns: p.Columns(), u: make([][]float64, len(s.inputs))}
	all := make([]float64, len(w.u)*s.block)
	for i := range w.u {
		w.u[i] = all[i*s.block : (i+1)*s.block : (i+1)*s.block]
		w.columns.Bind(i, w.u[i]) // own memory: a run may use that of the plan again
	}
	return w
}

// draw fills the inputs of a block and computes the figures. It allocates
// nothing.
func (w *worker) draw(block int) error {
	w.fill(block)
	return w.columns.Run(w.s.block)
}

// fill draws the inputs of a block.
func (w *worker) fill(block int) {
	for i := range w.s.inputs {
		stratified(streamOf(w.s.request.Seed, w.salt, block, w.s.inputs[i].key), w.u[i])
	}
	for i := range w.s.groups {
		w.s.groups[i].correlateScores(w.u)
	}
	for i := range w.s.inputs {
		w.s.inputs[i].sample.Fill(w.u[i], w.u[i])
	}
}
