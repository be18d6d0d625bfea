package answer

import (
	"context"
	"errors"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

func newTestCache(room int) *Cache[string, int] {
	return NewCache[string](room, func(n int) int { return n })
}

func TestCacheKeepsWhatFits(t *testing.T) {
	t.Parallel()
	c := newTestCache(10)
	c.Put("a", 4)
	c.Put("b", 4)
	if _, ok := c.Peek("a"); !ok { // now b is the older one
		t.Error("a is gone")
	}
	c.Put("c", 4)
	for key, want := range map[string]bool{"a": true, "b": false, "c": true} {
		if _, ok := c.Peek(key); ok != want {
			t.Errorf("%s is there: %v", key, ok)
		}
	}
	c.Put("huge", 99)
	if n, ok := c.Peek("huge"); !ok || n != 99 || len(c.entries) != 1 || c.order.Len() != 1 || c.used != 99 {
		t.Errorf("%d entries weigh %d", len(c.entries), c.used)
	}
	if c.Newest() != 99 || newTestCache(1).Newest() != 0 {
		t.Error("the newest is another one")
	}
}

func TestCacheMakesOnce(t *testing.T) {
	t.Parallel()
	c := newTestCache(10)
	var made atomic.Int64
	var wg sync.WaitGroup
	for range 20 {
		wg.Go(func() {
			n, err := c.Get(t.Context(), "k", func() (int, error) {
				time.Sleep(5 * time.Millisecond)
				return int(made.Add(1)), nil
			})
			if n != 1 || err != nil {
				t.Errorf("%d, %v", n, err)
			}
		})
	}
	wg.Wait()
}

func TestCacheKeepsNoErrors(t *testing.T) {
	t.Parallel()
	c := newTestCache(10)
	stop := errors.New("stop")
	if _, err := c.Get(t.Context(), "k", func() (int, error) { return 0, stop }); !errors.Is(err, stop) {
		t.Error(err)
	}
	func() {
		defer func() { _ = recover() }()
		_, _ = c.Get(t.Context(), "k", func() (int, error) { panic("an estimator broke") })
	}()
	if n, err := c.Get(t.Context(), "k", func() (int, error) { return 2, nil }); n != 2 || err != nil {
		t.Errorf("after an error and a panic: %d, %v", n, err)
	}
}

func TestCacheWaitsNoLongerThanAsked(t *testing.T) {
	t.Parallel()
	c := newTestCache(10)
	begun, end := make(chan struct{}), make(chan struct{})
	go c.Get(t.Context(), "k", func() (int, error) { close(begun); <-end; return 1, nil }) //nolint:errcheck // it blocks on purpose
	<-begun
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := c.Get(ctx, "k", func() (int, error) { return 2, nil }); CodeOf(err) != Busy {
		t.Errorf("waiting with a cancelled context: %v", err)
	}
	close(end)
}
