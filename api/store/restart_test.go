package store

import (
	"context"
	"crypto/rand"
	"fmt"
	"sync"
	"testing"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/service"
	"kerfbook/api/store/pgtest"
)

// TestServerCrashes crashes PostgreSQL under writers who ask again with the same
// key: nothing is lost, nothing happens twice, and the same store goes on.
func TestServerCrashes(t *testing.T) {
	t.Parallel()
	cluster := pgtest.Start(t)
	address := cluster.Database(t)
	h := &history{t: t, address: address, acknowledged: map[string]string{}}
	h.prepare()
	st := open(t, address)
	w := &writer{service: service.New(st, time.Now, rand.Reader), store: st}
	ctx, stop := context.WithCancel(t.Context())
	var mu sync.Mutex
	var failures int
	var writers sync.WaitGroup
	for side := range 3 {
		writers.Go(func() {
			for n := 0; ctx.Err() == nil; n++ {
				key := fmt.Sprintf("%d-%d", side, n)
				result, failed := w.insist(t, key)
				mu.Lock()
				h.acknowledged[key], failures = result, failures+failed
				mu.Unlock()
			}
		})
	}
	for range 3 {
		time.Sleep(300 * time.Millisecond)
		if err := cluster.Crash(); err != nil {
			t.Fatal(err)
		}
	}
	time.Sleep(200 * time.Millisecond)
	stop()
	writers.Wait()
	h.check(true)
	t.Logf("3 crashes: %d requests acknowledged and all there once, %d more kept, %d failures taken by asking again", len(h.acknowledged), h.unheard, failures)
	if failures == 0 || h.unheard != 0 {
		t.Errorf("%d failures, %d requests kept that nobody asked for", failures, h.unheard)
	}
}

// insist asks until there is an answer.
func (w *writer) insist(t *testing.T, key string) (result string, failures int) {
	for deadline := time.Now().Add(20 * time.Second); ; time.Sleep(20 * time.Millisecond) {
		result, err := w.number(t.Context(), key)
		if err == nil {
			return result, failures
		}
		failures++
		if code := answer.CodeOf(err); code != answer.Busy && code != answer.OutcomeUnknown || time.Now().After(deadline) {
			t.Errorf("%s: %s: %v", key, code, err)
			return "", failures
		}
	}
}
