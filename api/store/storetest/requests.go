package storetest

import (
	"context"
	"errors"
	"fmt"
	"sync/atomic"
	"testing"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/service"
)

// request runs a request under a key that puts a supplier.
func (b *bench) request(ctx context.Context, a service.Actor, key string, fingerprint byte, runs *atomic.Int64) (string, bool, error) {
	status, body, replayed, err := b.service.Idempotent(ctx, a, key, [32]byte{fingerprint}, func(tx service.Tx) (int, []byte, error) {
		n := runs.Add(1)
		id := fmt.Sprintf("S%d", n)
		return 201, []byte(id), b.putIn(ctx, tx, id)
	})
	return fmt.Sprintf("%d %s", status, body), replayed, err
}

// putIn puts a supplier in a transaction under way.
func (b *bench) putIn(ctx context.Context, tx service.Tx, id string) error {
	d, err := change.ReadRecord("suppliers", id, supplier(id, "Nova"), "")
	if err != nil {
		return err
	}
	_, err = b.service.SaveIn(ctx, tx, maker, []change.Draft{d})
	return err
}

func answeredOnce(t *testing.T, b *bench) {
	b.small(t)
	ctx := t.Context()
	var runs atomic.Int64
	for i := range 3 {
		got, replayed, err := b.request(ctx, maker, "k1", 1, &runs)
		if err != nil || got != "201 S1" || replayed != (i > 0) {
			t.Errorf("time %d: %s, replayed %v, %v", i, got, replayed, err)
		}
	}
	_, _, err := b.request(ctx, maker, "k1", 2, &runs)
	wantCode(t, err, answer.Invalid)
	for _, key := range []string{"", "with space", "ünicode", "line\n", string(make([]byte, 300))} {
		_, _, err := b.request(ctx, maker, key, 1, &runs)
		wantCode(t, err, answer.Invalid)
	}
	if got, replayed, err := b.request(ctx, service.Actor{Name: "token x"}, "k1", 2, &runs); err != nil || replayed || got != "201 S2" {
		t.Errorf("the key of somebody else: %s, replayed %v, %v", got, replayed, err)
	}
	b.clock.advance(47 * time.Hour)
	if _, replayed, err := b.request(ctx, maker, "k1", 1, &runs); err != nil || !replayed {
		t.Errorf("after 47 hours: replayed %v, %v", replayed, err)
	}
	b.clock.advance(2 * time.Hour)
	if got, replayed, err := b.request(ctx, maker, "k1", 2, &runs); err != nil || replayed || got != "201 S3" {
		t.Errorf("after 49 hours: %s, replayed %v, %v", got, replayed, err)
	}
	b.verified(t)
}

func answeredOnceInParallel(t *testing.T, b *bench) {
	b.small(t)
	var runs, replays atomic.Int64
	errs := parallel(20, func(int) error {
		got, replayed, err := b.request(t.Context(), maker, "k", 1, &runs)
		if replayed {
			replays.Add(1)
		}
		if err == nil && got != "201 S1" {
			return fmt.Errorf("answer %s", got)
		}
		return err
	})
	wantCodes(t, errs, map[answer.Code]int{"": 20})
	if replays.Load() != 19 || runs.Load() != 1 {
		t.Errorf("%d runs and %d replays", runs.Load(), replays.Load())
	}
}

// failedRequest wants neither the effect nor the answer of a request that fails.
func failedRequest(t *testing.T, b *bench) {
	b.small(t)
	ctx := t.Context()
	stop := errors.New("stop")
	_, _, _, err := b.service.Idempotent(ctx, maker, "k", [32]byte{1}, func(tx service.Tx) (int, []byte, error) {
		if err := b.putIn(ctx, tx, "HALF"); err != nil {
			t.Error(err)
		}
		if _, err := tx.Records().Get(ctx, "suppliers", "HALF", 0); err != nil {
			t.Errorf("the request does not see what it wrote: %v", err)
		}
		if err := b.putIn(ctx, tx, "OTHER"); err != nil { // reads the book with what was written
			t.Error(err)
		}
		return 201, nil, stop
	})
	if !errors.Is(err, stop) {
		t.Errorf("error %v", err)
	}
	_, err = b.service.Record(ctx, "suppliers", "HALF", 0)
	wantCode(t, err, answer.NotFound)
	current, _, err := b.service.Book(ctx)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range current.Suppliers {
		if s.ID == "HALF" || s.ID == "OTHER" {
			t.Error("the book holds what was taken back")
		}
	}
	var runs atomic.Int64
	if got, replayed, err := b.request(ctx, maker, "k", 2, &runs); err != nil || replayed || got != "201 S1" {
		t.Errorf("the key after a failure: %s, replayed %v, %v", got, replayed, err)
	}
	b.verified(t)
}
