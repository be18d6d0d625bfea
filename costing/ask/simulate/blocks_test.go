package simulate

import (
	"context"
	"errors"
	"runtime"
	"strings"
	"sync/atomic"
	"testing"
)

// TestBlocksAreWaitedFor: nothing is at work any more when doBlocks returns, whichever way it
// does.
func TestBlocksAreWaitedFor(t *testing.T) {
	t.Parallel()
	broken := errors.New("broken")
	for name, c := range map[string]struct {
		progress func(cancel func())
		fails    int // the first block that fails
		want     error
	}{
		"done":      {func(func()) {}, 1000, nil},
		"fails":     {func(func()) {}, 40, broken},
		"cancelled": {func(cancel func()) { cancel() }, 1000, context.Canceled},
		"panics":    {func(func()) { panic(broken) }, 1000, broken},
	} {
		ctx, cancel := context.WithCancel(t.Context())
		var active atomic.Int64
		runner := func(block int) error {
			active.Add(1)
			defer active.Add(-1)
			for range 50 {
				runtime.Gosched()
			}
			if block >= c.fails {
				return broken
			}
			return nil
		}
		if err := recovered(ctx, []blockRunner{runner, runner, runner}, func(int) { c.progress(cancel) }); !errors.Is(err, c.want) {
			t.Errorf("%s: error %v, want %v", name, err, c.want)
		}
		if n := active.Load(); n != 0 {
			t.Errorf("%s: %d blocks still at work", name, n)
		}
		cancel()
	}
}

// TestPanicsOfBlocksAreHandedBack: a fault in a goroutine is an error of
// its block, with where it was and without what the value said.
func TestPanicsOfBlocksAreHandedBack(t *testing.T) {
	t.Parallel()
	runner := func(block int) error {
		if block == 7 {
			panic("a text of the user")
		}
		return nil
	}
	err := doBlocks(t.Context(), []blockRunner{runner, runner}, 0, 500, func(int) {})
	var fault *PanicError
	if !errors.As(err, &fault) || !strings.Contains(err.Error(), "TestPanicsOfBlocksAreHandedBack") || strings.Contains(err.Error(), "a text") {
		t.Errorf("%v", err)
	}
}

// recovered does 500 blocks and gives the error, or what progress panicked with.
func recovered(ctx context.Context, runners []blockRunner, progress func(int)) (err error) {
	defer func() {
		if panicked, ok := recover().(error); ok {
			err = panicked
		}
	}()
	return doBlocks(ctx, runners, 0, 500, progress)
}

// TestSmallestFailureIsGiven, though a later block fails first.
func TestSmallestFailureIsGiven(t *testing.T) {
	t.Parallel()
	first, second := errors.New("block 0"), errors.New("block 1")
	later := make(chan struct{})
	runner := func(block int) error {
		if block == 0 {
			<-later
			return first
		}
		defer close(later)
		return second
	}
	if err := doBlocks(t.Context(), []blockRunner{runner, runner}, 0, 2, func(int) {}); !errors.Is(err, first) {
		t.Errorf("error %v", err)
	}
}
